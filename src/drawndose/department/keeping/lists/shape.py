"""The shape of every list, and reading the cells that several have."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.work.models import Patient, Site
from drawndose.quantities import Fault, Refused

Row = dict[str, str]
Read = Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: its heading, what stands in it, what is accepted, and whether it may be missing or empty."""

    name: str
    means: str
    accepts: str
    needed: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Imported:
    """One kind of list.

    right: what a person needs to import it. read: a row of cells into what is to be written, Refused with every fault of it; writes nothing. write: writes it by the services
    of the department, in the caller's transaction, and returns how many of what they became; key: so that the same row is not done twice.
    """

    right: Right
    columns: tuple[Column, ...]
    read: Callable[[Row], Read]
    write: Callable[[Read, Person, str], tuple[int, str]]


def refused(field: str, rule: str, came: str, accepted: str) -> Refused:
    """One fault of one cell."""
    return Refused([Fault(field=field, rule=rule, came=came, accepted=accepted)])


def needed(row: Row, columns: tuple[Column, ...]) -> list[Fault]:
    """A fault for every cell that may not be empty and is."""
    return [
        Fault(field=one.name, rule="this is needed", came="", accepted=one.accepts)
        for one in columns
        if one.needed and not row.get(one.name)
    ]


def day(text: str, field: str) -> date:
    """A day as the calendar of ISO 8601 writes it. Refused for another: 3/4/26 is two days."""
    try:
        if len(text) != 10:
            raise ValueError
        return date.fromisoformat(text)
    except ValueError:
        raise refused(field, "a day is year, month and day", text, "2027-06-30") from None


def truth(text: str, field: str) -> bool:
    """Yes or no; an empty cell is no."""
    if text.lower() not in {"yes", "no", ""}:
        raise refused(field, "yes or no", text, "yes, no")
    return text.lower() == "yes"


def site(name: str) -> Site:
    """The site of this name. Refused with those there are."""
    found = Site.objects.filter(name=name).first()
    if found is None:
        there = ", ".join(Site.objects.order_by("name").values_list("name", flat=True)[:10])
        raise refused("site", "there is no site of this name", name, there or "a site, made first")
    return found


def patient(number: str) -> Patient:
    """The patient of this number. Refused when there is none: a list of orders makes no patients."""
    found = Patient.objects.filter(number=number).first()
    if found is None:
        raise refused("patient", "there is no patient of this number", number, "import the patients first")
    return found
