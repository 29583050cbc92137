"""Today in the lab: each station with its evaluator, who is there now, who is next, and what waits to be decided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Outcome, act
from drawndose.department.pages.lab.frame import NONE, asked, go, shown, today
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.training import attempts, days
from drawndose.department.training.models import Attempt, Decision, Evaluation, LabDay, Learner, Station
from drawndose.department.training.states import DECIDED
from drawndose.quantities import Fault, Refused


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One card of one learner at a station, numbered as on paper: how it stands, and where it goes on."""

    learner: Learner
    card: dict[str, Any]
    number: str
    state: str
    outcome: str
    go: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A station: its turns, whose is the next, how many are over."""

    station: Station
    turns: tuple[Turn, ...]
    next: Turn | None
    over: int
    mine: bool


def days_now(on: Any) -> list[LabDay]:
    """The open days, and those planned for this day."""
    rows = LabDay.objects.select_related("cohort", "rule").exclude(state__in=["closed", "dropped"])
    return [one for one in rows.order_by("on", "pk") if one.state == "open" or one.on == on]


def tables(day: LabDay, person: Person) -> tuple[Table, ...]:
    """Every station of a day; this evaluator's own first."""
    seated = days.seated(day)
    tried: dict[tuple[int, int, str], Attempt] = {}
    rows = Attempt.objects.filter(station__day=day).exclude(state="broken off").order_by("number")
    for one in rows:
        tried[one.station_id, one.learner_id, one.skill] = one
    made = Decision.objects.filter(attempt__station__day=day, state="stands").values_list("attempt_id", "outcome")
    sheets = dict(
        Evaluation.objects.filter(attempt__station__day=day, evaluator=person, state="open").values_list(
            "attempt_id", "pk"
        )
    )
    found = []
    for station in day.station_set.select_related("evaluator").order_by("number"):
        turns = tuple(_turns(station, seated, tried, dict(made), sheets))
        waits = next((one for one in turns if one.state == "waits"), None)
        over = sum(one.state not in {"waits", "begun"} for one in turns)
        mine = station.evaluator_id == person.pk
        found.append(Table(station=station, turns=turns, next=waits, over=over, mine=mine))
    return tuple(sorted(found, key=lambda one: (not one.mine, one.station.number)))


def _turns(
    station: Station,
    seated: tuple[Learner, ...],
    tried: dict[tuple[int, int, str], Attempt],
    made: dict[int, str],
    sheets: dict[int, int],
) -> list[Turn]:
    by_seat = dict(enumerate(seated, start=1))
    found = []
    for card in station.cards:
        learner = by_seat.get(card["seat"])
        if learner is None:
            continue
        one = tried.get((station.pk, learner.pk, card["form"]))
        go = ""
        if one is not None:
            mine = sheets.get(one.pk)
            go = reverse("lab-sheet", args=[mine]) if mine else reverse("lab-attempt", args=[one.pk])
        state = one.state if one is not None else "waits"
        outcome = made.get(one.pk, "") if one is not None and state in DECIDED else ""
        number = days.number_of(station, card)
        found.append(Turn(learner=learner, card=card, number=number, state=state, outcome=outcome, go=go))
    return found


@require_safe
@allowed(Right.TEACH, Right.SET_POLICY)
def lab(request: HttpRequest) -> HttpResponse:
    """Today."""
    return _page(request)


def _page(request: HttpRequest, outcome: Outcome = NONE) -> HttpResponse:
    found = days_now(today(request))
    asked = request.GET.get("day", request.POST.get("day", ""))
    day = next((one for one in found if str(one.pk) == asked), found[0] if found else None)
    context = {
        "here": "lab",
        "days": found,
        "day": day,
        "tables": tables(day, request.user) if day is not None else (),
        "may_evaluate": request.user.may(Right.TEACH),
        "open_sheets": Evaluation.objects.filter(evaluator=request.user, state="open").select_related(
            "attempt__learner", "attempt__station"
        ),
    }
    return shown(request, "today", context, outcome=outcome)


@require_http_methods(["POST"])
@allowed(Right.TEACH)
def begin(request: HttpRequest) -> HttpResponse:
    """Begin a try of a learner at a station, with the card of that seat."""
    form = asked(request)
    outcome = act(lambda: _begun(request.user, form.fields, form.key), key=form.key)
    if not outcome.done:
        return _page(request, outcome)
    if outcome.value is not None:
        return go(request, reverse("lab-sheet", args=[outcome.value.pk]))
    again = _of_event(outcome)
    return go(request, reverse("lab-sheet", args=[again]) if again else reverse("lab"))


def _of_event(outcome: Outcome) -> int | None:
    """The sheet that the same form had begun before."""
    if outcome.before is None:
        return None
    row = Evaluation.objects.filter(attempt=int(outcome.before.subject), place=1).first()
    return row.pk if row is not None else None


def _begun(person: Person, fields: dict[str, str], key: str) -> Evaluation:
    station = _known(Station.objects.select_related("day__cohort", "day__rule"), fields.get("station", ""), "station")
    learner = _known(Learner.objects.select_related("cohort", "person"), fields.get("learner", ""), "learner")
    card = next((one for one in days.cards_for(station, learner) if one["id"] == fields.get("card", "")), None)
    if card is None:
        rule = "there is no such card for this learner at this station"
        raise Refused([Fault(field="card", rule=rule, came=fields.get("card", ""), accepted="a card of the list")])
    return attempts.begin(station, learner, card, by=person, key=key)


def _known(rows: Any, text: str, field: str) -> Any:
    number = int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else 0
    row = rows.filter(pk=number).first()
    if row is None:
        raise Refused([Fault(field=field, rule="there is none", came=text, accepted="one of the list")])
    return row
