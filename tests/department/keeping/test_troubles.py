"""What the storage or the disk refuses is told in one sentence, and nothing else is taken for it."""

import errno

import pytest

from tests.pages import client, django, words


def made(text: str, state: str | None = None, kind: str = "OperationalError") -> Exception:
    django()
    from django import db

    error = getattr(db, kind)(text)
    if state is not None:
        cause = Exception(text)
        cause.sqlstate = state  # type: ignore[attr-defined]
        error.__cause__ = cause
    return error  # type: ignore[no-any-return]


@pytest.mark.parametrize(
    ("text", "state", "says"),
    [
        ("database or disk is full", None, "The disk is full."),
        ("attempt to write a readonly database", None, "can only be read"),
        ("database is locked", None, "busy for too long"),
        ("disk I/O error", None, "The disk gave a fault."),
        ("unable to open database file", None, "cannot be opened"),
        ("no such table: ledger_head", None, "no tables yet"),
        ("could not extend file", "53100", "The disk is full."),
        ("cannot execute INSERT in a read-only transaction", "25006", "can only be read"),
        ("terminating connection due to administrator command", "57P01", "cannot be reached"),
        ("connection refused", None, "cannot be reached"),
        ('relation "ledger_head" does not exist', "42P01", "no tables yet"),
    ],
)
def test_a_storage_that_refuses_is_told(text: str, state: str | None, says: str) -> None:
    from drawndose.department.keeping.troubles import told

    assert says in told(made(text, state))


def test_a_disk_that_refuses_is_told() -> None:
    from drawndose.department.keeping.troubles import told

    assert "The disk is full." in told(OSError(errno.ENOSPC, "No space left on device"))
    assert "can only be read" in told(OSError(errno.EROFS, "Read-only file system"))
    assert told(OSError(errno.EINTR, "Interrupted")) == ""


def test_a_fault_of_ours_is_not_taken_for_one_of_the_storage() -> None:
    from drawndose.department.keeping.troubles import told

    assert told(ValueError("the disk is full")) == ""
    assert told(made("duplicate key", "23505", "IntegrityError")) == ""


def test_a_storage_that_is_away_tells_how_records_are_reached(monkeypatch: pytest.MonkeyPatch) -> None:
    from django.conf import settings

    from drawndose.department.chosen import Chosen
    from drawndose.department.web import views

    def refuse(*args: object) -> None:
        raise made("unable to open database file")

    monkeypatch.setattr(views, "bench_page", refuse)
    monkeypatch.setattr(settings, "CHOSEN", Chosen(values={"emergency_access": "call the pharmacy"}))
    said = words(client(raise_request_exception=False).get("/").content.decode())
    assert "Then open the page again. Records in an emergency: call the pharmacy" in said


@pytest.mark.parametrize(
    ("error", "status", "said"),
    [
        (made("database or disk is full"), 503, "The disk is full. Nothing of this was written"),
        (OSError(errno.EROFS, "Read-only file system"), 503, "The storage can only be read."),
        (ValueError("the disk is full"), 500, "The fault is ours."),
    ],
)
def test_a_page_tells_it_too(error: Exception, status: int, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.web import views

    def refuse(*args: object) -> None:
        raise error

    monkeypatch.setattr(views, "bench_page", refuse)
    answer = client(raise_request_exception=False).get("/")
    assert answer.status_code == status
    assert said in words(answer.content.decode())
