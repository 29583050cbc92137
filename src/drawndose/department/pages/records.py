"""Records: sheets searched by patient, words, person, lot, state and days; and the report of one day."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from drawndose.bench.moments import told_day
from drawndose.department.ledger.append import now
from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Outcome, act
from drawndose.department.pages.links import sheet_address
from drawndose.department.pages.page import page
from drawndose.department.pages.sites import site_of
from drawndose.department.pages.typed import read_day
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.work import day as report
from drawndose.department.work import records as service
from drawndose.department.work.models import Site
from drawndose.department.work.places import local, zone_of
from drawndose.department.work.policy import house
from drawndose.quantities import Fault, Gathering, Refused, gather

TEXTS = ("number", "words", "person", "lot", "state")
LONGEST = 120
EARLIEST, AHEAD = date(2000, 1, 1), timedelta(days=366)
"""Days that can have records: what is imported may be old, and a first dose may lie ahead."""
COUNTED = (
    ("Orders entered", "order.entered"),
    ("Orders changed", "order.changed"),
    ("Orders put on hold", "order.held"),
    ("Orders ended", "order.ended"),
    ("Sheets begun", "preparation.begun"),
    ("Sheets closed", "preparation.closed"),
    ("Sheets broken off", "preparation.broken_off"),
    ("Second readings", "preparation.read"),
    ("Cautions answered", "caution.answered"),
    ("Cautions silenced", "caution.silenced"),
    ("Containers received", "container.received"),
    ("Containers opened", "container.opened"),
    ("Containers discarded", "container.discarded"),
    ("Containers in doubt", "container.doubted"),
    ("Settings changed", "policy.chosen"),
    ("Sign-ins that failed", "person.failed"),
)
"""What the report counts, with the event that it is."""


@require_safe
@allowed(Right.SEE_WORK)
def records(request: HttpRequest) -> HttpResponse:
    """The search and one page of what it finds; everything asked stands in the address."""
    site = site_of(request) or Site.objects.order_by("pk").first()
    texts = {name: " ".join(request.GET.get(name, "").split())[:LONGEST] for name in (*TEXTS, "first", "last")}
    zone = zone_of(site) if site is not None else None
    found, outcome = None, Outcome(done=True)
    if zone is not None:
        outcome = act(lambda: service.search(_wanted(request, texts), zone, now().astimezone(zone).date()))
        found = outcome.value
    asked = {name: text for name, text in texts.items() if text}
    context = {
        "here": "records",
        "typed": texts,
        "outcome": outcome,
        "found": found,
        "keeping": house("keeping_years"),
        "sheets": [(made, sheet_address(made)) for made in found.sheets] if found is not None else [],
        "searched": _searched(found),
        "states": service.STATES,
        "people": Person.objects.order_by("name")[:200],
        "more": urlencode(asked | {"before": found.before}) if found is not None and found.before else "",
        "asked": bool(asked),
        "sites": Site.objects.count(),
    }
    return page(request, "department/records.html", context, status=outcome.status)


def _wanted(request: HttpRequest, texts: dict[str, str]) -> service.Wanted:
    taking = Gathering()

    def on(name: str) -> date | None:
        return taking.take(lambda: _day_of_records(texts[name], f"{name} day")) if texts[name] else None

    first, last = on("first"), on("last")
    gather(taking.faults)
    before = request.GET.get("before", "")
    known = before.isascii() and before.isdecimal() and len(before) < 19
    return service.Wanted(
        number=texts["number"],
        words=texts["words"],
        person=texts["person"],
        lot=texts["lot"],
        state=texts["state"],
        first=first,
        last=last,
        before=int(before) if known else None,
    )


def _day_of_records(text: str, field: str) -> date:
    """A day on which there can be records. Refused for another."""
    on = read_day(text, field)
    if not EARLIEST <= on <= now().date() + AHEAD:
        rule = f"there are records from {told_day(EARLIEST)} to {AHEAD.days} days ahead"
        raise Refused([Fault(field=field, rule=rule, came=text, accepted="a day between them")])
    return on


def _searched(found: service.Found | None) -> str:
    if found is None:
        return ""
    first = f"{told_day(found.first)} to " if found.first is not None else "Everything to "
    return f"{first}{told_day(found.last)}"


@require_safe
@allowed(Right.SEE_DAY)
def day(request: HttpRequest) -> HttpResponse:
    """What became of everything that was due on one day, and what a manager reads."""
    site = site_of(request)
    if site is None:
        told = {"title": "No site yet", "words": "A day is reported by the clock of a place, and none is set up."}
        return page(request, "department/told.html", told, status=409)
    text = " ".join(request.GET.get("on", "").split())[:LONGEST]
    today = local(site, now()).date()
    outcome = act(lambda: _day_of_records(text, "day") if text else today)
    on = outcome.value if outcome.done else today
    found = report.day(on, site, now())
    context: dict[str, Any] = {
        "here": "day",
        "site": site,
        "day": found,
        "today": today,
        "before": on - timedelta(days=1),
        "after": on + timedelta(days=1) if on < today else None,
        "typed": text,
        "outcome": outcome,
        "outcomes": [(name, found.outcomes[name]) for name in report.OUTCOMES],
        "counts": [(words, found.counts[name]) for words, name in COUNTED],
        "doses": [(one, sheet_address(one.made) if one.made is not None else "") for one in found.doses],
        "events": sum(found.counts.values()),
    }
    return page(request, "department/day.html", context, status=outcome.status)
