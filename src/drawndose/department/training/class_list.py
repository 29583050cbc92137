"""A class list in CSV: a dry run that lists every fault by its row, and the learners that it would add, change or ask about.

A number that is in the class under another name is a question, and never merged in silence: the person who imports says for each
whether it is the same learner with a new name.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass

from django.db import transaction

from drawndose.department.ledger.append import Replayed, append
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.training.change import no
from drawndose.department.training.cohort import enrol, link, rename
from drawndose.department.training.models import Cohort, Learner
from drawndose.department.work.csv_list import Rows, table
from drawndose.quantities import Fault, Refused, gather

COLUMNS = ("number", "name", "username")
"""The columns: the programme's own number, the name, and whom the learner signs in as (may be empty, or left out)."""
MOST_ROWS, MOST_BYTES = 500, 150_000
"""A list is written in one piece, and stands in a box of the page meanwhile. House settings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One row: its number in the file, its cells, and what it would be: "new", "there", or "renamed" with the name that stands.

    alike: the number under which a learner of this very name is in the class already, for somebody new.
    """

    row: int
    number: str
    name: str
    username: str
    becomes: str
    was: str = ""
    alike: str = ""


def looked(cohort: Cohort, text: str) -> tuple[tuple[Line, ...], tuple[Fault, ...]]:
    """The dry run: every line that can be read, and every fault by its row. Nothing is written."""
    try:
        rows, faults = _rows(text)
    except Refused as refused:
        return (), refused.faults
    known = {one.number: one for one in Learner.objects.filter(cohort=cohort).select_related("person")}
    named = {" ".join(one.name.lower().split()): one.number for one in known.values()}
    lines, counted = [], {name: Counter(cells[name] for _, cells in rows if cells[name]) for name in COLUMNS}
    for row, cells in rows:
        there = known.get(cells["number"])
        wrong = [*_wrong(row, cells, counted), *_who(row, cells, there, cohort)]
        faults += wrong
        if not wrong:
            lines.append(_line(row, cells, there, named.get(cells["name"].lower(), "")))
    return tuple(lines), tuple(sorted(faults, key=lambda one: int(one.field.split(",")[0].removeprefix("row "))))


def _rows(text: str) -> tuple[Rows, list[Fault]]:
    """Every row with all three cells, in single spaces; a name to sign in with has no capitals."""
    if (length := len(text.encode())) > MOST_BYTES:
        accepted = f"{MOST_BYTES:,} bytes"
        raise no("file", "it is larger than is read at once", f"{length:,} bytes", accepted)
    found, faults = table(text, COLUMNS, COLUMNS[:2], MOST_ROWS)
    rows = [(place, {name: " ".join(cells.get(name, "").split()) for name in COLUMNS}) for place, cells in found]
    return [(place, cells | {"username": cells["username"].lower()}) for place, cells in rows], faults


def _fault(row: int, field: str, rule: str, came: str, accepted: str) -> Fault:
    return Fault(field=f"row {row}, {field}", rule=rule, came=came, accepted=accepted)


def _wrong(row: int, cells: dict[str, str], counted: dict[str, Counter[str]]) -> list[Fault]:
    found = []
    for name, longest in (("number", 30), ("name", 120)):
        if not cells[name]:
            found.append(_fault(row, name, "this is needed", "nothing", f"1 to {longest} characters"))
        elif len(cells[name]) > longest:
            came = f"{len(cells[name]):,} characters"
            found.append(_fault(row, name, "the text is too long", came, f"{longest} characters at most"))
    for name in ("number", "username"):
        if counted[name][cells[name]] > 1:
            rule = "it stands in the list more than once"
            found.append(_fault(row, name, rule, cells[name], "each learner once"))
    return found


def _who(row: int, cells: dict[str, str], there: Learner | None, cohort: Cohort) -> list[Fault]:
    username = cells["username"]
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


def _line(row: int, cells: dict[str, str], there: Learner | None, alike: str) -> Line:
    becomes = "new" if there is None else "there" if there.name == cells["name"] else "renamed"
    was = there.name if becomes == "renamed" and there else ""
    return Line(row=row, **cells, becomes=becomes, was=was, alike=alike if becomes == "new" else "")


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
    person = Person.objects.filter(username=line.username).first() if line.username else None
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
