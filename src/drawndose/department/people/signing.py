"""Proving who someone is: by name and password, counted and locked, told alike whether the name exists or not."""

from __future__ import annotations

import re
import unicodedata
from datetime import datetime
from typing import Any

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.utils.crypto import salted_hmac

from drawndose.department.ledger import append as ledger
from drawndose.department.people import tries
from drawndose.department.people.limits import limits, minutes
from drawndose.department.people.models import Person
from drawndose.quantities import Fault, Refused

USERNAME = re.compile(r"[a-z0-9][a-z0-9.-]{0,59}")
"""What a name to sign in with is made of: a scanner and every keyboard can write it."""
LONGEST = 256
"""Characters of a password. A longer one is no password of ours, and is not hashed."""
PIN_BELOW = 12
"""A PIN is shorter than every password: digits below this length are a PIN, and nothing else."""
NOBODY = "unknown name"
"""The actor of a failure whose name nobody has. What was typed is not kept: it may be a password in the wrong box."""


class Wrong(Refused):
    """The name and the secret do not go together."""


class Locked(Refused):
    """Too many tries failed; nothing was looked at. `until` is when the next one is."""

    def __init__(self, until: datetime, at: datetime) -> None:
        rule, wait = "too many tries failed", minutes(until - at)
        super().__init__([Fault(field="sign-in", rule=rule, came="one more", accepted=f"a try in {wait} min")])
        self.until = until


def typed(username: str) -> str:
    """A name to sign in with, as it was meant: without spaces around it, in small letters."""
    return username.strip().lower()


def plain(secret: str) -> str:
    """A password as every keyboard sends it: the same letters are the same code points (Unicode NFKC)."""
    return unicodedata.normalize("NFKC", secret)


def sign_in(username: str, password: str, *, address: str) -> Person:
    """The person of this name and password, with the event. Wrong or Locked otherwise."""
    person = prove(username, password, address=address, means="password")
    with transaction.atomic():
        record("person.signed_in", person, {"address": address})
    return person


def prove(username: str, secret: str, *, address: str, means: str, pin: bool = False) -> Person:
    """The active person of this name whose password (with `pin`: or PIN) this is. Wrong or Locked otherwise.

    Not to be called in a transaction that may be undone: the count would be undone with it. means: for the ledger.
    """
    rules, at = limits(), ledger.now()
    name = typed(username)
    person = Person.objects.filter(username=name).first() if USERNAME.fullmatch(name) else None
    whose = ("person", str(person.pk)) if person is not None else ("name", _hidden(name))
    by_name = tries.Counted(*whose, rules.failures)
    by_address = tries.Counted("address", address[:64], rules.failures_address)
    until = tries.take((by_name, by_address), rules.lock, at)
    if until is not None:
        raise Locked(until, at)
    fits = _fits(person, secret, pin)
    if person is None or not fits:
        _failed(person, (by_name, by_address), {"address": address, "means": means}, at)
        rule = "the name and the password do not go together"
        accepted = f"both as you know them; {rules.failures} failures lock for {minutes(rules.lock)} min"
        raise Wrong([Fault(field="sign-in", rule=rule, came="a name and a secret", accepted=accepted)])
    tries.forgive(by_name)
    tries.give_back(by_address, at)
    return person


def _hidden(name: str) -> str:
    return salted_hmac("drawndose.people.tries", name, algorithm="sha256").hexdigest()


def _fits(person: Person | None, secret: str, pin: bool) -> bool:
    """True when it is the secret. One hash is worked out for a name that nobody has, too: the time taken tells nothing."""
    if person is None or not person.is_active or len(secret) > LONGEST:
        make_password(secret[:LONGEST])
        return False
    if pin and person.pin and secret.isascii() and secret.isdecimal() and len(secret) < PIN_BELOW:
        return check_password(secret, person.pin)
    return person.check_password(plain(secret))


def _failed(person: Person | None, counted: tuple[tries.Counted, ...], content: dict[str, Any], at: datetime) -> None:
    """The failure as an event, and the lock that it brought."""
    rules = limits()
    with transaction.atomic():
        record("person.failed", person, content)
        for one in counted:
            until = tries.locked_until(one, rules.lock, at)
            if until is not None:
                what = "address" if one.kind == "address" else "name"
                record("person.locked", person, content | {"locked": what, "until": until.isoformat()})


def record(name: str, person: Person | None, content: dict[str, Any], *, by: Person | None = None, **more: Any) -> None:
    """An event of a person, in a transaction. by: who did it, when not the person. No secret is ever in one."""
    actor = by or person
    subject = str(person.pk) if person is not None else ""
    ledger.append(
        name, "person", subject, actor=actor.username if actor is not None else NOBODY, content=content, **more
    )
