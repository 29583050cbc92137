"""Import: a list in CSV into the department, all of it or nothing. A dry run lists every fault by its row, and writes nothing.

The dry run is the same run, undone at its end: what it accepts is what will be accepted.
"""

from __future__ import annotations

import argparse
import hashlib
from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path

from django.db import IntegrityError, transaction

from drawndose.department.keeping.jobs import Kind, Progress, Result, register
from drawndose.department.keeping.lists import LISTS, Read
from drawndose.department.keeping.models import Job
from drawndose.department.ledger.append import Replayed, append
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right, roles_with
from drawndose.department.work.change import Moved
from drawndose.department.work.csv_list import Rows, decode, table
from drawndose.quantities import Fault, Refused, gather

ABOUT = "Read a list (CSV, UTF-8, commas) into the department: all of it, or nothing with every fault by its row."
EXAMPLES = """\
  drawndose department import orders orders.csv --by ana --dry-run
  drawndose department import containers delivery.csv --by ana
The columns of each list stand in the reference of the department.
"""
MOST_BYTES, MOST_ROWS = 500_000, 500
"""A list is written in one piece, and everyone who writes waits for it: longer ones come in parts. House settings."""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of the verb."""
    parser.add_argument("list", choices=sorted(LISTS), help="what the list holds")
    parser.add_argument("file", help="the file")
    parser.add_argument("--by", required=True, metavar="USERNAME", help="who imports it")
    parser.add_argument("--dry-run", action="store_true", help="list every fault, and write nothing")


def run(args: argparse.Namespace) -> int:
    """Import, and say what was done."""
    by = importer(args.by, LISTS[args.list].right)
    found = read_list(args.list, Path(args.file).read_bytes())
    print(write_list(found, by, dry_run=args.dry_run))
    return 0


def importer(username: str, right: Right = Right.MOVE_DATA) -> Person:
    """The person who moves data in or out. Refused for one who has not the right."""
    person = Person.objects.filter(username=username, is_active=True).first()
    if person is None or not person.may(right):
        accepted = f"a person with one of the roles {', '.join(roles_with(right))}"
        raise Refused([Fault(field="by", rule=f"this person may not {right.value}", came=username, accepted=accepted)])
    return person


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A list as read: its kind, what its rows are to become, by their numbers, and every fault of those that cannot be read."""

    kind: str
    digest: str
    rows: tuple[tuple[int, Read], ...]
    faults: tuple[Fault, ...]


def read_list(kind: str, content: bytes, progress: Progress = lambda done, total, says: None) -> Found:
    """Read every row. Refused for a file that is no such list; faults of rows are kept, to be told with those of writing."""
    rows = _rows(kind, decode(content, MOST_BYTES))
    read, faults = [], []
    for place, (number, row) in enumerate(rows):
        progress(place, len(rows), f"row {number} is read")
        try:
            read.append((number, LISTS[kind].read(row)))
        except Refused as refused:
            faults += [_at(number, fault) for fault in refused.faults]
    digest = hashlib.sha256(kind.encode() + b"\n" + content).hexdigest()
    return Found(kind=kind, digest=digest, rows=tuple(read), faults=tuple(faults))


def _at(number: int, fault: Fault) -> Fault:
    return replace(fault, field=f"row {number}, {fault.field}")


def _rows(kind: str, text: str) -> Rows:
    """The rows by their numbers, the heading being row 1. Refused for a wrong heading, or a row of another length."""
    columns = LISTS[kind].columns
    needed = [one.name for one in columns if one.needed]
    rows, faults = table(text, [one.name for one in columns], needed, MOST_ROWS)
    gather(faults)
    return rows


class _Undone(Exception):
    """A dry run, undone."""


def write_list(found: Found, by: Person, *, dry_run: bool = False) -> str:
    """Write every row, or nothing: Refused with every fault of every row. Returned is what was done, in a sentence."""
    became: Counter[str] = Counter()
    try:
        with transaction.atomic():
            faults = list(found.faults)
            for number, read in found.rows:
                try:
                    with transaction.atomic():
                        count, word = LISTS[found.kind].write(read, by, f"list-{found.digest[:32]}-{number}")
                        became[word] += count
                except (Refused, Replayed, Moved, IntegrityError) as met:
                    faults += [_at(number, fault) for fault in _faults(met)]
            gather(sorted(faults, key=lambda fault: int(fault.field.split()[1].rstrip(","))))
            content = {"list": found.kind, "rows": len(found.rows), "sha256": found.digest}
            append("list.imported", "list", found.kind, actor=by.username, content=content)
            if dry_run:
                raise _Undone
    except _Undone:
        pass
    told = ", ".join(f"{count:,} {'would be ' if dry_run else ''}{word}" for word, count in sorted(became.items()))
    return f"{len(found.rows):,} rows of {found.kind}: {told}.{' A dry run: nothing was written.' if dry_run else ''}"


def _faults(met: Exception) -> tuple[Fault, ...]:
    if isinstance(met, Refused):
        return met.faults
    if isinstance(met, Replayed):
        rule, came = "this very file was imported before", f"event {met.event.number}"
    else:
        rule, came = "the storage does not take it", str(met).splitlines()[0]
    return (Fault(field="row", rule=rule, came=came, accepted="a row that is new"),)


def _work(job: Job, progress: Progress) -> Found:
    return read_list(job.arguments["list"], job.arguments["text"].encode(), progress)


def _land(job: Job, found: Found) -> Result:
    return Result(says=write_list(found, importer(job.by, LISTS[found.kind].right), dry_run=job.arguments["dry_run"]))


register("import", Kind(work=_work, land=_land))
