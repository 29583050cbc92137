"""The shelf: the stock by product, one container with its history and what can be done to it, its label, and recall by lot."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from drawndose.bench import drawing
from drawndose.bench.container_life import in_use_life, limits, over
from drawndose.bench.moments import told
from drawndose.department.ledger.append import now
from drawndose.department.ledger.models import Event
from drawndose.department.pages.access import allowed, not_yours
from drawndose.department.pages.acting import Sent, act, new_key, sent
from drawndose.department.pages.container_label import label_of
from drawndose.department.pages.links import may_any, sheet_address
from drawndose.department.pages.page import page
from drawndose.department.pages.rules import found_part
from drawndose.department.pages.sites import site_of
from drawndose.department.pages.typed import read_day
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.web.shown import source_words
from drawndose.department.work import shelf as service
from drawndose.department.work import stock
from drawndose.department.work.change import millilitres
from drawndose.department.work.models import Container, Patient
from drawndose.department.work.places import local
from drawndose.department.work.policy import policy
from drawndose.quantities import Fault, Refused
from drawndose.reference import Container as Shape
from drawndose.reference import Presentation, load

HANDLES = (Right.KEEP_SHELF, Right.PREPARE, Right.GIVE)
"""Who may take a container out of use: whoever may hold one in the hand."""
MOST = 100
"""Events and draws that the page of a container shows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Containers that are alike, or one that is open. until: the limit that holds in words, with its source. beside: what an open
    one lacks: a life after opening that somebody has decided, or any further use.
    """

    first: Container
    count: int
    figure: drawing.Figure
    until: str
    source: str
    beside: str
    usable: bool
    others: tuple[int, ...]


@require_safe
@allowed(Right.SEE_WORK)
def shelf(request: HttpRequest) -> HttpResponse:
    """The stock of the site: what to reorder and what expires next first."""
    site = site_of(request)
    wanted = " ".join(request.GET.get("q", "").split())[:80]
    products, more = stock.products(site, wanted) if site is not None else ([], False)
    context = {
        "here": "shelf",
        "site": site,
        "wanted": wanted,
        "products": [(one, _rows(one)) for one in products],
        "low": [one for one in products if one.low],
        "more": more,
        "keeps": may_any(request.user, Right.KEEP_SHELF),
        "sets": may_any(request.user, Right.SET_POLICY),
    }
    return page(request, "department/shelf.html", context)


def _rows(product: stock.Product) -> list[Row]:
    """Shut containers of one lot and place stand together."""
    groups: dict[object, list[stock.Standing]] = {}
    for one in product.standing:
        row = one.row
        kind = (row.pack, row.lot, row.expiry, row.place) if row.state == "received" else row.pk
        groups.setdefault(kind, []).append(one)
    return [_row(same) for same in groups.values()]


def _row(same: list[stock.Standing]) -> Row:
    first = same[0]
    return Row(
        first=first.row,
        count=len(same),
        figure=figure_of(first.row, first.presentation, f"shelf-{first.row.pk}"),
        until=first.limit.until if first.limit is not None else "",
        source=source_words(first.limit.origin, load()) if first.limit is not None else "",
        beside=_beside(first),
        usable=first.usable,
        others=tuple(one.row.pk for one in same[1:]),
    )


def _beside(one: stock.Standing) -> str:
    if one.row.state != "opened":
        return ""
    if not one.presentation.multi_dose:
        return "Opened single dose: for one preparation, then thrown away"
    return "" if in_use_life(one.presentation, policy()) is not None else "Its life after opening is not decided"


def figure_of(row: Container, record: Presentation, ident: str) -> drawing.Figure:
    """The container as it stands there; a powder that nobody has made up has no level."""
    powder = record.container is Shape.POWDER_VIAL and row.state == "received"
    left = None if powder else millilitres(row.left_nl)
    return drawing.standing(ident, record.container, record.name, left, millilitres(row.holds_nl))


def _open(row: Container, form: Sent, by: Person, key: str) -> None:
    record = service.hand(row).presentation
    owner = two_identifiers(form) if record.multi_dose else None
    if record.multi_dose and owner is None and not policy().shared_bottles:
        rule = "an opened container is one person's; the policy allows no shared ones"
        raise Refused([Fault(field="owner", rule=rule, came="nobody", accepted="number and day of birth")])
    service.open_it(row, by=by, version=form.version, owner=owner, key=key)


def two_identifiers(form: Sent) -> Patient | None:
    """The patient of a number and a day of birth; None where neither was typed. Refused unless both are the same person's."""
    number, born = form.fields.get("number", ""), form.fields.get("born", "")
    if not number and not born:
        return None
    patient = Patient.objects.filter(number=number).first()
    if patient is None or patient.born != read_day(born, "born"):
        rule = "number and day of birth are not those of one patient here"
        accepted = "both, as on the wristband"
        raise Refused([Fault(field="owner", rule=rule, came=f"{number}, {born}", accepted=accepted)])
    return patient


def _own(row: Container, form: Sent, by: Person, key: str) -> None:
    service.own(row, two_identifiers(form), by=by, version=form.version, key=key)


def _move(row: Container, form: Sent, by: Person, key: str) -> None:
    place = form.fields.get("place", "")
    if not place or len(place) > 80:
        raise Refused([Fault(field="place", rule="1 to 80 characters", came=place[:60], accepted="Cupboard 2")])
    service.move(row, place, by=by, version=form.version, bedside="bedside" in form.fields, key=key)


def _doubt(row: Container, form: Sent, by: Person, key: str) -> None:
    service.doubt(row, by=by, version=form.version, reason=form.fields.get("reason", ""), key=key)


def _discard(row: Container, form: Sent, by: Person, key: str) -> None:
    service.discard(row, by=by, version=form.version, reason=form.fields.get("reason", ""), key=key)


def _empty(row: Container, form: Sent, by: Person, key: str) -> None:
    service.empty(row, by=by, version=form.version, key=key)


def _correct(row: Container, form: Sent, by: Person, key: str) -> None:
    text, reason = form.fields.get("left", ""), form.fields.get("reason", "")
    service.correct(row, text, by=by, version=form.version, reason=reason, key=key)


KEEPS = (Right.KEEP_SHELF,)
ACTS: dict[str, tuple[tuple[Right, ...], tuple[str, ...], Callable[[Container, Sent, Person, str], None]]] = {
    "open": (KEEPS, ("received",), _open),
    "own": (KEEPS, ("opened",), _own),
    "move": (KEEPS, ("received", "opened"), _move),
    "empty": (KEEPS, ("opened",), _empty),
    "correct": (KEEPS, ("opened", "emptied"), _correct),
    "doubt": (HANDLES, ("received", "opened"), _doubt),
    "discard": (HANDLES, ("received", "opened", "doubtful", "emptied"), _discard),
}
"""What can be done to a container: who may, in which states it is offered, and the service. The states decide in the service too."""


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.SEE_WORK)
def container(request: HttpRequest, number: int) -> HttpResponse:
    """One container: what is left by the ledger, until when, whose, where; what stands against it; what happened to it."""
    row = _found(number)
    if row is None:
        return _no_such(request)
    outcome, form, do = None, sent(request), request.POST.get("do", "")
    if request.method == "POST":
        rights, _, what = ACTS.get(do, (HANDLES, (), _nothing))
        if not may_any(request.user, *rights):
            return not_yours(request, rights)
        outcome = act(lambda: what(row, form, request.user, form.key), key=form.key)
        if outcome.done:
            opened = "?opened=1" if do == "open" else ""
            return HttpResponseRedirect(f"{reverse('container', args=[row.pk])}{opened}")
        row = _found(number) or row
    context = _part(request, row) | {"outcome": outcome, "key": new_key(), "do": do}
    if row.state in {"received", "opened"}:
        found = service.findings(row, local(row.site, now()))
        context |= found_part(found, [row.presentation], request.user) | {"back": reverse("container", args=[row.pk])}
    context["typed"] = form.fields if outcome is not None else {}
    context["just_opened"] = request.GET.get("opened") == "1" and row.state == "opened"
    return page(request, "department/container.html", context, status=outcome.status if outcome is not None else 200)


def _nothing(*args: Any) -> None:
    raise Refused([Fault(field="page", rule="there is no such act", came="this button", accepted="one of this page")])


def _found(number: int) -> Container | None:
    return Container.objects.select_related("site", "owner").filter(pk=number).first()


def _no_such(request: HttpRequest) -> HttpResponse:
    context = {
        "title": "No such container",
        "words": "There is no container of this number here.",
        "do": "Look on the shelf.",
    }
    return page(request, "department/told.html", context, status=404)


def _part(request: HttpRequest, row: Container) -> dict[str, Any]:
    record, moment = load().presentation(row.presentation), local(row.site, now())
    stands = row.state in stock.KEPT
    draws = row.draw_set.select_related(
        "preparation__order__patient", "preparation__order__site", "preparation__given_by"
    )
    may = {
        do: stands and row.state in states and may_any(request.user, *rights)
        for do, (rights, states, _) in ACTS.items()
    }
    may |= {
        do: row.state == "emptied" and may_any(request.user, *ACTS[do][0])
        for do in ("correct", "discard")
        if not may[do]
    }
    return {
        "here": "shelf",
        "row": row,
        "site": row.site,
        "record": record,
        "figure": figure_of(row, record, "standing") if stands else None,
        "folded": service.folded(row),
        "limits": _limits(row, moment) if stands else [],
        "draws": [(one, sheet_address(one.preparation)) for one in draws.order_by("-pk")[:MOST]],
        "events": Event.objects.filter(subject_kind="container", subject=str(row.pk)).order_by("number")[:MOST],
        "may": may,
        "label": _has_label(row),
    }


def _limits(row: Container, moment: Any) -> list[dict[str, Any]]:
    """Every limit with its source, the one that holds first."""
    in_hand = service.hand(row)
    assert in_hand.condition is not None
    found = limits(in_hand, in_hand.condition, policy(), moment)
    return [
        {"until": one.until, "says": one.says, "source": source_words(one.origin, load()), "over": over(one, moment)}
        for one in found
    ]


def _has_label(row: Container) -> bool:
    return row.state == "received" or (row.state == "opened" and row.discard_after is not None)


@require_safe
@allowed(Right.SEE_WORK)
def label_pdf(request: HttpRequest, number: int) -> HttpResponse:
    """The container's label as PDF: its discard date once it is open, else what it is and where it stands."""
    row = _found(number)
    if row is None:
        return _no_such(request)
    if not _has_label(row):
        words = "There is no label to print: no discard date is known, or it is not in use any more."
        return page(request, "department/told.html", {"title": "No label", "words": words}, status=404)
    try:
        printed = label_of(row)
    except Refused as refused:
        words = " ".join(
            f"{one.came}: {one.rule}." if one.came else f"{one.rule}: {one.field}." for one in refused.faults
        )
        words = f"{words} Write it by hand."
        return page(
            request, "department/told.html", {"title": "The label cannot be printed", "words": words}, status=422
        )
    answer = HttpResponse(printed.pdf, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="container-{row.pk}.pdf"'
    return answer


@require_safe
@allowed(Right.SEE_WORK)
def recall(request: HttpRequest) -> HttpResponse:
    """By lot: every container, who got what out of it, what is left, where it is."""
    lot = " ".join(request.GET.get("lot", "").split())
    short = len(lot) <= stock.LONGEST_LOT
    found = stock.recall(lot) if lot and short else []
    context = {
        "here": "shelf",
        "lot": lot[:60],
        "long": not short,
        "found": [(one, [(draw, sheet_address(draw.preparation)) for draw in one.draws]) for one in found],
        "people": sorted(
            {draw.preparation.order.patient for one in found for draw in one.draws}, key=lambda one: one.name
        ),
        "left": [one for one in found if one.row.state in stock.KEPT],
        "like": stock.lots_like(lot) if lot and not found else [],
        "at": told(local(site, now())) if (site := site_of(request)) is not None else "",
    }
    return page(request, "department/recall.html", context)
