"""One signed-in session on one device: it falls idle, is veiled, and comes back by PIN or password, or ends.

A sitting has its own row, changed by conditional updates only: an act that comes late never lifts a veil.
"""

from __future__ import annotations

from datetime import timedelta

from django.contrib.auth.hashers import check_password
from django.contrib.sessions.models import Session
from django.db import transaction
from django.db.models import Exists, F, OuterRef
from django.utils import timezone

from drawndose.department.ledger import append as ledger
from drawndose.department.people.limits import limits
from drawndose.department.people.models import Person, Sitting
from drawndose.department.people.signing import Wrong, prove, record
from drawndose.quantities import Fault, Refused


class Spent(Refused):
    """The tries of the PIN are spent, or there is no PIN: the password returns."""

    def __init__(self) -> None:
        rule = "the PIN returns no longer"
        super().__init__([Fault(field="PIN", rule=rule, came="a PIN", accepted="your password")])


def sitting_of(session: str, person: Person) -> Sitting:
    """The sitting of a session; made when the session is seen for the first time."""
    at = ledger.now()
    made, _ = Sitting.objects.get_or_create(session=session, defaults={"person": person, "began_at": at, "seen_at": at})
    made.person = person
    return made


def over(sitting: Sitting) -> bool:
    """True when the sitting is older than a session may be."""
    return ledger.now() >= sitting.began_at + limits().session


def left(sitting: Sitting) -> timedelta:
    """How long until it is veiled; nothing when it is, or should be."""
    if sitting.veiled_at is not None:
        return timedelta(0)
    return max(timedelta(0), sitting.seen_at + limits().idle - ledger.now())


def act(sitting: Sitting, *, stays: bool = False) -> bool:
    """The person does something now. False, and the sitting is veiled, when they come too late.

    stays: they open what is made to be left open.
    """
    at = ledger.now()
    open_now = Sitting.objects.filter(pk=sitting.pk, veiled_at=None, seen_at__gt=at - limits().idle)
    if open_now.update(seen_at=at, stays=stays):
        sitting.seen_at, sitting.stays = at, stays
        return True
    veil(sitting)
    return False


def is_open(sitting: Sitting) -> bool:
    """True while it is not veiled, without an act. One that fell idle is veiled now."""
    if left(sitting):
        return True
    veil(sitting)
    return False


def veil(sitting: Sitting) -> None:
    """Veil it, with the event; once."""
    at = ledger.now()
    with transaction.atomic():
        if Sitting.objects.filter(pk=sitting.pk, veiled_at=None).update(veiled_at=at, pin_tries=0):
            record("person.idle", sitting.person, {"since": sitting.seen_at.isoformat()})
    sitting.refresh_from_db()


def pin_returns(sitting: Sitting) -> bool:
    """True while a PIN may still be tried."""
    return bool(sitting.person.pin) and sitting.pin_tries < limits().pin_tries


def back_by_pin(sitting: Sitting, pin: str) -> None:
    """Lift the veil by the PIN of the person whose sitting it is. Wrong, or Spent: each try is counted before it is looked at."""
    mine = Sitting.objects.filter(pk=sitting.pk, veiled_at__isnull=False, pin_tries__lt=limits().pin_tries)
    if not sitting.person.pin or not mine.update(pin_tries=F("pin_tries") + 1):
        raise Spent
    sitting.refresh_from_db()
    if check_password(pin, sitting.person.pin):
        _lift(sitting, "PIN")
        return
    with transaction.atomic():
        record("person.failed", sitting.person, {"means": "PIN", "try": str(sitting.pin_tries)})
    if not pin_returns(sitting):
        raise Spent
    tries_left = limits().pin_tries - sitting.pin_tries
    rule, accepted = "this is not the PIN", f"your PIN; {tries_left} more, then the password"
    raise Wrong([Fault(field="PIN", rule=rule, came="another", accepted=accepted)])


def back_by_password(sitting: Sitting, password: str, *, address: str) -> None:
    """Lift the veil by the password: a whole sign-in of the same person, counted as one. Wrong or Locked."""
    prove(sitting.person.username, password, address=address, means="password to return")
    _lift(sitting, "password")


def _lift(sitting: Sitting, means: str) -> None:
    with transaction.atomic():
        record("person.returned", sitting.person, {"means": means})
        Sitting.objects.filter(pk=sitting.pk).update(veiled_at=None, seen_at=ledger.now(), pin_tries=0)
    sitting.refresh_from_db()


def end(sitting: Sitting, how: str) -> None:
    """Sign off, with the event. how: in words, for the ledger."""
    with transaction.atomic():
        if Sitting.objects.filter(pk=sitting.pk).delete()[0]:
            record("person.signed_off", sitting.person, {"how": how})


def sweep() -> None:
    """Forget sessions that are past, and sittings without one. An event of their end is not made up."""
    Session.objects.filter(expire_date__lt=timezone.now()).delete()
    Sitting.objects.filter(~Exists(Session.objects.filter(session_key=OuterRef("session")))).delete()


def moved(sitting: Sitting, session: str) -> None:
    """The same sitting under another key of its session: after a change of the password."""
    Sitting.objects.filter(pk=sitting.pk).update(session=session)
