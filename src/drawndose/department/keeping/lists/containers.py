"""Containers for the shelf, as received."""

from __future__ import annotations

from typing import Any

from drawndose.department.keeping.lists import shape
from drawndose.department.keeping.lists.shape import Column, Row, day, needed, refused
from drawndose.department.people.models import Person
from drawndose.department.work import shelf
from drawndose.department.work.models import Site
from drawndose.quantities import Gathering, gather
from drawndose.reference import load

COLUMNS = (
    Column(name="site", means="the site's name", accepts="a site that there is"),
    Column(name="presentation", means="what it is", accepts="an id of the catalogue: drawndose catalogue"),
    Column(name="pack", means="the fill size as printed", accepts="20 mL"),
    Column(name="lot", means="the lot as printed", accepts="1 to 20 characters"),
    Column(name="expiry", means="the last day on which it may be used", accepts="2027-06-30"),
    Column(name="count", means="how many; 1 without it", accepts="1 to 200", needed=False),
    Column(name="place", means="where it stands", accepts="up to 80 characters", needed=False),
    Column(name="code", means="the code on it (GTIN)", accepts="up to 14 digits", needed=False),
)


def read(row: Row) -> tuple[Site, dict[str, Any]]:
    """Where, and what. Whether it is in date is asked when it is written."""
    gathering = Gathering()
    gathering.faults += needed(row, COLUMNS)
    site = gathering.take(lambda: shape.site(row["site"])) if row["site"] else None
    expiry = gathering.take(lambda: day(row["expiry"], "expiry")) if row["expiry"] else None
    count = gathering.take(lambda: _count(row.get("count", "")))
    if row["presentation"]:
        gathering.take(lambda: _pack(row["presentation"], row["pack"]))
    code, place = row.get("code", ""), row.get("place", "")
    if code and not (code.isascii() and code.isdecimal() and len(code) <= 14):
        gathering.faults += refused("code", "a code is digits", code, COLUMNS[7].accepts).faults
    if len(place) > 80:
        gathering.faults += refused("place", "it is too long", place, COLUMNS[6].accepts).faults
    gather(gathering.faults)
    if site is None:
        raise AssertionError("what is missing was a fault")
    return site, {
        "presentation": row["presentation"],
        "pack": row["pack"],
        "lot": row["lot"],
        "expiry": expiry,
        "count": count,
        "place": place,
        "code": code,
    }


def _pack(presentation: str, pack: str) -> None:
    try:
        record = load().presentation(presentation)
    except KeyError:
        raise refused("presentation", "it is not in the catalogue", presentation, COLUMNS[1].accepts) from None
    if pack:
        shelf.pack_of(record, pack)


def _count(text: str) -> int:
    if text and not (text.isascii() and text.isdecimal() and 1 <= int(text) <= 200):
        raise refused("count", "a whole number from 1 to 200", text, "10")
    return int(text or 1)


def write(made: tuple[Site, dict[str, Any]], by: Person, key: str) -> tuple[int, str]:
    """Put them on the shelf."""
    site, values = made
    return len(shelf.receive(site, by=by, key=key, **values)), "on the shelf"
