"""Which storage: SQLite in one file by default, PostgreSQL by one setting. A wrong value says what is accepted."""

import os
from pathlib import Path
from typing import Any
from urllib.parse import SplitResult, unquote, urlsplit

from drawndose.department.chosen import Chosen

REPEATABLE_READ = 3  # psycopg's number for it
DATA = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share") / "drawndose"


class NoSuchStorage(ValueError):
    """The setting cannot be used; the message says what came, without what could be a password."""


def database(address: str, password: str = "") -> dict[str, Any]:
    """Django's settings for an address. NoSuchStorage when it names no storage that is supported."""
    parts = urlsplit(address)
    if parts.scheme == "sqlite" and parts.path.startswith("/") and not parts.netloc:
        return sqlite(Path(unquote(parts.path)))
    if parts.scheme == "postgresql" and parts.path.strip("/"):
        return {
            "ENGINE": "django.db.backends.postgresql",
            "NAME": unquote(parts.path.strip("/")),
            "USER": unquote(parts.username or ""),
            "PASSWORD": password or unquote(parts.password or ""),
            "HOST": unquote(parts.hostname or ""),
            "PORT": str(_port(parts) or ""),
            "CONN_MAX_AGE": 60,
            "CONN_HEALTH_CHECKS": True,
        }
    raise NoSuchStorage(f"{parts.scheme}:..." if parts.scheme else "no address")


def _port(parts: SplitResult) -> int | None:
    try:
        return parts.port
    except ValueError as error:
        raise NoSuchStorage(f"{parts.scheme}:... with a port that is none") from error


def sqlite(path: Path) -> dict[str, Any]:
    """SQLite for records: write-ahead log, foreign keys, every transaction takes its lock at once, every commit reaches the disk.

    synchronous=FULL: with NORMAL the last commits can be lost when the power goes, and a record may not.
    """
    return {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": str(path),
        "OPTIONS": {
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;",
        },
    }


NOWHERE = {"ENGINE": "django.db.backends.dummy"}
"""A storage that refuses everything: where the setting cannot be used, nothing may end up somewhere else."""


def storage(chosen: Chosen) -> dict[str, Any]:
    """The storage that was chosen; by default one file for each kind of records, so that they live apart."""
    kind = chosen.one_of("kind", ("practice", "care"))
    name = {"care": "department", "practice": "practice"}[kind]
    address = chosen.get("database") or f"sqlite://{data_folder(chosen) / f'{name}.sqlite3'}"
    try:
        return database(address, chosen.secret("database_password_file"))
    except NoSuchStorage as error:
        chosen.fault("database", "no such storage", str(error))
        return NOWHERE


def data_folder(chosen: Chosen) -> Path:
    """The data folder of this user, or the one that was chosen."""
    return Path(chosen.get("data") or DATA).absolute()


def demo_file(chosen: Chosen) -> Path:
    """The file of the demo: one of its own, whatever the settings say of the storage."""
    return data_folder(chosen) / "demo.sqlite3"


def still(settings: dict[str, Any]) -> dict[str, Any]:
    """The same storage to be read as it stands at one moment, while others go on writing. Nothing can be written by it.

    Within one transaction SQLite's write-ahead log and PostgreSQL's REPEATABLE READ both show the moment of the first look.
    """
    options = dict(settings.get("OPTIONS", {}))
    if settings["ENGINE"].endswith("sqlite3"):
        options["transaction_mode"] = "DEFERRED"  # takes no lock: nobody waits for a reader
        options["init_command"] += " PRAGMA query_only=ON;"
    elif settings["ENGINE"].endswith("postgresql"):
        options["isolation_level"] = REPEATABLE_READ
        options["options"] = "-c default_transaction_read_only=on"
    return settings | {"OPTIONS": options, "CONN_MAX_AGE": 0}
