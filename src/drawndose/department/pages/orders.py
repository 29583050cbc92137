"""Orders: entered with their reading in view, changed, held, taken up again, ended; doses as needed; doses that are not given."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.bench.moments import told
from drawndose.department.ledger.append import now
from drawndose.department.ledger.models import Event
from drawndose.department.pages.access import allowed, not_yours
from drawndose.department.pages.acting import Outcome, Sent, act, new_key, sent
from drawndose.department.pages.links import may_any, sheet_address, there
from drawndose.department.pages.ordering import Typed, facts_of, fresh, judged, mark_of, read_form, read_part
from drawndose.department.pages.page import page
from drawndose.department.pages.sites import site_of
from drawndose.department.people.roles import Right
from drawndose.department.web.answering import pieces_of
from drawndose.department.web.asking import Asked
from drawndose.department.web.shown import findings
from drawndose.department.work import due, orders
from drawndose.department.work.models import DueDose, Order, Patient, Site
from drawndose.department.work.places import local
from drawndose.department.work.reading import kilograms
from drawndose.quantities import Fault, Refused, show
from drawndose.reference import load

MOST = 40
"""Due doses and events that one page shows, the newest first."""


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.ENTER_ORDERS)
def new(request: HttpRequest) -> HttpResponse:
    """A new order of a patient."""
    asked = request.POST.get("patient") or request.GET.get("patient", "")
    known = asked.isascii() and asked.isdecimal() and len(asked) < 19
    patient = Patient.objects.filter(pk=int(asked)).first() if known else None
    if patient is None:
        return HttpResponseRedirect(f"{reverse('patients')}?for=order")
    return _form(request, patient, None)


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.ENTER_ORDERS)
def change(request: HttpRequest, number: int) -> HttpResponse:
    """The same form with the words of an order that is changed: the old one ends, the new one names it."""
    order = _found(number)
    if order is None:
        return _no_such(request)
    if order.state in {"changed", "ended"}:
        return HttpResponseRedirect(_address(order))
    return _form(request, order.patient, order)


def _form(request: HttpRequest, patient: Patient, order: Order | None) -> HttpResponse:
    """Read first, then enter: an order is entered only when the reading of these very words was on the page."""
    site = order.site if order is not None else site_of(request)
    if site is None:
        return page(request, "department/told.html", _no_site(), status=409)
    typed = read_form(request.POST) if request.method == "POST" else fresh(site, order)
    if getattr(request, "htmx", False) and "do" not in request.POST:
        return render(
            request,
            "department/_order_reading.html",
            read_part(typed, patient, site, order) | {"typed": typed, "patient": patient, "live": True},
        )
    outcome, form = None, sent(request)
    if request.POST.get("do") == "enter" and "answer" not in request.POST:
        outcome = _entered(request, patient, site, order, typed, form)
        if outcome.done:
            made = outcome.value or Order.objects.get(pk=int(_entered_by(outcome)))
            return HttpResponseRedirect(_address(made))
    shown = read_part(typed, patient, site, order) if typed.text.strip() else {}
    context = shown | {
        "here": "patients",
        "self": request.get_full_path(),
        "patient": patient,
        "row": order,
        "order": order,
        "site": site,
        "typed": typed,
        "outcome": outcome,
        "key": new_key() if outcome is None or outcome.moved else form.key,
    }
    status = outcome.status if outcome is not None else 422 if shown.get("not_read") else 200
    return page(request, "department/order_new.html", context, status=status)


def _entered(
    request: HttpRequest, patient: Patient, site: Site, order: Order | None, typed: Typed, form: Sent
) -> Outcome:
    def enter() -> Order:
        written = typed.written(site)
        if typed.read != mark_of(typed.text, patient):
            rule = "the words, or the patient's record, changed after they were read"
            fault = Fault(
                field="order", rule=rule, came="an older reading", accepted="look at the reading below, then enter"
            )
            raise Refused([fault])
        if order is None:
            return orders.enter(patient, site, written, by=request.user, key=form.key)
        return orders.replace(order, written, by=request.user, version=form.version, reason=typed.reason, key=form.key)

    return act(enter, key=form.key)


def _entered_by(outcome: Outcome) -> str:
    """The order that the same form made the first time."""
    assert outcome.before is not None
    if outcome.before.name == "order.entered":
        return outcome.before.subject
    return str(Order.objects.get(replaces=int(outcome.before.subject)).pk)


ACTS: dict[str, tuple[tuple[Right, ...], Callable[..., Any]]] = {
    "complete": ((Right.ENTER_ORDERS,), lambda order, reason, **more: orders.complete(order, **more)),
    "hold": ((Right.ENTER_ORDERS,), lambda order, reason, **more: orders.hold(order, reason=reason, **more)),
    "resume": ((Right.ENTER_ORDERS,), lambda order, reason, **more: orders.resume(order, **more)),
    "end": ((Right.ENTER_ORDERS,), lambda order, reason, **more: orders.end(order, reason=reason, **more)),
    "ask": (
        (Right.ENTER_ORDERS, Right.PREPARE, Right.GIVE),
        lambda order, reason, **more: due.on_demand(order, reason=reason, **more),
    ),
}
"""What can be done to an order, and who may."""


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.SEE_WORK)
def order(request: HttpRequest, number: int) -> HttpResponse:
    """One order: words beside reading, state, what is asked, its doses, its history, and what can be done to it."""
    row = _found(number)
    if row is None:
        return _no_such(request)
    outcome, form = None, sent(request)
    do = request.POST.get("do", "")
    if request.method == "POST":
        rights, service = ACTS.get(do, ((Right.ENTER_ORDERS,), _nothing))
        if not may_any(request.user, *rights):
            return not_yours(request, rights)
        reason = form.fields.get("reason", "")
        outcome = act(lambda: service(row, reason, by=request.user, version=form.version, key=form.key), key=form.key)
        if outcome.done:
            return HttpResponseRedirect(_address(row))
        row = _found(number) or row
    context = _order_part(request, row) | {"outcome": outcome, "key": new_key(), "do": do}
    context |= {"reason": form.fields.get("reason", "") if outcome is not None else ""}
    return page(request, "department/order.html", context, status=outcome.status if outcome is not None else 200)


def _nothing(*args: Any, **more: Any) -> None:
    raise Refused([Fault(field="page", rule="there is no such act", came="this button", accepted="one of this page")])


def _order_part(request: HttpRequest, row: Order) -> dict[str, Any]:
    person = request.user
    context: dict[str, Any] = {
        "here": "patients",
        "row": row,
        "patient": row.patient,
        "site": row.site,
        "enters": may_any(person, Right.ENTER_ORDERS),
        "asks_dose": may_any(person, *ACTS["ask"][0]),
        "not_gives": may_any(person, Right.GIVE),
        "prepares": there("sheet-new") if may_any(person, Right.PREPARE) else "",
        "doses": _doses(row),
        "course": "",
        "events": Event.objects.filter(subject_kind="order", subject=str(row.pk)).order_by("number")[:MOST],
        "later": Order.objects.filter(replaces=row).first(),
        "reading": None,
    }
    try:
        reading = orders.reading_for(row)
    except Refused as refused:
        return context | {
            "not_read": refused.faults,
            "pieces": pieces_of(Asked(text=row.text), None, [*refused.faults]),
        }
    alive = row.state not in {"changed", "ended"}
    return context | {
        "reading": reading,
        "pieces": pieces_of(Asked(text=row.text), orders.reading_of(row.text), []),
        "names": tuple(line.as_written for line in reading.lines),
        "facts": facts_of(reading, row.patient),
        "weighed_since": _weighed_since(row, reading),
        "course": due.told_course(row, reading),
        "missing": orders.missing(reading) if row.state == "entered" else (),
        "found": findings(judged(reading, local(row.site, now()), row.reason), load()) if alive else None,
        "as_needed": reading.as_needed,
    }


def _weighed_since(row: Order, reading: Any) -> str:
    """That the patient was weighed after the order was completed, when its dose goes by weight."""
    by_weight = any(one.dose.amount is not None and ("kg", -1) in one.dose.amount.unit.parts for one in reading.lines)
    now_g, then_g = row.patient.weight_g, row.weight_g
    if not by_weight or then_g is None or now_g is None or now_g == then_g:
        return ""
    return f"The order counts with {show(kilograms(then_g))}; the last weight is {show(kilograms(now_g))}."


def _doses(row: Order) -> list[dict[str, Any]]:
    """What is still to be given first, as it comes; then what is over, the last one first. Each with its sheets."""
    every = row.duedose_set.prefetch_related("preparation_set")
    coming = every.filter(state__in=due.OPEN).order_by("due_at")[:MOST]
    over = every.exclude(state__in=due.OPEN).order_by("-due_at")[:MOST]
    return [{"dose": one, "sheets": _sheets(one), "window": _window(one, row.site)} for one in (*coming, *over)]


def _sheets(dose: DueDose) -> list[tuple[int, str, str]]:
    return [(made.pk, made.state, sheet_address(made)) for made in dose.preparation_set.all()]


def _window(dose: DueDose, site: Site) -> str:
    if dose.from_at == dose.to_at:
        return "no window"
    return f"{local(site, dose.from_at):%H:%M} to {local(site, dose.to_at):%H:%M}"


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.GIVE)
def dose_not_given(request: HttpRequest, number: int, dose: int) -> HttpResponse:
    """Say that a due dose is not given: why, and who was told."""
    row = DueDose.objects.select_related("order__patient", "order__site").filter(pk=dose, order=number).first()
    if row is None:
        return _no_such(request)
    outcome, form = None, sent(request)
    if request.method == "POST":
        reason, to = form.fields.get("reason", ""), form.fields.get("told", "")
        outcome = act(
            lambda: due.not_given(row, by=request.user, version=form.version, reason=reason, told=to, key=form.key),
            key=form.key,
        )
        if outcome.done:
            return HttpResponseRedirect(_address(row.order))
        row.refresh_from_db()
    context = {
        "here": "board",
        "row": row,
        "order": row.order,
        "patient": row.order.patient,
        "due": told(local(row.order.site, row.due_at)),
        "outcome": outcome,
        "key": new_key(),
        "typed": form.fields,
    }
    return page(request, "department/dose_not_given.html", context, status=outcome.status if outcome else 200)


def _found(number: int) -> Order | None:
    return Order.objects.select_related("patient", "site", "replaces").filter(pk=number).first()


def _address(row: Order) -> str:
    return reverse("order", args=[row.pk])


def _no_such(request: HttpRequest) -> HttpResponse:
    context = {
        "title": "No such order",
        "words": "There is no order of this number here.",
        "do": "Look on the patient's page.",
    }
    return page(request, "department/told.html", context, status=404)


def _no_site() -> dict[str, str]:
    return {
        "title": "No site yet",
        "words": "An order belongs to a place of work, and none is set up.",
        "do": "Ask an administrator to set one up.",
    }
