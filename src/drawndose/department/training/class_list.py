"""A class list in CSV: a dry run that lists every fault by its row, and the learners that it would add, change or ask about.

A number that is in the class under another name is a question, and never merged in silence: the person who imports says for each
whether it is the same learner with a new name.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass

from django.db import transaction

from drawndose.department.ledger.append import Replayed, append
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.training.cohort import enrol, link, rename
from drawndose.department.training.models import Cohort, Learner
from drawndose.quantities import Fault, Refused, gather

COLUMNS = ("number", "name", "username")
"""The columns: the programme's own number, the name, and whom the learner signs in as (may be empty, or left out)."""
MOST_ROWS, MOST_BYTES = 500, 200_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One row: its number in the file, its cells, and what it would be: "new", "there", or "renamed" with the name that stands."""

    row: int
    number: str
    name: str
    username: str
    becomes: str
    was: str = ""


def looked(cohort: Cohort, text: str) -> tuple[tuple[Line, ...], tuple[Fault, ...]]:
    """The dry run: every line that can be read, and every fault by its row. Nothing is written."""
    rows, faults = _rows(text)
    known = {one.number: one for one in Learner.objects.filter(cohort=cohort).select_related("person")}
    lines, counted = [], Counter(cells["number"] for _, cells in rows if cells["number"])
    for row, cells in rows:
        wrong = [*_wrong(row, cells, counted), *_who(row, cells, known.get(cells["number"]), cohort)]
        faults += wrong
        if not wrong:
            lines.append(_line(row, cells, known.get(cells["number"])))
    return tuple(lines), tuple(faults)


def _rows(text: str) -> tuple[list[tuple[int, dict[str, str]]], list[Fault]]:
    if len(text.encode()) > MOST_BYTES:
        return [], [
            Fault(
                field="file", rule="it is too large", came=f"{len(text):,} characters", accepted=f"{MOST_BYTES:,} bytes"
            )
        ]
    try:
        found = list(csv.reader(io.StringIO(text.removeprefix("\ufeff")), strict=True))
    except csv.Error as error:
        return [], [Fault(field="file", rule="it is no CSV", came=str(error), accepted="commas, and quotes in pairs")]
    heads = [one.strip().lower() for one in found[0]] if found else []
    if not {"number", "name"} <= set(heads) <= set(COLUMNS) or len(set(heads)) != len(heads):
        came = ", ".join(heads) or "nothing"
        return [], [
            Fault(
                field="row 1",
                rule="the headings are not those of a class list",
                came=came[:200],
                accepted="number,name,username",
            )
        ]
    faults, rows = [], []
    for place, cells in enumerate(found[1:], start=2):
        if not any(one.strip() for one in cells):
            continue
        if len(cells) != len(heads):
            faults.append(_fault(place, "row", "the number of cells", str(len(cells)), str(len(heads))))
            continue
        values = dict(zip(heads, (" ".join(one.split()) for one in cells), strict=True))
        rows.append((place, {name: values.get(name, "") for name in COLUMNS}))
    if not rows and not faults:
        faults.append(
            Fault(
                field="file", rule="no learner stands in it", came="headings alone", accepted="a row for each learner"
            )
        )
    if len(rows) > MOST_ROWS:
        faults.append(Fault(field="file", rule="too many rows", came=f"{len(rows):,}", accepted=f"{MOST_ROWS} at once"))
    return rows, faults


def _fault(row: int, field: str, rule: str, came: str, accepted: str) -> Fault:
    return Fault(field=f"row {row}, {field}", rule=rule, came=came, accepted=accepted)


def _wrong(row: int, cells: dict[str, str], counted: Counter[str]) -> list[Fault]:
    found = []
    for name, longest in (("number", 30), ("name", 120)):
        if not 0 < len(cells[name]) <= longest:
            found.append(_fault(row, name, "this is needed", cells[name], f"1 to {longest} characters"))
    if counted[cells["number"]] > 1:
        found.append(
            _fault(row, "number", "it stands in the list more than once", cells["number"], "each learner once")
        )
    return found


def _who(row: int, cells: dict[str, str], there: Learner | None, cohort: Cohort) -> list[Fault]:
    username = cells["username"].lower()
    if not username:
        return []
    person = Person.objects.filter(username=username, is_active=True).first()
    if person is None:
        return [
            _fault(
                row, "username", "nobody here signs in with this name", username, "a person who is there, or nothing"
            )
        ]
    if not person.may(Right.LEARN):
        return [
            _fault(
                row,
                "username",
                f"to {Right.LEARN.value} is not this person's",
                username,
                "the role learner, given first",
            )
        ]
    if there is not None and there.person_id not in {None, person.pk}:
        came = f"{username}; linked to {there.person.username if there.person else ''}"
        return [_fault(row, "username", "this learner is linked to another person", came, "the same name, or nothing")]
    other = Learner.objects.filter(cohort=cohort, person=person).exclude(pk=there.pk if there else None).first()
    if other is not None:
        return [
            _fault(
                row,
                "username",
                "another learner of the class is this person",
                f"{username}, {other.number}",
                "another name",
            )
        ]
    return []


def _line(row: int, cells: dict[str, str], there: Learner | None) -> Line:
    becomes = "new" if there is None else "there" if there.name == cells["name"] else "renamed"
    return Line(row=row, **cells, becomes=becomes, was=there.name if becomes == "renamed" and there else "")


def write(
    cohort: Cohort, text: str, *, same: Collection[str], by: Person, reason: str = "", key: str | None = None
) -> dict[str, int]:
    """Write the whole list, or nothing. Refused with every fault by its row, and with every renamed learner that was not answered.

    same: the numbers of which the person said that they are the same learner under a new name. Returned: how many of what.
    """
    if key is not None and (done := Event.objects.filter(key=key).first()) is not None:
        raise Replayed(done)
    lines, found = looked(cohort, text)
    faults = list(found)
    for one in lines:
        if one.becomes == "renamed" and one.number not in same:
            rule = f"number {one.number} is {one.was} here: is it the same learner?"
            faults.append(_fault(one.row, "name", rule, one.name, "say that it is the same, or give another number"))
    gather(faults)
    counts: Counter[str] = Counter()
    with transaction.atomic():
        append(
            "class_list.read", "class_list", str(cohort.pk), actor=by.username, key=key, content={"rows": len(lines)}
        )
        for one in lines:
            counts[_written(cohort, one, by, reason or "confirmed when the class list was read")] += 1
    return dict(counts)


def _written(cohort: Cohort, line: Line, by: Person, reason: str) -> str:
    person = Person.objects.filter(username=line.username.lower()).first() if line.username else None
    try:
        if line.becomes == "new":
            enrol(cohort, line.number, line.name, by=by, person=person)
            return "added"
        there = Learner.objects.get(cohort=cohort, number=line.number)
        if line.becomes == "renamed":
            rename(there, line.name, by=by, version=there.version, reason=reason)
        if person is not None and there.person_id is None:
            link(there, person, by=by, version=there.version)
    except Refused as refused:
        raise Refused(
            [_fault(line.row, one.field, one.rule, one.came, one.accepted) for one in refused.faults]
        ) from None
    return "renamed" if line.becomes == "renamed" else "there already"
