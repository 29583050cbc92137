"""A second person signs for one act on a device where someone else is signed in. That session is not touched."""

from __future__ import annotations

from django.db import transaction

from drawndose.department.people.limits import limits
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right, roles_with
from drawndose.department.people.signing import prove, record, typed
from drawndose.quantities import Fault, gather


def second_person(username: str, secret: str, *, first: Person, right: Right, address: str) -> Person:
    """The person of this name and password or PIN: another one than the first, and with the right. With its event.

    Refused for an empty part or the first person's own name, before anything is counted; Wrong or Locked as at the sign-in,
    and counted with it; Refused when the right is not held or the first password was not changed yet.
    Not to be called in a transaction that may be undone: the count would be undone with it.
    """
    gather(_before(typed(username), secret, first))
    person = prove(username, secret, address=address, means="second person", pin=limits().second_by_pin)
    gather(_after(person, right))
    with transaction.atomic():
        record("person.signed_second", person, {"first": first.username, "to": right.value, "address": address})
    return person


def _before(name: str, secret: str, first: Person) -> list[Fault]:
    found = []
    if not name:
        rule = "a second person is needed"
        found.append(
            Fault(field="second person", rule=rule, came="no name", accepted="the name that they sign in with")
        )
    if not secret:
        rule = "the second person signs"
        found.append(Fault(field="second person's secret", rule=rule, came="nothing", accepted=secret_words()))
    if name == first.username:
        rule = "the second person is another person"
        found.append(Fault(field="second person", rule=rule, came=name, accepted="anyone else who may"))
    return found


def _after(person: Person, right: Right) -> list[Fault]:
    if not person.may(right):
        rule = f"to {right.value} is not this person's"
        return [Fault(field="second person", rule=rule, came=person.name, accepted=", ".join(roles_with(right)))]
    if person.must_change:
        rule = "the first password is not changed yet"
        return [Fault(field="second person", rule=rule, came=person.name, accepted="sign in once, and change it")]
    return []


def secret_words() -> str:
    """What the second person signs with."""
    return "password or PIN" if limits().second_by_pin else "password"
