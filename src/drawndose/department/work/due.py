"""Due doses: planned ahead, topped up as time goes on, asked for when one is needed, and said not to be given."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import islice

from django.db import transaction

from drawndose.bench.course import course
from drawndose.bench.dosing import resolve
from drawndose.bench.findings import Finding
from drawndose.bench.order import Order as Reading
from drawndose.bench.safeguards import each_ordered, order_findings
from drawndose.department.ledger.append import append, now
from drawndose.department.people.models import Person
from drawndose.department.work.change import change
from drawndose.department.work.models import DueDose, Order, Preparation
from drawndose.department.work.places import local, zone_of
from drawndose.department.work.policy import policy
from drawndose.department.work.reading import reading_for, reading_of
from drawndose.department.work.times import half_window, moments
from drawndose.quantities import Fault, Refused, gather
from drawndose.reference import load

HORIZON = timedelta(hours=24)
"""Due doses stand on the board this far ahead; more are added as time goes on."""
MOST = 200
"""Orders that one call tops up, and doses that it adds to one order: what is left over, the next call does."""
BY_ITSELF = "drawndose"
"""The actor of what nobody pressed."""
OPEN = ("due", "being prepared", "prepared")
NEAR = "last-dose-too-near"
"""The engine's rule on the time since the last dose."""


def plan_doses(order: Order, first_at: datetime, *, by: Person, until: datetime | None = None) -> list[DueDose]:
    """The due doses from the first one up to the horizon. A single dose is one; an as-needed order has none until asked."""
    end = until or max(now(), first_at) + HORIZON
    return _plan(order, first_at, end, by.username)


def top_up(moment: datetime) -> list[Order]:
    """Plan every dose that falls due up to the horizon. Called as often as one likes: it does what is left to do, once.

    Returned are the orders whose words can no longer be read, so that nobody waits for doses that are never planned.
    """
    ahead = moment + HORIZON
    owing = Order.objects.filter(state="complete", next_at__lte=ahead).select_related("site", "patient")
    unread = []
    for order in owing.order_by("next_at")[:MOST]:
        try:
            with transaction.atomic():
                _plan(order, order.next_at, ahead, BY_ITSELF, seen=order.next_at)
        except Refused:
            unread.append(order)
    return unread


def _plan(order: Order, first: datetime, end: datetime, actor: str, seen: datetime | None = None) -> list[DueDose]:
    """The doses from the first one on; the order then owes the next one. seen: what it owed; none when another took that meanwhile."""
    reading = reading_of(order.text)
    half = half_window(reading)
    left = doses_left(order, reading)
    most = MOST + 1 if left is None else min(left, MOST + 1)
    coming = list(islice(moments(reading, zone_of(order.site), first), most))
    due = [moment for moment in coming[:MOST] if moment <= end or moment == first]
    following = next((moment for moment in coming if moment not in due), None)
    mine = Order.objects.filter(pk=order.pk)
    if seen is not None:
        mine = mine.filter(state="complete", next_at=seen)
    if not mine.update(next_at=following):
        return []
    order.next_at = following
    return [add_dose(order, moment, half, actor=actor) for moment in due]


def doses_left(order: Order, reading: Reading) -> int | None:
    """How many doses of its course an order has yet to plan; None where it goes on until it is ended.

    Every scheduled dose counts, whatever became of it: a missed one is not made up for at the end. As needed, one that was asked for
    and not given does not count.
    """
    asked = course(reading)
    if asked is None:
        return None
    planned = order.duedose_set.all()
    return max(
        0, asked - (planned.exclude(state__in=["not given", "dropped"]) if reading.as_needed else planned).count()
    )


def told_course(order: Order, reading: Reading) -> str:
    """How far the course of an order is, in words; empty where it has none."""
    left = doses_left(order, reading)
    if left is None:
        return ""
    became = Counter(order.duedose_set.values_list("state", flat=True))
    coming = left + sum(became.pop(state, 0) for state in OPEN)
    parts = [f"{became[state]} {state}" for state in ("given", "not given", "dropped") if became[state]]
    return f"{course(reading)} in all: {', '.join([*parts, f'{coming} to come'])}"


def add_dose(order: Order, due_at: datetime, half: timedelta, *, actor: str, key: str | None = None) -> DueDose:
    """One due dose; the one that is there already when it was planned before."""
    with transaction.atomic():
        there = DueDose.objects.filter(order=order, due_at=due_at).first()
        if there is not None:
            return there
        dose = DueDose.objects.create(
            order=order, due_at=due_at, from_at=due_at - half, to_at=due_at + half, state="due"
        )
        content = {"order": str(order.pk), "due_at": due_at.isoformat()}
        append("dose.planned", "dose", str(dose.pk), actor=actor, key=key, content=content)
    return dose


def on_demand(
    order: Order, *, by: Person, version: int, reason: str = "", key: str | None = None
) -> DueDose | tuple[Finding, ...]:
    """A dose of an as-needed order, due now. Findings come back, and none is planned, while the last one is too near and no
    reason is given. Refused for another kind of order, for one that is not complete, and while one is asked for already.
    """
    reading = reading_for(order)
    faults = []
    if not reading.as_needed:
        faults.append(_fault("a dose is asked for as needed only", order.text, "its due doses, or a changed order"))
    if order.state != "complete":
        faults.append(_fault(f"the order is {order.state}", order.text, "a complete order"))
    if (over := _over(order, reading)) and reading.as_needed:
        faults.append(_fault(over, order.text, "a new order"))
    waiting = order.duedose_set.filter(state__in=OPEN).order_by("due_at").first()
    if waiting is not None:
        told = f"{local(order.site, waiting.due_at):%d %b %Y %H:%M}"
        faults.append(_fault("one is asked for already", f"due {told}, {waiting.state}", "that one first"))
    gather(faults)
    judged = too_near(order)
    if judged and not reason.strip():
        return judged
    moment = now()
    with transaction.atomic():
        content = {"why": [one.says for one in judged]}
        change(order, "order", "order.asked", by=by, version=version, reason=reason, key=key, content=content)
        return add_dose(order, moment, timedelta(0), actor=by.username)


def _over(order: Order, reading: Reading) -> str:
    """That an order as needed has come to its end, by its doses or by its days; empty while it goes on."""
    if doses_left(order, reading) == 0:
        return f"the order was for {course(reading)} doses"
    days = reading.frequency.days if reading.frequency is not None else None
    if days is None or order.first_at is None:
        return ""
    first = local(order.site, order.first_at)
    last = (first + timedelta(days=days)).astimezone(UTC)  # days are days of the calendar, by the clock of the site
    return f"the order was for {days} days, until {local(order.site, last):%d %b %Y %H:%M}" if now() >= last else ""


def too_near(order: Order) -> tuple[Finding, ...]:
    """What the engine says of the time since the last dose of these drugs that this patient was given, whatever the order."""
    last = last_given(order)
    if last is None or last.given_at is None:
        return ()
    reading = reading_for(order)
    given = local(order.site, last.given_at).replace(tzinfo=None)
    known = replace(reading, last_dose=given)
    doses = tuple(resolve(line, known) for line in known.lines)
    found = order_findings(each_ordered(known, doses, load(), policy(), local(order.site, now())))
    return tuple(one for one in found if one.rule == NEAR)


LOOKED_AT = 20
"""Given preparations of a patient that are looked at for the last dose of a drug, the newest first."""


def last_given(order: Order) -> Preparation | None:
    """The last preparation that this patient was given with a drug of this order."""
    drugs = {line.drug.id for line in reading_of(order.text).lines}
    given = Preparation.objects.filter(order__patient=order.patient_id, given_at__isnull=False)
    for one in given.select_related("order").order_by("-given_at")[:LOOKED_AT]:
        try:
            if drugs & {line.drug.id for line in reading_of(one.order.text).lines}:
                return one
        except Refused:
            return one  # words that can no longer be read may hold this drug
    return None


def not_given(dose: DueDose, *, by: Person, version: int, reason: str, told: str, key: str | None = None) -> None:
    """Say that a dose that nobody has begun is not given: why, and who was told."""
    gather(
        [
            Fault(field=name, rule="this is needed", came=text, accepted="a few words")
            for name, text in (("reason", reason), ("told", told))
            if not text.strip()
        ]
    )
    if dose.state != "due":
        rule = f"the dose is {dose.state}"
        raise Refused([Fault(field="dose", rule=rule, came="not given", accepted="its sheet says what can be done")])
    with transaction.atomic():
        content = {"told": told.strip()}
        change(dose, "dose", "dose.not_given", by=by, version=version, reason=reason, key=key, content=content)


def drop_due(order: Order, by: Person, reason: str, *, over_before: datetime | None = None) -> None:
    """Drop doses that nobody has begun; only those whose time was over before a moment, when one is named."""
    doses = order.duedose_set.filter(state="due")
    for dose in doses.filter(to_at__lt=over_before) if over_before is not None else doses:
        change(dose, "dose", "dose.dropped", by=by, version=dose.version, reason=reason)


def plan_missed(order: Order, moment: datetime) -> None:
    """Doses of a course that would have been due before this moment stand as planned, to be dropped: they count, and are not made up for."""
    reading = reading_of(order.text)
    while course(reading) is not None and order.next_at is not None and order.next_at < moment:
        _plan(order, order.next_at, moment, BY_ITSELF)


def owe_from(order: Order, moment: datetime) -> None:
    """Owe no dose before this moment: what would have been due meanwhile is not made up for."""
    if order.next_at is None or order.next_at >= moment:
        return
    reading = reading_of(order.text)
    coming = moments(reading, zone_of(order.site), order.next_at)
    order.next_at = next((one for one in coming if one >= moment), None)
    Order.objects.filter(pk=order.pk).update(next_at=order.next_at)


def _fault(rule: str, came: str, accepted: str) -> Fault:
    return Fault(field="dose", rule=rule, came=came, accepted=accepted)
