"""The check says how everything stands and what to do; what it cannot see it does not call good."""

from __future__ import annotations

import os
from collections import namedtuple
from datetime import timedelta
from pathlib import Path

import pytest

from tests.department.keeping.places import new_file, postgresql, verb
from tests.department.scene import labelled, scene

Usage = namedtuple("Usage", ["total", "used", "free"])


def look(name: str):
    from drawndose.department.keeping.check import checked

    return {one.name: one for one in checked()}[name]


def test_a_department_at_work_is_as_it_should_be(committed: None, capsys: pytest.CaptureFixture[str]) -> None:
    from argparse import Namespace

    from drawndose.department.keeping import check
    from drawndose.department.ledger.models import Event

    labelled(scene())
    assert check.run(Namespace(json=False)) == 0
    told = capsys.readouterr().out
    names = ["settings", "storage", "tables", "founding", "clock", *([] if postgresql() else ["disk"]), "chain"]
    assert [line.split(":")[0].split()[-1] for line in told.splitlines()] == names
    Event.objects.filter(number=2).update(reason="because")
    assert check.run(Namespace(json=True)) == 1
    assert "event 2 was altered" in capsys.readouterr().out


def test_a_storage_that_is_not_there_is_not_made_by_looking(tmp_path: Path) -> None:
    where = new_file(tmp_path)
    run = verb(where, "check")
    assert (run.returncode, "there is no file" in run.stdout) == (1, True)
    assert not Path(where.removeprefix("sqlite://")).exists()


def test_a_server_that_is_away_is_told(tmp_path: Path) -> None:
    run = verb("postgresql://nobody@127.0.0.1:1/none", "check")
    assert run.returncode == 1
    assert "The storage cannot be reached." in run.stdout
    assert "tables" not in run.stdout


def test_a_storage_that_was_never_founded_and_one_without_tables_are_told(storage: None) -> None:
    from django.db import connection

    assert look("founding").stops
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM django_migrations WHERE app = 'keeping'")
    assert "migrations are missing, the first is keeping 0001_initial" in look("tables").says


def test_a_storage_of_a_newer_version_is_told(storage: None) -> None:
    from django.db import connection

    from drawndose.department.keeping.state import ready

    scene()
    assert ready() == ""
    with connection.cursor() as cursor:
        cursor.execute("INSERT INTO django_migrations (app, name, applied) VALUES ('work', '0999_later', '2099-01-01')")
    assert "work 0999_later" in look("tables").says
    assert "A newer drawndose" in ready()


def test_a_clock_before_the_last_event_is_told(storage: None) -> None:
    from drawndose.department.ledger.append import now, pinned

    with pinned(now() + timedelta(hours=1)):
        scene()
    assert look("clock").stops
    assert look("clock").says.startswith("it stands 3")


@pytest.mark.skipif(postgresql(), reason="the disk of another machine is its own matter")
def test_a_full_disk_and_one_that_cannot_be_written_are_told(storage: None, monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.keeping import check

    scene()
    assert look("disk").do == ""
    monkeypatch.setattr(check.shutil, "disk_usage", lambda path: Usage(1, 1, 5_000_000))
    assert (look("disk").says, look("disk").stops) == ("only 5 MB are free", False)
    monkeypatch.setattr(check.os, "access", lambda path, mode: mode != os.W_OK)
    assert look("disk").stops
