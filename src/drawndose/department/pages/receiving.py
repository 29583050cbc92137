"""Receiving: a scan fills in product, lot and expiry; a product number that nobody knows is asked once and remembered."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from urllib.parse import urlencode

from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from drawndose.bench.moments import told_day
from drawndose.department.ledger.append import now
from drawndose.department.pages.access import allowed
from drawndose.department.pages.acting import Sent, act, new_key, sent
from drawndose.department.pages.page import page
from drawndose.department.pages.sites import site_of
from drawndose.department.pages.typed import read_day
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.work import known_codes
from drawndose.department.work import shelf as service
from drawndose.department.work.models import Container, Site
from drawndose.department.work.places import local
from drawndose.quantities import Fault, Gathering, Refused, gather, show
from drawndose.reference import load
from drawndose.reference.codes import scan
from drawndose.reference.codes.meanings import last_use

LONGEST = 400
"""Signs of a scan; a longer text is none."""
MOST_DIGITS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What stands in the form. product: presentation and pack, as `id|pack`. code: a product number of 14 digits, by a scan."""

    product: str = ""
    lot: str = ""
    expiry: str = ""
    count: str = "1"
    place: str = ""
    code: str = ""
    anew: str = ""
    says: str = ""
    readings: tuple[str, ...] = ()


@require_http_methods(["GET", "HEAD", "POST"])
@allowed(Right.KEEP_SHELF)
def receive(request: HttpRequest) -> HttpResponse:
    """The form. A scan fills it; another press puts the containers on the shelf."""
    site = site_of(request)
    if site is None:
        words = "A container stands at a place of work, and none is set up."
        return page(request, "department/told.html", {"title": "No site yet", "words": words}, status=409)
    form = sent(request)
    typed, outcome = _typed(form) if request.method == "POST" else Typed(place=request.GET.get("place", "")[:80]), None
    if request.method == "POST" and request.POST.get("do") == "receive" and "reading" not in request.POST:
        outcome = act(lambda: _receive(site, typed, by=request.user, key=form.key), key=f"{form.key}-0")
        if outcome.done:
            first = outcome.value[0].pk if outcome.value else int(outcome.before.subject)  # type: ignore[union-attr]
            told = urlencode({"done": first, "count": typed.count, "place": typed.place})
            return HttpResponseRedirect(f"{reverse('shelf-receive')}?{told}")
    elif request.method == "POST":
        text = form.fields.get("reading") or form.fields.get("scan", "")
        outcome = act(lambda: scanned(text, typed, local(site, now())))
        if outcome.done:
            typed, outcome = outcome.value, None
    context = {
        "here": "shelf",
        "site": site,
        "typed": typed,
        "outcome": outcome,
        "key": form.key if outcome is not None else new_key(),
        "products": _products(),
        "said": known_codes.known(typed.code) if typed.code else None,
        "done": _done(request),
    }
    status = outcome.status if outcome is not None else 200
    return page(request, "department/receive.html", context, status=status)


def _typed(form: Sent) -> Typed:
    code, box = form.fields.get("code", ""), form.fields.get
    return Typed(
        product=box("product", ""),
        lot=box("lot", ""),
        expiry=box("expiry", ""),
        count=box("count", ""),
        place=box("place", ""),
        anew=box("anew", ""),
        code=code if code.isascii() and code.isdecimal() and len(code) == 14 else "",
    )


def scanned(text: str, typed: Typed, moment: datetime) -> Typed:
    """The form with what a scan says. Refused for what is no code of a product; what can be read in several ways is asked."""
    if len(text) > LONGEST:
        rule = "a scan is shorter"
        raise Refused([Fault(field="scan", rule=rule, came=f"{len(text):,} characters", accepted="one code")])
    found = scan([text], year=moment.year)
    if found.question is not None:
        return replace(typed, readings=tuple(str(one) for one in found.readings), says=f"{found.question.value}.")
    reading = found.answer
    if reading is None or reading.gtin is None:
        rule = "this code names no product number (GTIN)"
        raise Refused(
            [Fault(field="scan", rule=rule, came=text[:60], accepted="the code on the carton or the container")]
        )
    said = known_codes.known(reading.gtin)
    expiry = last_use(reading.elements, year=moment.year)
    filled = replace(
        typed,
        code=reading.gtin,
        product=f"{said.presentation}|{said.pack}" if said is not None else "",
        lot=reading.value("10") or "",
        expiry=told_day(expiry) if expiry is not None else "",
    )
    return replace(filled, says=_says(filled, said is not None))


def _says(typed: Typed, known: bool) -> str:
    """What the scan said, in words."""
    ident, _, pack = typed.product.partition("|")
    name = f"{load().presentation(ident).name}, {pack}" if known else f"product number {typed.code}, not known here"
    lot = f"lot {typed.lot}" if typed.lot else "no lot in the code"
    expiry = f"expires {typed.expiry}" if typed.expiry else "no expiry in the code"
    return f"Scanned: {name}; {lot}; {expiry}."


def _receive(site: Site, typed: Typed, *, by: Person, key: str) -> list[Container]:
    """Put them on the shelf, and remember what the product number means: both, or neither."""
    taking = Gathering()
    expiry = taking.take(lambda: read_day(typed.expiry, "expiry"))
    count = taking.take(lambda: _count(typed.count))
    ident, _, pack = typed.product.partition("|")
    if not ident:
        fault = Fault(field="product", rule="which product is it", came="nothing chosen", accepted="one of the list")
        taking.faults.append(fault)
    if not typed.lot:
        taking.faults.append(Fault(field="lot", rule="a lot has 1 to 20 characters", came="", accepted="as printed"))
    gather(taking.faults)
    assert expiry is not None
    assert count is not None
    with transaction.atomic():
        if typed.code:
            _match(typed, ident, pack, by)
        return service.receive(
            site,
            ident,
            pack,
            lot=typed.lot,
            expiry=expiry,
            by=by,
            place=typed.place[:80],
            code=typed.code,
            count=count,
            key=key,
        )


def _match(typed: Typed, ident: str, pack: str, by: Person) -> None:
    """Remember a number that is new; one that means another product is matched anew only with a reason."""
    said = known_codes.known(typed.code)
    if said is None:
        known_codes.remember(typed.code, ident, pack, by=by)
    elif (said.presentation, said.pack) != (ident, pack):
        if not typed.anew.strip():
            told = f"{load().presentation(said.presentation).name}, {said.pack}"
            rule = f"{said.by.name} said on {told_day(said.at)} that this number is {told}"
            raise Refused(
                [Fault(field="product", rule=rule, came=ident, accepted="that product, or why it was matched wrongly")]
            )
        known_codes.match_anew(typed.code, ident, pack, by=by, reason=typed.anew)


def _count(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) <= MOST_DIGITS):
        raise Refused([Fault(field="count", rule="1 to 200 at a time", came=text[:30], accepted="10")])
    return int(text)


def _products() -> list[tuple[str, str]]:
    """Every fill size of the catalogue, by name."""
    found = [
        (f"{one.id}|{show(size)}", f"{one.name}, {one.container.value}, {show(size)}")
        for one in load().presentations
        for pack in one.packs
        if (size := pack.volume or pack.amount) is not None
    ]
    return sorted(found, key=lambda pair: pair[1].lower())


def _done(request: HttpRequest) -> dict[str, Any]:
    """What was put on the shelf a moment ago."""
    number, count = request.GET.get("done", ""), request.GET.get("count", "1")
    known = number.isascii() and number.isdecimal() and len(number) < 19 and request.method != "POST"
    row = Container.objects.filter(pk=int(number)).first() if known else None
    return {"row": row, "count": count if count.isdecimal() else "1"} if row is not None else {}
