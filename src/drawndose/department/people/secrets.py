"""What a password and a PIN must be, and changing them. Only their hashes are kept (argon2)."""

from __future__ import annotations

import re
from itertools import pairwise

from django.contrib.auth.hashers import make_password
from django.contrib.auth.password_validation import CommonPasswordValidator
from django.core.exceptions import ValidationError
from django.db import transaction

from drawndose.department.people.models import Person
from drawndose.department.people.signing import LONGEST, PIN_BELOW, plain, prove, record
from drawndose.quantities import Fault, gather

SHORTEST, DIFFERENT = PIN_BELOW, 5
"""Characters of a password, and how many different ones. The length is a choice of this house."""
PIN_DIGITS = 6
"""Digits of a PIN, at least; below PIN_BELOW, so that it is never taken for a password."""
ENDING = re.compile(r"[\W\d_]+$")


def password_faults(password: str, *, username: str = "", name: str = "", field: str = "password") -> list[Fault]:
    """Why this cannot be a password. The password itself is never repeated."""
    found: list[Fault] = []

    def fault(rule: str, came: str, accepted: str) -> None:
        found.append(Fault(field=field, rule=rule, came=came, accepted=accepted))

    password = plain(password)
    if not SHORTEST <= len(password) <= LONGEST:
        rule = f"a password has {SHORTEST} to {LONGEST} characters"
        fault(rule, f"{len(password)}", "four words that do not belong together, or one made by a password manager")
        return found
    if len(set(password)) < DIFFERENT:
        fault("the same few characters over and over", f"{len(set(password))} different", f"{DIFFERENT} at least")
    if _common(password):
        fault("it is among the commonest passwords", "a common one", "one that nobody else would think of")
    mine = [part for part in re.split(r"\W+", f"{username} {name}".lower()) if len(part) > 2]
    if any(part in password.lower() for part in mine):
        fault("it holds your name", "a part of the name", "one without it")
    return found


def _common(password: str) -> bool:
    """True for one of the commonest, and for one of them with figures or signs put after it."""
    for text in {password, ENDING.sub("", password)}:
        try:
            CommonPasswordValidator().validate(text)
        except ValidationError:
            return True
    return False


def pin_faults(pin: str, field: str = "pin") -> list[Fault]:
    """Why this cannot be a PIN."""
    if not (pin.isascii() and pin.isdecimal() and PIN_DIGITS <= len(pin) < PIN_BELOW):
        rule, came = f"a PIN has {PIN_DIGITS} to {PIN_BELOW - 1} digits and nothing else", f"{len(pin)} characters"
        return [Fault(field=field, rule=rule, came=came, accepted="digits")]
    steps = {int(after) - int(before) for before, after in pairwise(pin)}
    if len(set(pin)) < 3 or steps in ({1}, {-1}) or pin in (pin[:3] * 4)[: len(pin)]:
        rule = "it is one of those that are tried first"
        return [Fault(field=field, rule=rule, came="a run or a repeat", accepted="digits without a pattern")]
    return []


def change_password(person: Person, old: str, new: str, again: str, *, address: str) -> None:
    """Change the own password. Refused with every fault; a wrong old one is counted as a failed try."""
    faults = password_faults(new, username=person.username, name=person.name, field="new password")
    if plain(new) != plain(again):
        rule = "the new password was not typed the same twice"
        faults.append(Fault(field="new password again", rule=rule, came="another", accepted="the same"))
    if plain(new) == plain(old):
        faults.append(Fault(field="new password", rule="it is the old one", came="the old one", accepted="another"))
    gather(faults)
    prove(person.username, old, address=address, means="password to change it")
    with transaction.atomic():
        record("person.password_changed", person, {})
        Person.objects.filter(pk=person.pk).update(password=make_password(plain(new)), must_change=False)
    person.refresh_from_db()


def change_pin(person: Person, password: str, pin: str, again: str, *, address: str) -> None:
    """Set the own PIN, or with an empty one take it away. The password is asked; a wrong one is counted."""
    faults = pin_faults(pin, "new PIN") if pin else []
    if pin != again:
        faults.append(
            Fault(field="new PIN again", rule="it was not typed the same twice", came="another", accepted="the same")
        )
    gather(faults)
    prove(person.username, password, address=address, means="password to change the PIN")
    with transaction.atomic():
        record("person.pin_changed" if pin else "person.pin_removed", person, {})
        Person.objects.filter(pk=person.pk).update(pin=make_password(pin) if pin else "")
    person.refresh_from_db()
