"""Orders: entered, completed, held, resumed, changed, ended. Their due doses are planned in `due`, and topped up as time goes on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction

from drawndose.bench.moments import is_over
from drawndose.department.ledger.append import append, now
from drawndose.department.people.models import Person
from drawndose.department.work.change import change
from drawndose.department.work.due import add_dose, drop_due, on_demand, owe_from, plan_doses, plan_missed, top_up
from drawndose.department.work.models import Order, Patient, Site
from drawndose.department.work.policy import house
from drawndose.department.work.reading import missing, reading_for, reading_of
from drawndose.quantities import Fault, gather

NOT_SAID = "reason not said"
"""What is read of an order as needed without a reason in its words."""
FARTHEST = timedelta(days=31)
"""How far ahead a first dose may lie: more is a slip of the date. A setting of this house."""


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
        elif not is_over(self.ordered_at, self.first_at) or self.first_at > now() + FARTHEST:
            rule = f"the first dose is due after it was ordered, and within {FARTHEST.days} days"
            faults.append(_fault("first dose", rule, f"{self.first_at:%d %b %Y %H:%M}", "when it is to be given"))
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
            "reason": self.reason.strip(),
        }


def _fault(field: str, rule: str, came: str, accepted: str) -> Fault:
    return Fault(field=field, rule=rule, came=came, accepted=accepted)


def hold_reason(text: str, reason: str) -> None:
    """Refused for an order that must name what the drug is for, by the setting, and does not: neither in its words nor beside them."""
    which, reading = house("reason_in_order"), reading_of(text)
    asked = which == "every one" or (which == "as needed" and bool(reading.as_needed))
    if asked and not reason.strip() and reading.as_needed in {"", NOT_SAID}:
        rule = f"what the drug is for is named here; by the policy, of orders: {which}"
        gather([_fault("for what", rule, "nothing", "wheeze, beside the order or in its words: as needed for wheeze")])


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
    hold_reason(written.text, written.reason)
    written.hold()
    with transaction.atomic():
        made = Order.objects.create(
            patient=patient,
            site=site,
            text=written.text.strip(),
            prescriber=written.prescriber.strip(),
            ordered_at=written.ordered_at,
            first_at=written.first_at,
            spoken=written.spoken,
            read_back=written.read_back,
            reason=written.reason,
            replaces=replaces,
            state="entered",
        )
        content = written.content() | {"patient": patient.number, "replaces": str(replaces.pk) if replaces else ""}
        append("order.entered", "order", str(made.pk), actor=by.username, key=key, content=content)
        if not missing(reading_for(made)):
            _complete(made, by=by, version=made.version)
    return made


def complete(order: Order, *, by: Person, version: int, key: str | None = None) -> None:
    """Complete an order that waited for a fact of the patient. Refused with what is still missing; then its words must change."""
    asked = missing(reading_for(order))
    gather(_fault(one.field, one.asks, "nothing", "; ".join(one.options) or "an answer") for one in asked)
    with transaction.atomic():
        _complete(order, by=by, version=version, key=key)


def _complete(order: Order, *, by: Person, version: int, key: str | None = None) -> None:
    """Complete, with the weight that its doses are reckoned with from now on, and the first due doses."""
    patient = order.patient
    weight = {"weight_g": patient.weight_g, "weighed_on": patient.weighed_on}
    told = {name: str(value) if value is not None else "" for name, value in weight.items()}
    change(order, "order", "order.completed", by=by, version=version, key=key, content=told, **weight)
    plan_doses(order, order.first_at or now(), by=by)


def hold(order: Order, *, by: Person, version: int, reason: str, key: str | None = None) -> None:
    """Put an order on hold: its due doses stay, and none can be begun."""
    _with_reason(reason)
    with transaction.atomic():
        change(order, "order", "order.held", by=by, version=version, key=key, reason=reason)


def resume(order: Order, *, by: Person, version: int, key: str | None = None) -> None:
    """Take an order up again. Doses whose time was over meanwhile are dropped: nothing is made up for."""
    with transaction.atomic():
        change(order, "order", "order.resumed", by=by, version=version, key=key)
        moment = now()
        plan_missed(order, moment)
        drop_due(order, by, "the order stood on hold", over_before=moment)
        owe_from(order, moment)


def end(order: Order, *, by: Person, version: int, reason: str, key: str | None = None) -> None:
    """End an order; doses that nobody has begun are dropped."""
    _with_reason(reason)
    with transaction.atomic():
        change(order, "order", "order.ended", by=by, version=version, key=key, reason=reason)
        drop_due(order, by, reason)


def replace(order: Order, written: Written, *, by: Person, version: int, reason: str, key: str | None = None) -> Order:
    """Change an order: the old one ends as changed, the new one names it."""
    _with_reason(reason)
    with transaction.atomic():
        change(order, "order", "order.changed", by=by, version=version, reason=reason, key=key)
        drop_due(order, by, reason)
        return enter(order.patient, order.site, written, by=by, replaces=order)


def _with_reason(reason: str) -> None:
    if not reason.strip():
        gather([Fault(field="reason", rule="a reason is needed", came=reason, accepted="why, in a few words")])


__all__ = [
    "Written",
    "add_dose",
    "complete",
    "end",
    "enter",
    "hold",
    "missing",
    "on_demand",
    "plan_doses",
    "reading_for",
    "reading_of",
    "replace",
    "resume",
    "top_up",
]
