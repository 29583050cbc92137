"""What may be asked for as long work: each form read into a kind, its arguments and a name. Refused with every fault of the form."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest

from drawndose.bench.moments import told, told_day
from drawndose.department.keeping.importing import MOST_BYTES
from drawndose.department.keeping.lists import LISTS
from drawndose.department.ledger.append import now
from drawndose.department.pages.jobs import lab_packs
from drawndose.department.pages.jobs.packs import PACKS, RIGHT
from drawndose.department.pages.lab.frame import place_of
from drawndose.department.pages.sites import site_of
from drawndose.department.pages.typed import read_clock, read_day
from drawndose.department.pages.upload import chosen
from drawndose.department.people.roles import Right
from drawndose.department.training.models import Cohort, LabDay
from drawndose.department.work.csv_list import decode
from drawndose.department.work.label_stock import PAPERS
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


def lacking(held: frozenset[Right], do: str, fields: dict[str, str]) -> tuple[Right, ...]:
    """The rights that a form needs and a person has not. For papers of the lab one right of two is enough."""
    if do in lab_packs.PACKS:
        return () if held & set(lab_packs.RIGHTS) else lab_packs.RIGHTS
    return tuple(right for right in _rights_for(do, fields) if right not in held)


def _rights_for(do: str, fields: dict[str, str]) -> tuple[Right, ...]:
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
        "lab-day": _lab,
        "lab-class": _lab,
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


def _on(known: Sequence[str], fields: dict[str, str]) -> str:
    on = fields.get("on", "")
    if on not in known:
        raise Refused([_fault("paper", "what it is printed on", on, "; ".join(known))])
    return on


def _labels(request: HttpRequest, fields: dict[str, str]) -> Wanted:
    site, taking = _site(request), Gathering()
    on = taking.take(lambda: _on(PACKS["labels"].on, fields))
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
    on = taking.take(lambda: _on(PACKS["sheets"].on, fields))
    today = local(site, now()).date()
    day = taking.take(lambda: read_day(fields["day"], "day")) if fields.get("day") else today
    gather(taking.faults)
    assert day is not None
    asked = {"pack": "sheets", "site": site.pk, "day": day.isoformat(), "on": on}
    return Wanted(kind="pack", arguments=asked, about=f"Preparation sheets of {told_day(day)}, {site.name}")


def _shelf(request: HttpRequest, fields: dict[str, str]) -> Wanted:
    site, place = _site(request), fields.get("place", "")
    on = _on(PACKS["shelf"].on, fields)
    if len(place) > PLACE:
        raise Refused(
            [_fault("place", f"a place has up to {PLACE} characters", f"{len(place):,} characters", "Cupboard 2")]
        )
    asked = {"pack": "shelf", "site": site.pk, "place": place, "on": on}
    where = f"{place}, {site.name}" if place else site.name
    return Wanted(kind="pack", arguments=asked, about=f"Labels of the shelf: {where}"[:120])


def _lab(request: HttpRequest, fields: dict[str, str]) -> Wanted:
    """The papers of a day of the lab, or the files of a class. Refused for whoever is a learner of it."""
    pack, text, taking = fields["do"], fields.get("of", ""), Gathering()
    number = int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else 0
    rows = lab_days() if pack == "lab-day" else Cohort.objects.all()
    row = rows.filter(pk=number).first()
    on = taking.take(lambda: _on(tuple(PAPERS), fields))
    if row is None:
        of = pack.removeprefix("lab-")
        taking.faults.append(_fault(of, f"there is no such {of}", text, "one of the list"))
    else:
        taking.take(lambda: lab_packs.lab_person(request.user.username, getattr(row, "cohort", row)))
    gather(taking.faults)
    asked = {"pack": pack, "of": number, "on": on, "zone": place_of(request).zone}
    about = f"Papers of {row.title}, {told_day(row.on)}" if isinstance(row, LabDay) else f"Files of {row.name}"
    return Wanted(kind="lab_pack", arguments=asked, about=about[:120])


def lab_days() -> QuerySet[LabDay]:
    """The days that have papers, the newest first."""
    return LabDay.objects.exclude(state="dropped").select_related("cohort").order_by("-on", "-pk")
