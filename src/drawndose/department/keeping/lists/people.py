"""Persons who sign, with their roles. A list carries no password: an administrator gives the first one."""

from __future__ import annotations

from drawndose.department.keeping.lists.shape import Column, Row, needed, refused
from drawndose.department.ledger.append import now
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Role
from drawndose.department.people.roster import words_of
from drawndose.department.people.signing import USERNAME, record, typed
from drawndose.quantities import Gathering, gather

COLUMNS = (
    Column(name="username", means="the name to sign in with", accepts="letters, digits, dot and hyphen: a.sample"),
    Column(name="name", means="the name as it is signed", accepts="1 to 120 characters"),
    Column(
        name="roles",
        means="what the person is here, with semicolons",
        accepts="; ".join(role.value for role in Role),
    ),
)


def read(row: Row) -> tuple[str, str, tuple[Role, ...]]:
    """Username, name and roles."""
    gathering = Gathering()
    gathering.faults += needed(row, COLUMNS)
    username = gathering.take(lambda: _username(row["username"]))
    roles = gathering.take(lambda: _roles(row["roles"]))
    if len(row["name"]) > 120:
        gathering.faults += refused("name", "it is too long", row["name"], COLUMNS[1].accepts).faults
    gather(gathering.faults)
    return username or "", row["name"], roles or ()


def _username(text: str) -> str:
    name = typed(text)
    if text and not USERNAME.fullmatch(name):
        raise refused("username", "a name to sign in with has other characters", text, COLUMNS[0].accepts)
    return name


def _roles(text: str) -> tuple[Role, ...]:
    known = {role.value: role for role in Role}
    names = [name.strip().lower() for name in text.split(";") if name.strip()]
    unknown = [name for name in names if name not in known]
    if unknown:
        raise refused("roles", "there is no such role", ", ".join(unknown), COLUMNS[2].accepts)
    return tuple(dict.fromkeys(known[name] for name in names))


def write(made: tuple[str, str, tuple[Role, ...]], by: Person, key: str) -> tuple[int, str]:
    """Add the person. Refused when someone signs in by this name already."""
    username, name, roles = made
    if Person.objects.filter(username=username).exists():
        raise refused("username", "someone signs in by this name already", username, "another name")
    person = Person(username=username, name=name, added_at=now())
    person.set_unusable_password()
    person.save()
    person.roleheld_set.model.objects.bulk_create(
        person.roleheld_set.model(person=person, role=role.value) for role in roles
    )
    record("person.added", person, words_of(person, roles), by=by, key=key)
    return 1, "added"
