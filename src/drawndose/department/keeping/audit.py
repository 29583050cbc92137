"""Audit: the chain of events, and what it says of every row, against the rows themselves. The first that does not agree is named."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from typing import Any

from drawndose.department.keeping.folding import Fold
from drawndose.department.keeping.tables import still, tables
from drawndose.department.ledger.chain import first_broken
from drawndose.department.ledger.models import Event
from drawndose.quantities import Fault, Refused

ABOUT = "Verify the chain of events, and fold them up again: states, volumes left and amounts against the tables."
EXAMPLES = """\
  drawndose department audit
  drawndose department audit --json
exit status: 0 everything agrees; 1 something does not, and the first that does not is named
"""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of the verb."""
    parser.add_argument("--json", action="store_true", help="write one JSON document")


def run(args: argparse.Namespace) -> int:
    """Audit and say what was found. Exit status 1 when something does not agree."""
    with still() as using:
        found = audit(using)
    if args.json:
        print(json.dumps({"schema": "drawndose.audit/1"} | asdict(found)))
    elif found.fault:
        print(f"The audit stops at this: {found.fault}")
    else:
        print(f"{found.events:,} events, each bound to the one before; {found.rows:,} rows agree with them.")
        print(f"The last event is {found.head}. Written down elsewhere, it proves that nothing before it was replaced.")
    return 1 if found.fault else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Audited:
    """What an audit found. fault: the first event or row that does not agree, in a sentence; empty when all do."""

    events: int
    rows: int
    head: str
    fault: str = ""


def audit(using: str = "default", models: dict[str, Any] | None = None) -> Audited:
    """Walk the chain once and fold it as it goes by. Refused when the storage was never founded.

    models: the tables as they were, for a storage that has not been brought up to date yet.
    """
    models = models or tables()
    head = models["ledger.head"].objects.using(using).filter(pk=1).first()
    if head is None:
        accepted = "drawndose department start"
        raise Refused([Fault(field="storage", rule="it was never founded", came="no head", accepted=accepted)])
    fold = Fold()
    events = models["ledger.event"].objects.using(using).order_by("number").iterator(chunk_size=1_000)
    broken = first_broken(_folded(events, fold))
    fault = broken.why if broken else ""
    if not fault and (fold.last.number, fold.last.hash) != (head.number, head.hash):
        fault = f"event {min(fold.last.number, head.number) + 1}: the chain ends at {fold.last.number}, its head says {head.number}"
    if not fault and (fold.kind != head.kind):
        fault = f"event 1: the storage was founded for {fold.kind}, its head says {head.kind}"
    rows, differs = (0, "") if fault else fold.against_rows(models, using)
    return Audited(events=fold.last.number, rows=rows, head=head.hash, fault=fault or fold.fault or differs)


def _folded(events: Iterable[Event], fold: Fold) -> Iterator[Event]:
    for event in events:
        yield event  # the chain is judged first: what is not whole is not folded
        fold.take(event)
