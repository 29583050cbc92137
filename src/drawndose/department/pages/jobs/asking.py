"""What may be asked for as long work: each form read into a kind, its arguments and a name. Refused with every fault of the form."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.http import HttpRequest

from drawndose.bench.moments import told, told_day
from drawndose.department.keeping.importing import MOST_BYTES
from drawndose.department.keeping.lists import LISTS
from drawndose.department.ledger.append import now
from drawndose.department.pages.jobs.packs import PACKS, RIGHT
from drawndose.department.pages.sites import site_of
from drawndose.department.pages.typed import read_clock, read_day
from drawndose.department.pages.upload import chosen
from drawndose.department.people.roles import Right
from drawndose.department.work.csv_list import decode
from drawndose.department.work.models import Site
from drawndose.department.work.places import local
from drawndose.quantities import Fault, Gathering, Refused, gather

LONGEST_SPAN = timedelta(hours=24)
"""Labels of one pack are of doses that are due within one day: what is due later may still change."""
SHIFT = timedelta(hours=8)
PLACE = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One piece of long work that was asked for."""

    kind: str
    arguments: dict[str, Any]
    about: str


def rights_for(do: str, fields: dict[str, str]) -> tuple[Right, ...]:
    """The rights that a form needs, all of them; nothing for a form that there is not."""
    if do == "export":
        return (Right.MOVE_DATA,)
    if do in {"try", "import"}:
        of = LISTS.get(fields.get("list", ""))
        return (Right.MOVE_DATA, of.right) if of is not None else (Right.MOVE_DATA,)
    return (RIGHT,) if do in PACKS else ()


def lists_for(rights: frozenset[Right]) -> list[str]:
    """The lists that a person with these rights may import."""
    return [name for name, one in LISTS.items() if {Right.MOVE_DATA, one.right} <= rights]


def read(request: HttpRequest, do: str, fields: dict[str, str]) -> Wanted:
    """What a form asks for. Refused with every fault of it."""
    readers: dict[str, Callable[[HttpRequest, dict[str, str]], Wanted]] = {
        "export": _export,
        "try": _import,
        "import": _import,
        "labels": _labels,
        "sheets": _sheets,
        "shelf": _shelf,
    }
    if do not in readers:
        raise Refused([_fault("page", "there is no such work", do, ", ".join(readers))])
    return readers[do](request, fields)


def _fault(field: str, rule: str, came: str, accepted: str) -> Fault:
    return Fault(field=field, rule=rule, came=came, accepted=accepted)


def _export(request: HttpRequest, fields: dict[str, str]) -> Wanted:
    return Wanted(kind="export", arguments={}, about="Export of everything that is recorded")


def _import(request: HttpRequest, fields: dict[str, str]) -> Wanted:
    """A file of a list: read as text at once, so that another encoding is told before anything waits."""
    name, dry_run = fields.get("list", ""), fields["do"] == "try"
    taking = Gathering()
    if name not in LISTS:
        taking.faults.append(_fault("list", "which list is it", name, ", ".join(LISTS)))
    text = taking.take(lambda: decode(chosen(request, MOST_BYTES), MOST_BYTES))
    gather(taking.faults)
    about = f"Import of {name}{', a dry run' if dry_run else ''}"
    return Wanted(kind="import", arguments={"list": name, "text": text, "dry_run": dry_run}, about=about)


def _site(request: HttpRequest) -> Site:
    site = site_of(request)
    if site is None:
        raise Refused([_fault("site", "no place of work is set up", "none", "a site, made first")])
    return site


def _on(pack: str, fields: dict[str, str]) -> str:
    on = fields.get("on", "")
    if on not in PACKS[pack].on:
        raise Refused([_fault("paper", "what it is printed on", on, "; ".join(PACKS[pack].on))])
    return on


def _labels(request: HttpRequest, fields: dict[str, str]) -> Wanted:
    site, taking = _site(request), Gathering()
    on = taking.take(lambda: _on("labels", fields))
    moment = now()
    first = taking.take(lambda: read_clock(fields["first"], site, "from")) if fields.get("first") else moment
    last = taking.take(lambda: read_clock(fields["last"], site, "to")) if fields.get("last") else moment + SHIFT
    if first is not None and last is not None:
        if last < first <= last + timedelta(days=1) and len(fields.get("last", "")) <= len("23:59"):
            last += timedelta(days=1)  # a night shift ends on the next day
        if not first < last <= first + LONGEST_SPAN:
            rule = f"a span ends after its start, within {LONGEST_SPAN.days * 24} h"
            taking.faults.append(_fault("to", rule, f"{told(first)} to {told(last)}", "19:00 to 07:00"))
    gather(taking.faults)
    assert isinstance(first, datetime)
    assert isinstance(last, datetime)
    asked = {"pack": "labels", "site": site.pk, "first": first.isoformat(), "last": last.isoformat(), "on": on}
    span = f"{told(local(site, first))} to {told(local(site, last))}"
    return Wanted(kind="pack", arguments=asked, about=f"Labels of doses due {span}, {site.name}")


def _sheets(request: HttpRequest, fields: dict[str, str]) -> Wanted:
    site, taking = _site(request), Gathering()
    on = taking.take(lambda: _on("sheets", fields))
    today = local(site, now()).date()
    day = taking.take(lambda: read_day(fields["day"], "day")) if fields.get("day") else today
    gather(taking.faults)
    assert day is not None
    asked = {"pack": "sheets", "site": site.pk, "day": day.isoformat(), "on": on}
    return Wanted(kind="pack", arguments=asked, about=f"Preparation sheets of {told_day(day)}, {site.name}")


def _shelf(request: HttpRequest, fields: dict[str, str]) -> Wanted:
    site, place = _site(request), fields.get("place", "")
    on = _on("shelf", fields)
    if len(place) > PLACE:
        raise Refused(
            [_fault("place", f"a place has up to {PLACE} characters", f"{len(place):,} characters", "Cupboard 2")]
        )
    asked = {"pack": "shelf", "site": site.pk, "place": place, "on": on}
    where = f"{place}, {site.name}" if place else site.name
    return Wanted(kind="pack", arguments=asked, about=f"Labels of the shelf: {where}"[:120])
