"""The report of one day of a site: what was due and what became of it, what was wasted, doubted, set aside and changed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.db.models import Count

from drawndose.department.ledger.models import Event
from drawndose.department.work.checklist import name_of
from drawndose.department.work.models import Container, DueDose, Order, Preparation, Site
from drawndose.department.work.places import zone_of
from drawndose.department.work.states import DOSE

MOST = 1_000
"""Doses and reasons that one report lists; that there were more is said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """One due dose of the day. outcome: one of OUTCOMES; still open: its window is over, and nothing was said of it."""

    dose: DueDose
    outcome: str
    made: Preparation | None
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Something that needs reading: what happened, to what, by whom, when and why."""

    event: Event
    about: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """The report. counts: events by name. wasted_nl: waste of the sheets that were closed, by how many of them."""

    on: date
    doses: tuple[Given, ...]
    counts: Counter[str]
    told: tuple[Told, ...]
    wasted_nl: int
    with_waste: int
    second_read: int
    more: bool

    @property
    def outcomes(self) -> Counter[str]:
        """How many doses came to what."""
        return Counter(one.outcome for one in self.doses)


OUTCOMES = ("in time", "early", "late", "not given", "dropped", "still open", "to come")
TOLD = (
    "dose.not_given",
    "preparation.not_given",
    "preparation.broken_off",
    "preparation.taken_back",
    "container.doubted",
    "container.corrected",
    "reaction.seen",
    "caution.silenced",
    "policy.chosen",
    "policy.default",
    "patient.corrected",
    "code.matched_anew",
)
"""Events that a manager reads one by one; the others are counted."""


def day(on: date, site: Site, moment: datetime) -> Day:
    """The report of a day by the clock of the site, as it stands at a moment."""
    zone = zone_of(site)
    start = datetime.combine(on, time(0), tzinfo=zone)
    end = datetime.combine(on + timedelta(days=1), time(0), tzinfo=zone)
    events = Event.objects.filter(at__gte=start, at__lt=end)
    names = {row["name"]: row["count"] for row in events.values("name").annotate(count=Count("number")).order_by()}
    read = list(events.filter(name__in=TOLD).order_by("number")[: MOST + 1])
    doses, more = _doses((start, end), site, read, moment)
    closed = Preparation.objects.filter(started_at__gte=start, started_at__lt=end, order__site=site)
    wasted = [one for one in closed.exclude(wasted_nl=None).values_list("wasted_nl", flat=True) if one]
    return Day(
        on=on,
        doses=doses,
        counts=Counter(names),
        told=tuple(_told(read[:MOST])),
        wasted_nl=sum(wasted),
        with_waste=len(wasted),
        second_read=closed.exclude(read_by=None).count(),
        more=more or len(read) > MOST,
    )


def _doses(
    span: tuple[datetime, datetime], site: Site, events: Iterable[Event], moment: datetime
) -> tuple[tuple[Given, ...], bool]:
    states = [state for state in DOSE if state]
    rows = DueDose.objects.filter(state__in=states, due_at__gte=span[0], due_at__lt=span[1], order__site=site)
    shown = rows.select_related("order__patient", "order__site").prefetch_related("preparation_set__given_by")
    found = list(shown.order_by("due_at", "pk")[: MOST + 1])
    reasons = {(one.subject_kind, one.subject): one.reason for one in events if one.name.endswith("not_given")}
    return tuple(_given(one, reasons, moment) for one in found[:MOST]), len(found) > MOST


def _given(dose: DueDose, reasons: dict[tuple[str, str], str], moment: datetime) -> Given:
    made = next((one for one in dose.preparation_set.all() if one.given_at is not None), None)
    if dose.state == "given" and made is not None and made.given_at is not None:
        outcome = "in time"
        if dose.from_at != dose.to_at:
            outcome = "late" if made.given_at > dose.to_at else "early" if made.given_at < dose.from_at else "in time"
        return Given(dose=dose, outcome=outcome, made=made)
    if dose.state in {"not given", "dropped"}:
        return Given(dose=dose, outcome=dose.state, made=None, reason=reasons.get(("dose", str(dose.pk)), ""))
    return Given(dose=dose, outcome="still open" if dose.to_at < moment else "to come", made=made)


def _told(events: list[Event]) -> list[Told]:
    """Each event with what it is about, in words."""
    doses = _ids(events, "dose")
    sheets = [*_ids(events, "preparation"), *_ids(events, "steps")]
    of_dose = {one.pk: one.order for one in DueDose.objects.filter(pk__in=doses).select_related("order__patient")}
    of_sheet = {one.pk: one.order for one in Preparation.objects.filter(pk__in=sheets).select_related("order__patient")}
    shelf = Container.objects.in_bulk(_ids(events, "container"))
    return [Told(event=one, about=_about(one, of_dose, of_sheet, shelf)) for one in events]


def _ids(events: list[Event], kind: str) -> list[int]:
    return [int(one.subject) for one in events if one.subject_kind == kind]


def _about(event: Event, of_dose: dict[int, Order], of_sheet: dict[int, Order], shelf: dict[int, Container]) -> str:
    if event.subject_kind in {"dose", "preparation", "steps"}:
        order = (of_dose if event.subject_kind == "dose" else of_sheet).get(int(event.subject))
        who = f"{order.patient.name}, no. {order.patient.number}: {order.text}" if order is not None else ""
        return who if event.subject_kind == "dose" else f"sheet {event.subject}, {who}"
    if event.subject_kind == "setting":
        return f"{event.subject.replace('_', ' ')}: {event.content.get('from') or 'as shipped'} to {event.content.get('to') or 'as shipped'}"
    if event.subject_kind == "rule":
        return f"{event.content.get('rule', event.subject)}, for {event.content.get('presentation', '')}"
    if event.subject_kind == "container" and int(event.subject) in shelf:
        return f"container {event.subject}, {name_of(shelf[int(event.subject)])}"
    return f"{event.subject_kind} {event.subject}"
