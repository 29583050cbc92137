"""The invented department with its roles, for tests of the pages where work is done."""

from __future__ import annotations

from typing import Any

from tests.department.scene import scene


def crew() -> Any:
    """The scene with its roles: Ana prepares, Ben checks, Cleo gives and manages; and a stranger who only administers."""
    from drawndose.department.people.models import Person, RoleHeld
    from drawndose.department.people.roles import Role
    from tests.department.people.staff import PASSWORD, PIN, hashed

    on = scene()
    Person.objects.update(pin=hashed(PIN), password=hashed(PASSWORD))
    for who, *roles in (
        (on.ana, Role.PREPARER),
        (on.ben, Role.CHECKER),
        (on.cleo, Role.GIVER, Role.MANAGER),
    ):
        RoleHeld.objects.bulk_create([RoleHeld(person=who, role=role.value) for role in roles])
        who.refresh_from_db()
    return on
