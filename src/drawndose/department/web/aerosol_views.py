"""The view of the aerosol page: the whole page by its address, or its live part when the page itself asks."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe
from django.views.decorators.vary import vary_on_headers

from drawndose.department.web.aerosol_page import aerosol_page
from drawndose.department.web.page import LIGHTS
from drawndose.department.web.views import light_of, lit
from drawndose.reference import load


@require_safe
@vary_on_headers("HX-Request")
def aerosol(request: HttpRequest) -> HttpResponse:
    """What becomes of the fill; everything asked stands in the address."""
    live = bool(getattr(request, "htmx", False))
    context = aerosol_page(request.GET, load()) | {"light": light_of(request), "lights": LIGHTS, "live": live}
    return lit(request, render(request, "bench/aerosol_live.html" if live else "bench/aerosol.html", context))
