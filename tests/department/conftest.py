"""A storage for a test: `storage` is undone after it, `committed` is emptied after it and may be used by several threads."""

from collections.abc import Iterator

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
