"""Changing a training record: as the work does it, with the tables of the training."""

from __future__ import annotations

from typing import Any

from drawndose.department.ledger.append import append
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.training.states import TABLES
from drawndose.department.work.change import Row
from drawndose.department.work.change import change as change_of
from drawndose.quantities import Fault, Refused


def begun(row: Row, kind: str, event: str, *, by: Person, key: str | None = None, content: dict[str, Any]) -> Row:
    """Keep a new row in the state that its first event leads to, with that event. In a transaction. Replayed for a used key."""
    row.state = TABLES[kind][""][event]
    row.version = 1
    row.save(force_insert=True)
    append(event, kind, str(row.pk), actor=by.username, key=key, content=content)
    return row


def change(row: Row, kind: str, event: str, *, by: Person, version: int, **more: Any) -> Event:
    """Move a row by an event: see `work.change.change`."""
    return change_of(row, kind, event, by=by, version=version, tables=TABLES, **more)


def no(field: str, rule: str, came: object, accepted: str) -> Refused:
    """What is raised for one fault."""
    return Refused([Fault(field=field, rule=rule, came=str(came), accepted=accepted)])


def told(text: str, field: str, accepted: str, longest: int = 2000) -> str:
    """A text that must be there. Refused where it is not, or where it is too long to be read."""
    said = text.strip()
    if not said:
        raise no(field, "this is needed", "nothing", accepted)
    if len(said) > longest:
        raise no(field, "the text is too long", f"{len(said):,} characters", f"{longest:,} characters at most")
    return said
