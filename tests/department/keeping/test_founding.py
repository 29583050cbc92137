"""The first start founds a storage in one piece, and no storage is ever another kind than it was founded for."""

from __future__ import annotations

import sqlite3
import stat
from contextlib import closing
from pathlib import Path

import pytest

from drawndose.department.chosen import chosen
from drawndose.quantities import Refused
from tests.department.keeping.places import new_database, new_file, postgresql, verb
from tests.pages import django

WORD = "four words that go nowhere"


def settings(folder: Path, **more: str) -> dict[str, str]:
    (folder / "word").write_text(WORD + "\n", encoding="utf-8")
    known = {
        "DRAWNDOSE_ADMIN": "kim.pattern",
        "DRAWNDOSE_ADMIN_PASSWORD_FILE": str(folder / "word"),
        "DRAWNDOSE_SITE": "Ward 3",
        "DRAWNDOSE_ZONE": "America/Chicago",
        "DRAWNDOSE_DATA": str(folder),
        "DRAWNDOSE_SECRET_KEY": "k" * 50,
    }
    return known | more


def place(folder: Path) -> str:
    return new_database() if postgresql() else new_file(folder)


def founded(where: str) -> int:
    """How many heads, persons and sites a file has."""
    path = Path(where.removeprefix("sqlite://"))
    if not path.exists():
        return 0
    with closing(sqlite3.connect(path)) as connection:
        tables = ("ledger_head", "people_person", "work_site")
        return sum(connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in tables)


def test_the_first_start_founds_and_the_second_changes_nothing(tmp_path: Path) -> None:
    where = place(tmp_path)
    for _ in range(2):
        run = verb(where, "start", "--only-prepare", **settings(tmp_path))
        assert (run.returncode, run.stdout) == (0, "This storage holds patients' records. Everything is in place.\n")
    audit = verb(where, "audit")
    assert audit.stdout.startswith("3 events")
    checked = verb(where, "check", **settings(tmp_path))
    assert checked.returncode == 0, checked.stdout


def test_a_storage_stays_what_it_was_founded_for(tmp_path: Path) -> None:
    where = place(tmp_path)
    practice = settings(tmp_path, DRAWNDOSE_KIND="practice")
    assert "practice records" in verb(where, "start", "--only-prepare", **practice).stdout
    other = verb(where, "start", "--only-prepare", **settings(tmp_path, DRAWNDOSE_KIND="care"))
    assert other.returncode == 2
    assert 'this storage holds practice records. Came: "care"' in other.stderr
    assert "practice records" in verb(where, "start", "--only-prepare", **settings(tmp_path)).stdout


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"DRAWNDOSE_ADMIN": ""}, ["someone must be able to sign in"]),
        ({"DRAWNDOSE_ADMIN_PASSWORD_FILE": "/nowhere"}, ["the file cannot be read"]),
        ({"DRAWNDOSE_DATABSE": "x", "DRAWNDOSE_SECRET_KEY": "short"}, ["there is no such setting", "at least 50"]),
        (
            {
                "DRAWNDOSE_ADMIN": "K P",
                "DRAWNDOSE_ADMIN_PASSWORD_FILE": "",
                "DRAWNDOSE_ZONE": "Mars/Base",
                "DRAWNDOSE_SITE": "x" * 81,
            },
            ["letters a to z", "a password has 12", "no zone of this name", "1 to 80 characters"],
        ),
    ],
)
def test_what_cannot_be_is_refused_all_at_once_and_nothing_is_founded(
    tmp_path: Path, more: dict[str, str], said: list[str]
) -> None:
    where = new_file(tmp_path)
    run = verb(where, "start", "--only-prepare", **settings(tmp_path, **more))
    assert run.returncode == 2
    assert [one for one in said if one not in run.stderr] == []
    assert WORD not in run.stderr
    assert founded(where) == 0


@pytest.mark.usefixtures("storage")
@pytest.mark.parametrize("weak", ["password1234", "kim.pattern2026", "aaaaaaaaaaaaa", "tin7"])
def test_a_weak_password_is_refused(weak: str) -> None:
    from drawndose.department.keeping.founding import Founding, found_storage
    from drawndose.department.ledger.models import Kind
    from drawndose.department.people.models import Person

    what = Founding(kind=Kind.CARE, site="Ward 3", zone="UTC", username="kim.pattern", name="Kim", password=weak)
    with pytest.raises(Refused, match="first password") as refused:
        found_storage(what)
    assert weak not in str(refused.value)
    assert Person.objects.count() == 0


def test_a_person_at_a_terminal_is_asked_for_what_the_settings_leave_open() -> None:
    django()
    from drawndose.department.keeping.founding import asked
    from drawndose.department.ledger.models import Kind

    answers = iter(["", "America/Chicago", "kim", "Kim Pattern"])
    made = asked(chosen({"DRAWNDOSE_KIND": "practice"}), lambda question: next(answers), lambda question: WORD)
    assert (made.kind, made.site, made.zone) == (Kind.PRACTICE, "Site 1", "America/Chicago")
    assert (made.username, made.name, made.password) == ("kim", "Kim Pattern", WORD)
    secrets = iter([WORD, "another"])
    with pytest.raises(Refused, match="not typed the same twice"):
        asked(chosen({"DRAWNDOSE_ADMIN": "kim"}), lambda question: "", lambda question: next(secrets))


@pytest.mark.usefixtures("storage")
def test_a_demo_is_never_opened_as_a_department() -> None:
    from drawndose.department.keeping.founding import opened
    from tests.department.scene import scene

    scene()
    with pytest.raises(Refused, match="it holds invented records"):
        opened(chosen({}))


@pytest.mark.usefixtures("storage")
def test_only_invented_records_are_written_by_a_pinned_clock() -> None:
    from datetime import UTC, datetime, timedelta

    from drawndose.department.ledger.append import append, now, pinned
    from drawndose.department.ledger.models import Kind
    from drawndose.department.ledger.storage import found

    found(Kind.CARE, actor="setup")
    with pinned(datetime(2030, 1, 1, tzinfo=UTC)):
        assert now() == datetime(2030, 1, 1, tzinfo=UTC)
        with pytest.raises(RuntimeError, match="the real clock"):
            append("thing.done", "thing", "1", actor="ana")
    assert abs(now() - datetime.now(UTC)) < timedelta(minutes=1)


def test_the_key_lasts_on_one_machine_and_must_be_chosen_for_several(tmp_path: Path) -> None:
    django()
    from drawndose.department.keeping.serving import lasting_key

    if postgresql():
        with pytest.raises(Refused, match="every process of a department signs with the same key"):
            lasting_key(chosen({}))
        return
    first = lasting_key(chosen({"DRAWNDOSE_DATA": str(tmp_path)}))
    path = Path(first["DRAWNDOSE_SECRET_KEY_FILE"])
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    key = path.read_text(encoding="ascii").strip()
    assert len(key) >= 50
    assert lasting_key(chosen({"DRAWNDOSE_DATA": str(tmp_path)})) == first
    assert path.read_text(encoding="ascii").strip() == key
    assert lasting_key(chosen({"DRAWNDOSE_SECRET_KEY": key})) == {}


def test_a_port_in_use_is_told_before_anything_is_founded(tmp_path: Path) -> None:
    import socket

    where = new_file(tmp_path)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        run = verb(where, "start", "--port", str(port), **settings(tmp_path))
    assert (run.returncode, f"another port: --port {port + 1}" in run.stderr) == (2, True)
    assert not Path(where.removeprefix("sqlite://")).exists()
