"""The start of a sheet: the order as it was written beside our reading of it. Nothing is begun before the reading is called right."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from drawndose.bench.moments import told, told_day
from drawndose.department.ledger.append import now
from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Outcome, act, new_key, sent
from drawndose.department.pages.heard import hear
from drawndose.department.pages.page import page
from drawndose.department.pages.sheet.frame import address, go, on_sheet, shown
from drawndose.department.pages.sheet.strip import strip_of_order
from drawndose.department.pages.sites import site_of
from drawndose.department.people.roles import Right
from drawndose.department.web.answering import pieces_of
from drawndose.department.web.asking import Asked
from drawndose.department.work import inhaled_order, preparing
from drawndose.department.work.due import OPEN
from drawndose.department.work.models import DueDose, Order, Patient, Preparation, Site
from drawndose.department.work.orders import reading_of
from drawndose.department.work.places import local
from drawndose.quantities import Fault, Quantity, Refused, show

AHEAD = timedelta(hours=2)
"""Due doses of so much ahead are listed; the board has the rest."""
MOST = 40
"""Rows of a list."""


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.PREPARE)
def new(request: HttpRequest) -> HttpResponse:
    """A due dose or an order to begin with, or the choice of one. POST: the reading is right, and preparing begins."""
    asked = request.POST if request.method == "POST" and "scan" not in request.POST else request.GET
    dose = DueDose.objects.select_related("order__patient", "order__site").filter(pk=_number(asked.get("dose"))).first()
    order = dose.order if dose is not None else _order(asked.get("order"))
    if order is None:
        return _choose(request, asked)
    outcome = None
    if request.method == "POST":
        form = sent(request)
        outcome = act(lambda: preparing.begin(order, by=request.user, dose=dose, key=form.key), key=form.key)
        if outcome.done:
            made = outcome.value or Preparation.objects.get(pk=int(outcome.before.subject))  # type: ignore[union-attr]
            return go(request, address(made, "in-hand"), outcome)
    context = read_context(order, dose) | {"outcome": outcome, "key": new_key(), "strip": strip_of_order(order)}
    context |= {"draft": "sheet-new", "place": "order", "begins": True, "own_address": reverse("sheet-new")}
    context |= _taken(dose) | {"first": _first(dose)}
    return page(request, "department/sheet/order.html", context, status=outcome.status if outcome is not None else 200)


@require_safe
@on_sheet(Right.SEE_WORK)
def order_place(request: HttpRequest, made: Preparation) -> HttpResponse:
    """The order of a sheet that was begun, with its reading."""
    return shown(request, made, "order", read_context(made.order, made.dose))


def _taken(dose: DueDose | None) -> dict[str, Any]:
    """Why a dose cannot be begun: who has begun it, with that sheet; or what became of it."""
    if dose is None or dose.state == "due":
        return {}
    rows = Preparation.objects.filter(dose=dose).exclude(state="broken off").select_related("by", "order__site")
    made = rows.order_by("-pk").first()
    if made is None:
        return {"taken": f"This dose is {dose.state}."}
    at = local(made.order.site, made.started_at)
    return {"taken": f"{made.by.name} began this dose at {at:%H:%M}; it is {dose.state}.", "taken_by": made}


def _first(dose: DueDose | None) -> list[tuple[DueDose, str]]:
    """Doses of the same person that the house gives before this one, with when they are due."""
    if dose is None or dose.state != "due":
        return []
    return [(one, f"{local(one.order.site, one.due_at):%H:%M}") for one in inhaled_order.before(dose)]


def _number(text: str | None) -> int:
    return int(text) if text and text.isascii() and text.isdecimal() and len(text) < 19 else 0


def _order(text: str | None) -> Order | None:
    return Order.objects.select_related("patient", "site").filter(pk=_number(text)).first()


def read_context(order: Order, dose: DueDose | None) -> dict[str, Any]:
    """The order for its page: words, reading, who wrote it and when, when it is due, what is known of allergies."""
    site, patient = order.site, order.patient
    allergies = patient.allergies or ("none known" if patient.allergies_asked else "not asked")
    weight = "Not recorded"
    if patient.weight_g and patient.weighed_on:
        kg = Quantity.of_text(Fraction(patient.weight_g, 1000), "kg")
        weight = f"{show(kg)}, {told_day(patient.weighed_on)}"
    return {
        "order": order,
        "dose": dose,
        "pieces": pieces_of(Asked(text=order.text), reading_of(order.text), []),
        "ordered": told(local(site, order.ordered_at)),
        "due": due_words(site, dose) if dose is not None else "",
        "allergies": allergies,
        "weight": weight,
        "complete": order.state == "complete",
    }


def due_words(site: Site, dose: DueDose) -> str:
    """When a dose is due, with the window around it; and for one that is not given yet, whether that is now."""
    start, end = local(site, dose.from_at), local(site, dose.to_at)
    moment = now()
    early_or_late = ""
    if dose.state in OPEN:
        early_or_late = "too early now" if moment < dose.from_at else "late now" if moment > dose.to_at else ""
    around = f", to be given {start:%H:%M} to {end:%H:%M}" if start != end else ""
    return f"{told(local(site, dose.due_at))}{around}{f' ({early_or_late})' if early_or_late else ''}"


def _choose(request: HttpRequest, asked: Any) -> HttpResponse:
    """What a sheet can be begun with: the due doses, and the orders that have none (as needed). A scanned person narrows both."""
    outcome, patient = None, None
    site = site_of(request)
    if "scan" in request.POST and site is not None:
        outcome = act(lambda: _person(request.POST["scan"], site))
        patient = outcome.value
    elif asked.get("dose") or asked.get("order"):
        fault = Fault(
            field="order", rule="there is no such dose or order", came="this address", accepted="one of the list"
        )
        outcome = Outcome(done=False, faults=(fault,))
    doses = DueDose.objects.filter(state="due", due_at__lte=now() + AHEAD, order__state="complete")
    orders = Order.objects.filter(state="complete")
    if patient is not None:
        doses, orders = doses.filter(order__patient=patient), orders.filter(patient=patient)
    elif site is not None:
        doses, orders = doses.filter(order__site=site), orders.filter(site=site)
    due = doses.select_related("order__patient", "order__site").order_by("due_at")[:MOST]
    free = (
        orders.exclude(duedose__state__in=["due", "being prepared"]).select_related("patient", "site").order_by("-pk")
    )
    context = {
        "outcome": outcome if outcome is not None and not outcome.done else None,
        "patient": patient,
        "due": [(one, due_words(one.order.site, one)) for one in due],
        "free": list(free[:MOST]),
        "draft": "sheet-new",
        "own_address": reverse("sheet-new"),
    }
    status = outcome.status if outcome is not None and not outcome.done else 200
    return page(request, "department/sheet/new.html", context, status=status)


def _person(text: str, site: Site) -> Patient:
    """The person of a scan. Refused for anything else, which is named."""
    try:
        found = hear(text, site)
    except Refused:
        rule, accepted = (
            "nobody here has this number, and it is no code that is known",
            "the person's number, every digit",
        )
        raise Refused([Fault(field="person", rule=rule, came=text, accepted=accepted)]) from None
    if found.patient is None:
        rule = f"this is {found.what.value}; a new sheet begins with a person or a dose"
        raise Refused([Fault(field="scan", rule=rule, came=found.came, accepted="the person's number")])
    return found.patient
