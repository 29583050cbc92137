"""Orders: entered, completed, held, changed, ended; and the due doses that come out of a frequency."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction

from drawndose.bench.order import Order as Reading
from drawndose.bench.order import Question, read_order
from drawndose.bench.windows import spacing, window
from drawndose.department.ledger.append import append, now
from drawndose.department.people.models import Person
from drawndose.department.work.change import change
from drawndose.department.work.models import DueDose, Order, Patient, Site
from drawndose.department.work.policy import policy
from drawndose.quantities import Fault, gather
from drawndose.reference import load

HORIZON = timedelta(hours=24)
"""Due doses stand on the board this far ahead; more are added as time goes on."""


def reading_of(text: str) -> Reading:
    """The order as the engine reads it. Refused with every fault."""
    return read_order(text, catalogue=load())


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What is written down of an order: its words, who ordered it and when, when its first dose is due, how it came."""

    text: str
    prescriber: str
    ordered_at: datetime
    first_at: datetime
    spoken: bool = False
    read_back: bool = False
    reason: str = ""

    def hold(self) -> None:
        """Refused with everything that an order may not lack."""
        faults = []
        if not self.prescriber.strip():
            faults.append(_fault("prescriber", "an order has a prescriber", self.prescriber, "the prescriber's name"))
        if self.spoken and not self.read_back:
            rule = "a spoken order is written down, read back and confirmed"
            faults.append(_fault("read back", rule, "no", "yes, when it was"))
        if self.ordered_at > now():
            came = f"{self.ordered_at:%d %b %Y %H:%M}"
            faults.append(_fault("ordered", "the order lies in the future", came, "when it was written"))
        gather(faults)

    def content(self) -> dict[str, Any]:
        """As the ledger keeps it."""
        return {
            "text": self.text.strip(),
            "prescriber": self.prescriber.strip(),
            "ordered_at": self.ordered_at.isoformat(),
            "first_at": self.first_at.isoformat(),
            "spoken": self.spoken,
            "read_back": self.read_back,
        }


def _fault(field: str, rule: str, came: str, accepted: str) -> Fault:
    return Fault(field=field, rule=rule, came=came, accepted=accepted)


def enter(
    patient: Patient,
    site: Site,
    written: Written,
    *,
    by: Person,
    replaces: Order | None = None,
    key: str | None = None,
) -> Order:
    """Enter an order as written. It is complete at once when nothing is missing, and its first due doses are planned.

    Refused when its text cannot be read, with every fault; a spoken order without read-back is refused as well.
    """
    reading = reading_of(written.text)
    written.hold()
    with transaction.atomic():
        made = Order.objects.create(
            patient=patient,
            site=site,
            text=written.text.strip(),
            prescriber=written.prescriber.strip(),
            ordered_at=written.ordered_at,
            spoken=written.spoken,
            read_back=written.read_back,
            reason=written.reason,
            replaces=replaces,
            state="entered",
        )
        content = written.content() | {"patient": patient.number, "replaces": str(replaces.pk) if replaces else ""}
        append("order.entered", "order", str(made.pk), actor=by.username, key=key, content=content)
        if not missing(reading):
            change(made, "order", "order.completed", by=by, version=made.version)
            plan_doses(made, written.first_at, by=by)
    return made


def missing(reading: Reading) -> tuple[Question, ...]:
    """What keeps an order from being complete: everything that its own text leaves open and that stops a preparation."""
    return reading.blocking


def plan_doses(order: Order, first_at: datetime, *, by: Person, until: datetime | None = None) -> list[DueDose]:
    """The due doses from the first one up to the horizon. A single dose is one; an as-needed order has none until asked."""
    reading = reading_of(order.text)
    gap, around = spacing(reading), window(reading, policy())
    if reading.as_needed:
        return []
    end = until or max(now(), first_at) + HORIZON
    moments = [first_at]
    if gap is not None:
        step = timedelta(seconds=int(gap.to("s").value))
        while moments[-1] + step <= end:
            moments.append(moments[-1] + step)
    half = timedelta(seconds=int(around.to("s").value)) if around is not None else timedelta(0)
    return [add_dose(order, moment, half, by=by) for moment in moments if moment <= end or moment == first_at]


def add_dose(order: Order, due_at: datetime, half: timedelta, *, by: Person, key: str | None = None) -> DueDose:
    """One due dose; the one that is there already when it was planned before."""
    with transaction.atomic():
        there = DueDose.objects.filter(order=order, due_at=due_at).first()
        if there is not None:
            return there
        dose = DueDose.objects.create(
            order=order, due_at=due_at, from_at=due_at - half, to_at=due_at + half, state="due"
        )
        content = {"order": str(order.pk), "due_at": due_at.isoformat()}
        append("dose.planned", "dose", str(dose.pk), actor=by.username, key=key, content=content)
    return dose


def hold(order: Order, *, by: Person, version: int, reason: str, key: str | None = None) -> None:
    """Put an order on hold: its due doses stay, and none can be begun."""
    _with_reason(reason)
    with transaction.atomic():
        change(order, "order", "order.held", by=by, version=version, key=key, reason=reason)


def resume(order: Order, *, by: Person, version: int, key: str | None = None) -> None:
    """Take an order up again."""
    with transaction.atomic():
        change(order, "order", "order.resumed", by=by, version=version, key=key)


def end(order: Order, *, by: Person, version: int, reason: str, key: str | None = None) -> None:
    """End an order; doses that nobody has begun are dropped."""
    _with_reason(reason)
    with transaction.atomic():
        change(order, "order", "order.ended", by=by, version=version, key=key, reason=reason)
        _drop(order, by, reason)


def replace(order: Order, written: Written, *, by: Person, version: int, reason: str, key: str | None = None) -> Order:
    """Change an order: the old one ends as changed, the new one names it."""
    _with_reason(reason)
    with transaction.atomic():
        change(order, "order", "order.changed", by=by, version=version, reason=reason, key=key)
        _drop(order, by, reason)
        return enter(order.patient, order.site, written, by=by, replaces=order)


def _drop(order: Order, by: Person, reason: str) -> None:
    for dose in order.duedose_set.filter(state="due"):
        change(dose, "dose", "dose.dropped", by=by, version=dose.version, reason=reason)


def _with_reason(reason: str) -> None:
    if not reason.strip():
        gather([Fault(field="reason", rule="a reason is needed", came=reason, accepted="why, in a few words")])
