"""Searching the records: sheets by patient, words of the order, person, lot, state and days; bounded, the newest first."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Q

from drawndose.department.people.models import Person
from drawndose.department.work.models import Patient, Preparation
from drawndose.department.work.states import PREPARATION
from drawndose.quantities import Fault, gather

PAGE = 50
USUAL = timedelta(days=31)
"""Without days, so far back is searched."""
LONGEST = timedelta(days=366)
"""More days at once only for one patient or one lot."""
STATES = tuple(state for state in PREPARATION if state)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is searched for; an empty part does not matter. before: only sheets with a lower number, for the next page."""

    number: str = ""
    words: str = ""
    person: str = ""
    lot: str = ""
    state: str = ""
    first: date | None = None
    last: date | None = None
    before: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One page of sheets, and the number to go on from; None at the end. first, last: the days that were searched."""

    sheets: tuple[Preparation, ...]
    before: int | None
    first: date | None
    last: date


def search(wanted: Wanted, zone: ZoneInfo, today: date) -> Found:
    """The sheets that are wanted. Refused for what cannot be, with every fault: a number that is nobody's finds nothing by silence."""
    last = wanted.last or today
    alone = bool(wanted.number or wanted.lot)
    first = wanted.first or (None if alone else last - USUAL)
    gather(_faults(wanted, first, last, alone))
    rows = Preparation.objects.filter(started_at__lt=_start(last + timedelta(days=1), zone))
    if first is not None:
        rows = rows.filter(started_at__gte=_start(first, zone))
    if wanted.number:
        rows = rows.filter(order__patient__number=wanted.number)
    for word in wanted.words.split():
        rows = rows.filter(order__text__icontains=word)
    if wanted.person:
        who = wanted.person.lower()
        rows = rows.filter(Q(by__username=who) | Q(given_by__username=who) | Q(read_by__username=who))
    if wanted.lot:
        lots = {wanted.lot, wanted.lot.upper(), wanted.lot.lower()}
        rows = rows.filter(draw__container__lot__in=lots).distinct()
    if wanted.state:
        rows = rows.filter(state=wanted.state)
    if wanted.before is not None:
        rows = rows.filter(pk__lt=wanted.before)
    shown = rows.select_related("order__patient", "order__site", "by", "given_by", "read_by").order_by("-pk")
    found = list(shown[: PAGE + 1])
    more = len(found) > PAGE
    return Found(sheets=tuple(found[:PAGE]), before=found[PAGE - 1].pk if more else None, first=first, last=last)


def _faults(wanted: Wanted, first: date | None, last: date, alone: bool) -> list[Fault]:
    found = []
    if wanted.number and not Patient.objects.filter(number=wanted.number).exists():
        rule, accepted = "no patient here has this number", "every digit as on the wristband"
        found.append(Fault(field="number", rule=rule, came=wanted.number, accepted=accepted))
    if wanted.person and not Person.objects.filter(username=wanted.person.lower()).exists():
        rule, accepted = "nobody here signs in with this name", "the name to sign in with"
        found.append(Fault(field="person", rule=rule, came=wanted.person, accepted=accepted))
    if wanted.state and wanted.state not in STATES:
        found.append(Fault(field="state", rule="no such state", came=wanted.state, accepted=", ".join(STATES)))
    if first is not None and first > last:
        came = f"{first:%d %b %Y} to {last:%d %b %Y}"
        found.append(Fault(field="days", rule="the first day is after the last", came=came, accepted="the other way"))
    if first is not None and not alone and last - first > LONGEST:
        came = f"{(last - first).days} days"
        found.append(
            Fault(field="days", rule="at most a year at once", came=came, accepted="fewer days, or one patient")
        )
    return found


def _start(day: date, zone: ZoneInfo) -> datetime:
    return datetime.combine(day, time(0), tzinfo=zone)
