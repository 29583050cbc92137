"""When preparing begins, as the bench offers it: now, by the server's clock in the zone of the site, or what was typed."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.db import DatabaseError, connection
from django.http import HttpRequest

from drawndose.bench.moments import ACCEPTED, read_moment
from drawndose.department.ledger.append import now
from drawndose.department.work.models import Site
from drawndose.quantities import Refused

SITE = "site"
"""The name under which a session keeps the site that was chosen."""
_CLOCK = re.compile(r"([01]?\d|2[0-3])[:.]?([0-5]\d)", re.ASCII)


def read_clock(text: str, at: datetime, field: str) -> datetime:
    """A time of the day that it is at `at` (14:05, 1405), or a day with its time; in the zone of `at`. Refused for one that its clock
    does not show once."""
    zone = at.tzinfo or UTC
    bare = " ".join(text.split())
    found = _CLOCK.fullmatch(bare)
    if found is not None:
        bare = f"{at:%Y-%m-%d} {int(found[1]):02d}:{found[2]}"
    try:
        return read_moment(bare, zone, field)
    except Refused as refused:
        today = f"{at:%H:%M} for today, or {ACCEPTED}"
        form = [replace(one, accepted=today) if one.accepted == ACCEPTED else one for one in refused.faults]
        raise Refused(form) from None


def clock_of(request: HttpRequest) -> datetime:
    """Now, to the minute, by the zone of the site: the one chosen in this session, the first one, the one of the settings, else UTC."""
    return now().astimezone(_zone(request)).replace(second=0, microsecond=0)


def _zone(request: HttpRequest) -> tzinfo:
    name = ""
    try:
        if _there():
            sites = Site.objects.order_by("pk")
            site = sites.filter(pk=request.session.get(SITE)).first() or sites.first()
            name = site.zone if site is not None else ""
    except (DatabaseError, ImproperlyConfigured):
        pass  # the bench works without a storage
    try:
        return ZoneInfo(name or settings.CHOSEN.get("zone") or "UTC")
    except (ValueError, OSError, KeyError):
        return UTC


def _there() -> bool:
    """True unless the storage is a file that is not there: looking would make an empty one."""
    return connection.vendor != "sqlite" or Path(connection.settings_dict["NAME"]).exists()
