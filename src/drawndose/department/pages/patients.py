"""Patients: found by number or name, added with two identifiers, weighed, asked about allergies; their orders and doses."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any

from django.db.models import Q
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from drawndose.bench.moments import told_day
from drawndose.department.ledger.append import now
from drawndose.department.ledger.models import Event
from drawndose.department.pages.access import allowed, not_yours
from drawndose.department.pages.acting import Outcome, Sent, act, new_key, sent
from drawndose.department.pages.links import may_any, sheet_address
from drawndose.department.pages.page import page
from drawndose.department.pages.sites import site_of
from drawndose.department.pages.typed import read_day
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.work import patients as service
from drawndose.department.work.models import Container, DueDose, Order, Patient, Preparation, Site
from drawndose.department.work.places import local
from drawndose.quantities import Fault, Gathering, Refused, gather

NONE = Outcome(done=True)
OPEN_ORDERS = ("entered", "complete", "on hold")
MOST = 20
"""Ended orders, sheets and doses that a patient's page shows."""
CARES = (Right.ENTER_ORDERS, Right.PREPARE, Right.GIVE)
"""Who may write down a weight or an allergy."""


@require_safe
@allowed(Right.SEE_WORK)
def patients(request: HttpRequest) -> HttpResponse:
    """A search box, and the patients that have orders now."""
    wanted = " ".join(request.GET.get("q", "").split())[:120]
    found = service.find(wanted) if wanted else []
    with_orders = [] if wanted else Patient.objects.filter(order__state__in=OPEN_ORDERS).distinct().order_by("name")
    context = {
        "here": "patients",
        "wanted": wanted,
        "found": found,
        "number_wanted": any(character.isdecimal() for character in wanted),
        "with_orders": with_orders[: service.MOST],
        "for_order": request.GET.get("for") == "order",
        "adds": may_any(request.user, Right.ENTER_ORDERS),
    }
    return page(request, "department/patients.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.ENTER_ORDERS)
def new(request: HttpRequest) -> HttpResponse:
    """Add a patient."""
    outcome, form = NONE, sent(request)
    if request.method == "POST":
        other = form.fields.get("other", "")
        outcome = act(
            lambda: service.add(_identity(form), by=request.user, today=today(request), other=other, key=form.key),
            key=form.key,
        )
        if outcome.done:
            number = outcome.before.subject if outcome.before is not None else outcome.value.pk
            return HttpResponseRedirect(reverse("patient", args=[int(number)]))
    alike = any(one.field == "other" for one in outcome.faults) or bool(form.fields.get("other"))
    context = {
        "here": "patients",
        "outcome": outcome,
        "key": new_key(),
        "typed": form.fields,
        "alike": alike,
        "adds": "patient-new",
    }
    return page(request, "department/patient_new.html", context, status=outcome.status)


def _identity(form: Sent) -> service.Identity:
    taking = Gathering()
    born = taking.take(lambda: read_day(form.fields.get("born", ""), "born"))
    name, number = (" ".join(form.fields.get(one, "").split()) for one in ("name", "number"))
    made = service.Identity(name=name, born=born or date(2000, 1, 1), number=number)
    taking.take(lambda: made.hold(now().date()))
    gather(taking.faults)
    return made


def today(request: HttpRequest) -> date:
    """The day by the clock of the site."""
    site = site_of(request)
    return (local(site, now()) if site is not None else now()).date()


def _weigh(patient: Patient, form: Sent, by: Person, on_day: date, key: str) -> None:
    taking = Gathering()
    on = taking.take(lambda: read_day(form.fields.get("weighed_on", ""), "weighed on"))
    text = form.fields.get("weight", "")
    taking.take(lambda: service.grams_of(text))
    gather(taking.faults)
    assert on is not None
    service.weigh(
        patient,
        text,
        on,
        by=by,
        version=form.version,
        today=on_day,
        reason=form.fields.get("weigh_reason", ""),
        sure="sure" in form.fields,
        key=key,
    )


def _allergies(patient: Patient, form: Sent, by: Person, on_day: date, key: str) -> None:
    del on_day
    none_known = "none_known" in form.fields
    text = form.fields.get("allergies", "")
    service.set_allergies(patient, text, none_known=none_known, by=by, version=form.version, key=key)


def _correct(patient: Patient, form: Sent, by: Person, on_day: date, key: str) -> None:
    reason = form.fields.get("reason", "")
    service.correct(patient, _identity(form), by=by, version=form.version, today=on_day, reason=reason, key=key)


ACTS: dict[str, tuple[tuple[Right, ...], Callable[[Patient, Sent, Person, date, str], None]]] = {
    "weigh": (CARES, _weigh),
    "allergies": (CARES, _allergies),
    "correct": ((Right.ENTER_ORDERS,), _correct),
}


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.SEE_WORK)
def patient(request: HttpRequest, number: int) -> HttpResponse:
    """One patient: identifiers, allergies, weights, orders, doses, and the containers that are theirs."""
    row = Patient.objects.filter(pk=number).first()
    if row is None:
        context = {
            "title": "No such patient",
            "words": "There is no patient of this number here.",
            "do": "Search again.",
        }
        return page(request, "department/told.html", context, status=404)
    outcome, form, do = NONE, sent(request), request.POST.get("do", "")
    if request.method == "POST":
        rights, what = ACTS.get(do, (CARES, _nothing))
        if not may_any(request.user, *rights):
            return not_yours(request, rights)
        outcome = act(lambda: what(row, form, request.user, today(request), form.key), key=form.key)
        if outcome.done:
            return HttpResponseRedirect(reverse("patient", args=[row.pk]))
        row = Patient.objects.get(pk=row.pk)
    acting: dict[str, Any] = {"outcome": outcome, "key": new_key(), "do": do, "today": today(request)}
    acting["typed"] = form.fields if request.method == "POST" else {}
    return page(request, "department/patient.html", _part(request, row) | acting, status=outcome.status)


def _nothing(*args: Any) -> None:
    raise Refused([Fault(field="page", rule="there is no such act", came="this button", accepted="one of this page")])


def _part(request: HttpRequest, row: Patient) -> dict[str, Any]:
    orders = Order.objects.filter(patient=row).select_related("site")
    ended = orders.exclude(state__in=OPEN_ORDERS).order_by("-pk")[:MOST]
    site = site_of(request) or Site.objects.order_by("pk").first()
    sheets = Preparation.objects.filter(order__patient=row).select_related("order__site", "given_by", "by")
    due = DueDose.objects.filter(order__patient=row, state="due").select_related("order__site").order_by("due_at")
    mine = Container.objects.filter(Q(owner=row), state__in=("received", "opened", "doubtful"))
    return {
        "here": "patients",
        "row": row,
        "patient": row,
        "site": site,
        "orders": orders.filter(state__in=OPEN_ORDERS).order_by("-pk"),
        "ended": ended,
        "due": due_times(due[:MOST]),
        "sheets": [(made, sheet_address(made)) for made in sheets.order_by("-pk")[:MOST]],
        "containers": mine.order_by("expiry")[:MOST],
        "weights": service.weights(row),
        "events": Event.objects.filter(subject_kind="patient", subject=str(row.pk)).order_by("number")[:100],
        "cares": may_any(request.user, *CARES),
        "enters": may_any(request.user, Right.ENTER_ORDERS),
    }


def due_times(doses: Iterable[DueDose]) -> list[tuple[Order, list[tuple[str, str]]]]:
    """Each order with the times when its doses are due, day by day by the clock of its site: 30 Nov 2026, "17:28, 19:28"."""
    found: dict[int, tuple[Order, dict[str, list[str]]]] = {}
    for dose in doses:
        at = local(dose.order.site, dose.due_at)
        _, days = found.setdefault(dose.order_id, (dose.order, {}))
        days.setdefault(told_day(at.date()), []).append(f"{at:%H:%M}")
    return [(order, [(day, ", ".join(clocks)) for day, clocks in days.items()]) for order, days in found.values()]


__all__ = ["Outcome", "new", "patient", "patients", "today"]
