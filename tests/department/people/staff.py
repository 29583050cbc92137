"""An invented staff with passwords and PINs, for tests of signing."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

PASSWORD, OTHER, PIN = "granite-otter-lamp", "velvet-anchor-tide", "408316"
WRONG = "basalt-heron-fork"
ADDRESS = "192.0.2.7"


@dataclass
class Staff:
    """Ana prepares, Ben checks, Cleo administers; all with the same password and PIN."""

    ana: Any
    ben: Any
    cleo: Any


@cache
def hashed(secret: str) -> str:
    """The hash of a secret; worked out once, since it takes its time on purpose."""
    from django.contrib.auth.hashers import make_password

    return make_password(secret)


def person(username: str, name: str, *roles: Any, **more: Any) -> Any:
    """One person with roles."""
    from drawndose.department.ledger.append import now
    from drawndose.department.people.models import Person, RoleHeld

    values = {"password": hashed(PASSWORD), "pin": hashed(PIN), "added_at": now()} | more
    made = Person.objects.create(username=username, name=name, **values)
    RoleHeld.objects.bulk_create([RoleHeld(person=made, role=role.value) for role in roles])
    return made


def staff() -> Staff:
    """A founded storage with its staff."""
    from drawndose.department.ledger.models import Kind
    from drawndose.department.ledger.storage import found
    from drawndose.department.people.roles import Role

    found(Kind.PRACTICE, actor="setup")
    return Staff(
        person("ana", "Ana Sample", Role.PREPARER),
        person("ben", "Ben Example", Role.CHECKER),
        person("cleo", "Cleo Specimen", Role.ADMINISTRATOR),
    )


def events(*names: str) -> list[tuple[str, str]]:
    """Name and actor of every event of persons, in order; of these names only, when any are given."""
    from drawndose.department.ledger.models import Event

    found = Event.objects.filter(subject_kind="person").order_by("number").values_list("name", "actor")
    return [one for one in found if not names or one[0] in names]
