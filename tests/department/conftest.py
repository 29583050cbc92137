"""A storage for a test: `storage` is undone after it, `committed` is emptied after it and may be used by several threads."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

from tests.pages import django, migrated


@pytest.fixture(autouse=True, scope="session")
def quick_secrets() -> Iterator[None]:
    """Passwords of tests cost little: how dear a try must be is held where it is settled, not paid a thousand times here."""
    django()
    from django.contrib.auth.hashers import Argon2PasswordHasher

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Argon2PasswordHasher, "time_cost", 1)
        patch.setattr(Argon2PasswordHasher, "memory_cost", 8 * Argon2PasswordHasher.parallelism)
        yield


class Clock:
    """The one clock of the department in a test's hand: it stands still until it is set or let pass."""

    def __init__(self) -> None:
        self.at = datetime.now(UTC)

    def now(self, zone: object) -> datetime:
        return self.at

    def stands(self, moment: datetime) -> None:
        self.at = moment.astimezone(UTC)

    def passes(self, **span: float) -> None:
        self.at += timedelta(**span)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """It is moved where the machine's is read, never at a name another module took: one that is first imported while a
    name is replaced would keep the replaced one, for every test after it."""
    from drawndose.department.ledger import append

    held = Clock()
    monkeypatch.setattr(append, "datetime", held)
    return held


@pytest.fixture
def storage() -> Iterator[None]:
    """Everything that the test writes is rolled back."""
    migrated()
    from django.db import transaction

    with transaction.atomic():
        yield
        transaction.set_rollback(True)


@pytest.fixture
def committed() -> Iterator[None]:
    """What the test writes is committed, and the tables are emptied after it."""
    migrated()
    from django.core.management import call_command

    yield
    call_command("flush", "--noinput", verbosity=0)
