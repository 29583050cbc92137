"""The views of the aerosol pages: the whole page by its address, or its live part when the page itself asks; and the small sums beside it."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from drawndose.department.web import shown
from drawndose.department.web.aerosol_page import aerosol_page
from drawndose.department.web.aerosol_sums import BY_IDENT, SUMS, Box, sum_boxes, worked
from drawndose.department.web.own import own_nebulizers
from drawndose.department.web.page import LIGHTS
from drawndose.department.web.views import light_of, lit
from drawndose.reference import load


@require_safe
@vary_on_headers("HX-Request")
def aerosol(request: HttpRequest) -> HttpResponse:
    """What becomes of the fill; everything asked stands in the address."""
    live = bool(getattr(request, "htmx", False))
    context = aerosol_page(request.GET, load()) | {"light": light_of(request), "lights": LIGHTS, "live": live}
    context["sums"] = SUMS
    return lit(request, render(request, "bench/aerosol_live.html" if live else "bench/aerosol.html", context))


@require_safe
def aerosol_sum(request: HttpRequest, what: str) -> HttpResponse:
    """One of the small sums around a fill; everything asked stands in the address."""
    one = BY_IDENT.get(what)
    if one is None:
        raise Http404
    own = own_nebulizers()
    typed, answer, refused = worked(one, request.GET, own)
    faults = tuple(refused.faults) if refused is not None else ()
    boxes = sum_boxes(one, typed, faults, own)
    context = {
        "sum": one,
        "others": tuple(each for each in SUMS if each is not one),
        "boxes": boxes,
        "answer": answer,
        "found": shown.findings(answer.findings, load()) if answer is not None else None,
        "refused": tuple((fault, _box_of(one.box_of(fault.field), boxes), fault.field) for fault in faults),
        "says": _says(len(faults), answer is not None),
        "light": light_of(request),
        "lights": LIGHTS,
    }
    return lit(request, render(request, "bench/aerosol_sum.html", context))


def _box_of(name: str, boxes: tuple[Box, ...]) -> Box | None:
    return next((box for box in boxes if box.name == name), None)


def _says(faults: int, answered: bool) -> str:
    if faults:
        return f"{faults} thing{'s' if faults > 1 else ''} could not be accepted."
    return "Worked out." if answered else "Nothing was asked yet."
