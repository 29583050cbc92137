"""A disk that is full, and a storage that can only be read: made with a small disk in memory (root), or by the server's own setting."""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bearing import Report, hindered, prepared, rows_now, told_by_a_write

POSTGRESQL = os.environ.get("DRAWNDOSE_DATABASE", "").startswith("postgresql:")
ONLY_READ = "a storage that can only be read"


def hindrance(folder: Path) -> str:
    """Why no small disk can be made here; empty when one can."""
    if os.getuid() != 0:
        return "a small disk in memory takes root"
    try:
        with small(folder, "1m"):
            return ""
    except subprocess.CalledProcessError as error:
        return f"this machine mounts no small disk ({error.stderr.decode(errors='replace').strip()[:60]})"


def _do(*command: str) -> None:
    subprocess.run(command, check=True, capture_output=True)


@contextmanager
def small(folder: Path, size: str) -> Iterator[Path]:
    """A disk of this size."""
    place = folder / "small"
    place.mkdir()
    try:
        _do("mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(place))
        try:
            yield place
        finally:
            _do("umount", "--lazy", str(place))
    finally:
        place.rmdir()


def grow(place: Path, size: str) -> None:
    """Make room on it."""
    _do("mount", "-o", f"remount,size={size}", str(place))


@contextmanager
def storage_at(place: Path) -> Iterator[None]:
    """This process's storage on that disk: a new one, filled by the invented department."""
    from django.db import connections

    settings = [connections[name].settings_dict for name in ("default", "still")]
    was = settings[0]["NAME"]
    connections.close_all()
    if POSTGRESQL:
        name = _tablespace(place)
    else:
        name = str(place / "department.sqlite3")
    for one in settings:
        one["NAME"] = name
    try:
        prepared()
        yield
    finally:
        connections.close_all()
        for one in settings:
            one["NAME"] = was
        if POSTGRESQL:
            _sql("DROP DATABASE small WITH (FORCE)", "DROP TABLESPACE small")


@contextmanager
def held() -> Iterator[None]:
    """The file held open by another connection, as it is where a department works: its write-ahead log stays."""
    from django.db import connections

    with contextlib.closing(
        sqlite3.connect("" if POSTGRESQL else connections["default"].settings_dict["NAME"])
    ) as other:
        other.execute("SELECT 1 FROM sqlite_master").fetchall()
        yield


def _tablespace(place: Path) -> str:
    """A database of its own on that disk; its log stays on the large one."""
    inside = place / "tables"
    inside.mkdir()
    for one in (place.parent, place, inside):
        shutil.chown(one, "postgres")
    _sql(f"CREATE TABLESPACE small LOCATION '{inside}'", "CREATE DATABASE small TABLESPACE small")
    return "small"


def _sql(*statements: str) -> None:
    import psycopg

    with psycopg.connect(os.environ["DRAWNDOSE_DATABASE"], autocommit=True) as connection:
        for statement in statements:
            connection.execute(statement)


def full_disk(report: Report, folder: Path) -> None:
    """Write until the disk is full, write once more, make room."""
    if why := hindrance(folder):
        report.not_run("a full disk", why)
        return
    with small(folder, "40m" if POSTGRESQL else "16m") as place, storage_at(place), held():
        _fill(place)
        hindered(report, "a full disk", rows_now(), lambda: grow(place, "200m"))


def _fill(place: Path) -> None:
    """Nothing more fits, and what the storage keeps free for itself is used up: three writes in a row are refused."""
    if not POSTGRESQL:  # SQLite's log lies on the same disk, and makes room for itself now and then
        with contextlib.suppress(OSError), (place / "ballast").open("wb", buffering=0) as file:
            while file.write(b"0" * 65_536) == 65_536:
                pass
    refused = 0
    while refused < 3:
        refused = refused + 1 if told_by_a_write() != "done" else 0


def only_read(report: Report, folder: Path) -> None:
    """The storage can only be read: the server says so, or the disk."""
    if POSTGRESQL:
        before = rows_now()
        _switch("ALTER SYSTEM SET default_transaction_read_only = on")
        hindered(report, ONLY_READ, before, lambda: _switch("ALTER SYSTEM RESET default_transaction_read_only"))
        return
    if why := hindrance(folder):
        report.not_run(ONLY_READ, why)
        return
    second = folder / "second"
    second.mkdir()
    with small(second, "200m") as place, storage_at(place):
        before = rows_now()
        _turn(place, "ro")
        hindered(report, ONLY_READ, before, lambda: _turn(place, "rw"))


def _switch(statement: str) -> None:
    """A setting of the server, read anew by it."""
    _sql("SET default_transaction_read_only = off", statement, "SELECT pg_reload_conf()")
    time.sleep(1)


def _turn(place: Path, how: str) -> None:
    """The disk again, to be read only or to be written."""
    from django.db import connections

    connections.close_all()
    _do("mount", "-o", f"remount,{how}", str(place))
