"""The site that a person works at: a choice kept in the session, not a right. Times are shown in its zone."""

from __future__ import annotations

from django.http import HttpRequest

from drawndose.department.web.clock import SITE
from drawndose.department.work.models import Site


def site_of(request: HttpRequest) -> Site | None:
    """The site that was chosen in this session, else the first one; None where there is none."""
    sites = Site.objects.order_by("pk")
    return sites.filter(pk=request.session.get(SITE)).first() or sites.first()


def choose_site(request: HttpRequest, number: str) -> Site | None:
    """Keep a site for this session. None, and nothing is changed, where there is no such site."""
    known = number.isascii() and number.isdecimal() and len(number) < 19
    site = Site.objects.filter(pk=int(number)).first() if known else None
    if site is not None:
        request.session[SITE] = site.pk
    return site
