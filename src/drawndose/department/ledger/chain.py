"""How an event is bound to the one before: SHA-256 (FIPS 180-4) over its canonical text; and the check of a whole chain."""

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from drawndose.department.ledger.models import FIRST, Event


def canonical(event: Event) -> str:
    """The event as one text: sorted keys, no spaces, the moment in UTC to the microsecond. Floats are refused."""
    return json.dumps(
        {
            "number": event.number,
            "at": _moment(event.at),
            "actor": event.actor,
            "name": event.name,
            "subject_kind": event.subject_kind,
            "subject": event.subject,
            "reason": event.reason,
            "content": exact(event.content),
            "key": event.key,
            "before": event.before,
        },
        sort_keys=True,
        separators=(",", ":"),
        ensure_ascii=True,
    )


def exact(content: Any) -> Any:
    """The content, when it holds texts, whole numbers, truths, lists and dicts only. TypeError for a float: none is exact."""
    if isinstance(content, dict):
        return {str(name): exact(value) for name, value in content.items()}
    if isinstance(content, list | tuple):
        return [exact(value) for value in content]
    if content is None or isinstance(content, str | int):
        return content
    raise TypeError(f"an event holds exact values as text, not {content!r}")


def _moment(at: datetime) -> str:
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def digest(event: Event) -> str:
    """The hash of an event."""
    return hashlib.sha256(canonical(event).encode("ascii")).hexdigest()


@dataclass(frozen=True, slots=True)
class Broken:
    """The first event that does not hold, and why."""

    number: int
    why: str


def first_broken(events: Iterable[Event]) -> Broken | None:
    """Walk a chain in order of its numbers; the first event that is missing, moved or altered, or None."""
    before = FIRST
    for number, event in enumerate(events, start=1):
        if event.number != number:
            return Broken(number, f"event {number} is missing")
        if event.before != before:
            return Broken(number, f"event {number} is not bound to the one before it")
        if event.hash != digest(event):
            return Broken(number, f"event {number} was altered after it was written")
        before = event.hash
    return None
