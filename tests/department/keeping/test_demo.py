"""The demo: invented, the same each time, every state on it, and never in the storage of anything else."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from drawndose.quantities import Refused
from tests.department.keeping.places import new_file, postgresql, verb
from tests.pages import client, words

MOMENT = datetime(2026, 11, 24, 15, 20, tzinfo=UTC)


@pytest.fixture
def made(committed: None):
    """The demo as it stands at one moment; its words are hashed cheaply and its class is small, so that the test is quick."""
    from django.test import override_settings

    from drawndose.department.keeping.invented import make

    with override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"]):
        yield make(MOMENT, learners=4)


def test_every_state_stands_on_it_and_the_audit_agrees(made) -> None:
    from drawndose.department.keeping.audit import audit
    from drawndose.department.ledger.models import Kind
    from drawndose.department.ledger.storage import kind_of_records
    from drawndose.department.work import models, states

    assert kind_of_records() == Kind.DEMO
    for model, table in (
        (models.Order, states.ORDER),
        (models.Container, states.CONTAINER),
        (models.DueDose, states.DOSE),
    ):
        there = set(model.objects.values_list("state", flat=True))
        assert set(table) - {""} - there == set(), model
    preparations = set(models.Preparation.objects.values_list("state", flat=True))
    assert {"begun", "planned", "drawn", "labelled", "given", "closed"} <= preparations
    assert audit().fault == ""


def test_the_board_shows_what_a_department_at_work_shows(made, monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.ledger.append import pinned
    from drawndose.department.work.board import look

    with pinned(MOMENT):
        board = look(MOMENT)
    kinds = {row.kind for part in (board.due, board.work, board.ready, board.given) for row in part.rows}
    assert {"late", "due", "waiting", "hold", "work", "ready", "over", "given", "open", "none"} <= kinds


def test_the_lab_has_an_afternoon_behind_it_and_a_day_that_is_open(made) -> None:
    from drawndose.department.training import models

    done, today = models.LabDay.objects.order_by("on")
    assert (done.state, today.state) == ("closed", "open")
    tries = models.Attempt.objects.all()
    assert tries.count() == 4 * 5
    assert set(tries.values_list("state", flat=True)) <= {"decided", "signed"}
    assert models.Evaluation.objects.filter(place=2, state="sent").exists()
    assert models.SignOff.objects.filter(state="valid").exists()
    assert models.Remediation.objects.exists()
    assert {one.evaluator.username for one in today.station_set.all()} == {"fay", "ira", "jon", "kim"}
    assert models.Learner.objects.get(number="001").person.username == "gus"


def test_the_same_moment_gives_the_same_ledger(made) -> None:
    from django.core.management import call_command

    from drawndose.department.keeping.invented import make
    from drawndose.department.ledger.models import Head

    first = Head.objects.get(pk=1).hash
    call_command("flush", "--noinput", verbosity=0)
    assert make(MOMENT, learners=4) == made
    assert Head.objects.get(pk=1).hash == first


def test_everyone_signs_in_with_the_printed_word_and_sees_the_banner(made) -> None:
    from drawndose.department.keeping.demo import words as printed

    one = made[0]
    assert any(f"{one.username} " in line and one.word in line and one.pin in line for line in printed(made))
    browser = client()
    answer = browser.post("/sign-in/", {"username": one.username, "password": one.word}, follow=True)
    assert answer.redirect_chain
    assert "every person and patient here is invented" in words(answer.content.decode())
    assert client().post("/sign-in/", {"username": one.username, "password": made[1].word}).status_code == 422
    for address in ("/", "/instruments/", "/instruments/compare/", "/weighing/", "/sign-in/", "/nowhere/", "/board/"):
        assert "every person and patient here is invented" in words(browser.get(address).content.decode()), address


def test_patients_records_have_no_banner_and_a_page_without_a_storage_opens(
    storage: None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from django.db import connection

    from drawndose.department.ledger.models import Kind
    from drawndose.department.ledger.storage import found

    found(Kind.CARE, actor="setup")
    assert "Kind of records" not in client().get("/instruments/").content.decode()
    if not postgresql():
        monkeypatch.setitem(connection.settings_dict, "NAME", str(tmp_path / "none.sqlite3"))
        assert client().get("/instruments/").status_code == 200
        assert list(tmp_path.iterdir()) == []


def test_a_demo_is_not_made_beside_other_records(made) -> None:
    from drawndose.department.keeping.invented import make

    with pytest.raises(Refused, match="holds invented records already"):
        make(MOMENT)


@pytest.mark.skipif(postgresql(), reason="the demo is a file, whatever the storage of the department is")
def test_the_verb_makes_it_anew_in_its_own_file_and_leaves_every_other_alone(tmp_path: Path) -> None:
    department = new_file(tmp_path)
    settings = {"DRAWNDOSE_DATA": str(tmp_path)}
    for _ in range(2):
        run = verb(department, "demo", "--only-make", "--learners", "1", **settings)
        assert run.returncode == 0, run.stderr
        assert "Sign in as" in run.stdout
    assert not Path(department.removeprefix("sqlite://")).exists()
    demo = f"sqlite://{tmp_path / 'demo.sqlite3'}"
    assert "rows agree" in verb(demo, "audit").stdout
    refused = verb(demo, "start", "--only-prepare", **settings)
    assert (refused.returncode, "it holds invented records" in refused.stderr) == (2, True)


def test_a_file_of_real_records_is_never_cleared(tmp_path: Path) -> None:
    import sqlite3

    from tests.pages import django

    django()
    from drawndose.department.keeping.demo import clear

    path = tmp_path / "demo.sqlite3"
    clear(path)
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE ledger_head (kind TEXT)")
        connection.execute("INSERT INTO ledger_head VALUES ('care')")
    connection.close()
    with pytest.raises(Refused, match="not a demo's"):
        clear(path)
    path.write_bytes(b"a letter to someone")
    with pytest.raises(Refused, match="not a demo's"):
        clear(path)
    assert path.read_bytes() == b"a letter to someone"
