"""A day: set up with a seed, looked at before it is kept; its stations, supplies, and the acts that open and close it."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Outcome, Sent, act
from drawndose.department.pages.lab.frame import NONE, asked, go, place_of, shown, today, told
from drawndose.department.pages.typed import read_day
from drawndose.department.people.models import Person
from drawndose.department.people.roles import RIGHTS, Right
from drawndose.department.training import days
from drawndose.department.training.models import Cohort, LabDay
from drawndose.lab.papers.pack import KINDS as KINDS_OF_PAPER
from drawndose.lab.papers.pack import WHOLE
from drawndose.lab.tasks.supplies import stations, whole_list
from drawndose.lab.tasks.task_set import KINDS
from drawndose.quantities import Fault, Gathering, Refused, gather

DRAFT = "lab-day-new"


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.TEACH, Right.SET_POLICY)
def new(request: HttpRequest) -> HttpResponse:
    """Set a day up. POST: with `look` it is only shown, with `keep` it is kept."""
    if request.method != "POST":
        return _form(request)
    form = asked(request)
    if form.fields.get("do") != "keep":
        outcome = act(lambda: _looked(request, form))
        return _form(request, outcome if not outcome.done else NONE, outcome.value)
    outcome = act(lambda: _kept(request, form), key=form.key)
    if not outcome.done:
        return _form(request, outcome)
    number = outcome.value.pk if outcome.value is not None else int(outcome.before.subject) if outcome.before else 0
    return go(request, reverse("lab-day", args=[number]), DRAFT)


def _wanted(request: HttpRequest, form: Sent) -> tuple[Cohort, days.Wanted]:
    """What was typed, all faults together."""
    gathering = Gathering()
    fields = form.fields
    on = gathering.take(lambda: read_day(fields.get("on", ""), "day"))
    cohort = gathering.take(lambda: _cohort(fields.get("cohort", "")))
    ticked = set(request.POST.getlist("kind"))
    kinds = tuple(one for one in KINDS if one.value in ticked)
    seed, title = fields.get("seed", ""), fields.get("title", "")
    if not 0 < len(seed) <= 40:
        gathering.faults.append(
            Fault(field="seed", rule="a seed is a short text", came=seed, accepted="1 to 40 characters")
        )
    if not kinds:
        accepted = ", ".join(one.value for one in KINDS)
        gathering.faults.append(Fault(field="containers", rule="one or more kinds", came="none", accepted=accepted))
    if not title:
        gathering.faults.append(
            Fault(field="title", rule="this is needed", came="nothing", accepted="what the day is called")
        )
    gather(gathering.faults)
    assert on is not None  # gathered: a fault would have been raised
    assert cohort is not None
    zone = place_of(request).zone
    wanted = days.Wanted(title=title, on=on, zone=zone, seed=seed, kinds=kinds, stops="stops" in fields)
    return cohort, wanted


def _cohort(text: str) -> Cohort:
    number = int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else 0
    row = Cohort.objects.filter(pk=number, state="open").first()
    if row is None:
        raise Refused([Fault(field="class", rule="no such open class", came=text, accepted="a class of the list")])
    return row


def _looked(request: HttpRequest, form: Sent) -> dict[str, Any]:
    cohort, wanted = _wanted(request, form)
    made, seated = days.drawn(cohort, wanted)
    found = [
        {
            "station": one,
            "measured": sum(task.key.measured for task in one.tasks),
            "stops": sum(task.kind.value == "stop" for task in one.tasks),
        }
        for one in stations(made)
    ]
    return {"stations": found, "supplies": whole_list(made), "learners": len(seated)}


def _kept(request: HttpRequest, form: Sent) -> LabDay:
    cohort, wanted = _wanted(request, form)
    return days.plan_day(cohort, wanted, by=request.user, key=form.key)


def _form(request: HttpRequest, outcome: Outcome = NONE, looked: dict[str, Any] | None = None) -> HttpResponse:
    context = {
        "here": "lab",
        "cohorts": Cohort.objects.filter(state="open").order_by("-pk"),
        "kinds": [(one.value, request.method != "POST" or one.value in request.POST.getlist("kind")) for one in KINDS],
        "today": f"{today(request):%d %b %Y}",
        "looked": looked,
        "first": request.method != "POST",
    }
    return shown(request, "day_new", context, outcome=outcome, draft=DRAFT)


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.TEACH, Right.SET_POLICY)
def day(request: HttpRequest, number: int) -> HttpResponse:
    """One day. POST: opened, closed, dropped, or its stations given."""
    row = LabDay.objects.select_related("cohort", "rule").filter(pk=number).first()
    if row is None:
        return told(request, "No such day", f"There is no day {number} here.")
    outcome = NONE
    if request.method == "POST":
        form = asked(request)
        outcome = act(lambda: _do(request, row, form), key=form.key)
        if outcome.done:
            return go(request, reverse("lab-day", args=[row.pk]))
        row.refresh_from_db()
    context = {
        "here": "lab",
        "row": row,
        "stations": row.station_set.select_related("evaluator").order_by("number"),
        "evaluators": evaluators(),
        "seated": days.seated(row),
        "papers": [(WHOLE, "Everything in one"), *KINDS_OF_PAPER.items()],
    }
    return shown(request, "day", context, outcome=outcome)


def evaluators() -> list[Person]:
    """Everyone who may evaluate, by name."""
    roles = [role.value for role, held in RIGHTS.items() if Right.TEACH in held]
    return list(Person.objects.filter(is_active=True, roleheld__role__in=roles).distinct().order_by("name"))


def _do(request: HttpRequest, row: LabDay, form: Sent) -> None:
    do, more = form.fields.get("do", ""), {"by": request.user, "key": form.key}
    if do == "open":
        days.open_day(row, version=form.version, **more)
    elif do == "close":
        days.close_day(row, version=form.version, **more)
    elif do == "drop":
        days.drop_day(row, version=form.version, reason=form.fields.get("reason", ""), **more)
    elif do == "stations":
        people = {str(one.pk): one for one in evaluators()}
        numbers = row.station_set.values_list("number", flat=True)
        to = {one: people.get(form.fields.get(f"station-{one}", "")) for one in numbers}
        days.give_stations(row, to, **more)
    else:
        raise Refused([Fault(field="page", rule="there is no such act", came=do, accepted="a button of this page")])
