"""Appending: the only way into the ledger. Called inside the transaction that changes the state it records."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import UTC, datetime, timedelta
from typing import Any

from django.db import transaction

from drawndose.department.ledger.chain import digest, exact
from drawndose.department.ledger.models import Event, Head, Kind
from drawndose.quantities import Fault, Refused

SKEW = timedelta(seconds=5)
"""How far clocks of machines that share a storage may differ. A house setting."""


class Replayed(Exception):
    """A form that was already carried out; `event` is what it did. Nothing is done again."""

    def __init__(self, event: Event) -> None:
        super().__init__(f"event {event.number} has this key already")
        self.event = event


_PINNED: ContextVar[datetime | None] = ContextVar("pinned", default=None)


def now() -> datetime:
    """The one clock of the department."""
    return _PINNED.get() or datetime.now(UTC)


@contextmanager
def pinned(moment: datetime) -> Iterator[None]:
    """Let the clock stand at a moment, to make invented records. Nothing is written so where patients' records are kept."""
    before = _PINNED.set(moment)
    try:
        yield
    finally:
        _PINNED.reset(before)


def append(
    name: str,
    subject_kind: str,
    subject: str,
    *,
    actor: str,
    reason: str = "",
    key: str | None = None,
    content: dict[str, Any] | None = None,
    at: datetime | None = None,
) -> Event:
    """Add one event and return it. RuntimeError outside a transaction: state and event change together or not at all.

    Replayed when the key was used before. Refused when the clock stands before the last event: then no time can be trusted.
    """
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("an event is added in the transaction that changes the state")
    head = Head.objects.select_for_update().get(pk=1)
    if _PINNED.get() is not None and head.kind == Kind.CARE:
        raise RuntimeError("patients' records are written by the real clock")
    if key is not None and (done := Event.objects.filter(key=key).first()) is not None:
        raise Replayed(done)
    moment = at or now()
    if head.at is not None and moment < head.at - SKEW:
        rule = "the clock of this machine stands before the last record"
        came, accepted = (
            f"{moment:%d %b %Y %H:%M:%S}",
            f"a clock that is right; the last record is of {head.at:%d %b %Y %H:%M:%S} UTC",
        )
        raise Refused([Fault(field="clock", rule=rule, came=came, accepted=accepted)])
    event = Event(
        number=head.number + 1,
        at=max(moment, head.at) if head.at is not None else moment,
        actor=actor,
        name=name,
        subject_kind=subject_kind,
        subject=str(subject),
        reason=reason,
        content=exact(content or {}),
        key=key,
        before=head.hash,
    )
    event.hash = digest(event)
    event.save(force_insert=True)
    moved = Head.objects.filter(pk=1, number=head.number).update(number=event.number, hash=event.hash, at=event.at)
    if moved != 1:
        raise RuntimeError("the head of the ledger moved under its lock")
    return event
