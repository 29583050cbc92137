"""What the lab's readers of plain data share: whole numbers, moments, days, and a version made of content."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date, datetime
from fractions import Fraction
from hashlib import sha256

from drawndose.quantities import Fault, Refused, read_number
from drawndose.reference.table import Table

Data = dict[str, object]
"""Plain data: dicts, lists, texts, whole numbers, true, false, null. What is stored and sent."""


def version_of(data: Mapping[str, object]) -> str:
    """The version of something kept as data: the SHA-256 of its content, 64 hexadecimal digits. Alike content, alike version.

    >>> version_of({"b": 1, "a": 2}) == version_of({"a": 2, "b": 1})
    True
    """
    text = json.dumps(data, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return sha256(text.encode("utf-8")).hexdigest()


def fault(field: str, rule: str, came: object, accepted: str) -> Fault:
    """One fault."""
    return Fault(field=field, rule=rule, came=str(came), accepted=accepted)


def refused(field: str, rule: str, came: object, accepted: str) -> Refused:
    """What is raised for one fault."""
    return Refused([fault(field, rule, came, accepted)])


def whole(table: Table, key: str, low: int, high: int, default: int | None = None) -> int:
    """A whole number from low to high; the default, or low, stands in while the remaining faults are gathered."""
    value = table.raw(key)
    if value is None and default is not None:
        return default
    if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
        return value
    table.fault(key, "a whole number is needed", repr(value), f"{low} to {high}")
    return low


def share(table: Table, key: str, most: int = 100) -> Fraction:
    """An exact number from 0, written as text or as a whole number."""
    value = table.raw(key)
    text = str(value) if isinstance(value, str | int) and not isinstance(value, bool) else ""
    try:
        found = read_number(text, field=key) if text else None
    except Refused:
        found = None
    if found is None or found > most:
        table.fault(key, "an exact number is needed", repr(value), f'0 to {most}, such as "80" or "66.5"')
        return Fraction(0)
    return found


def text_or_none(table: Table, key: str) -> str:
    """A text that may be empty or not there."""
    value = table.raw(key)
    if value is None or isinstance(value, str):
        return value or ""
    table.fault(key, "a text is wanted", repr(value), '"..."')
    return ""


def moment(table: Table, key: str) -> datetime | None:
    """A moment with its zone, as ISO text; None when the key is not there."""
    value = table.raw(key)
    if value is None:
        return None
    try:
        found = datetime.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        found = None
    if found is None or found.utcoffset() is None:
        table.fault(key, "a moment with its zone is needed", repr(value), "2026-03-02T13:05:00+00:00")
        return None
    return found


def day(table: Table, key: str) -> date | None:
    """A day, as ISO text; None when the key is not there."""
    value = table.raw(key)
    if value is None:
        return None
    try:
        return date.fromisoformat(str(value))
    except ValueError:
        table.fault(key, "a day is needed", repr(value), "2026-03-02")
        return None


def zoned(at: datetime, what: str) -> datetime:
    """The moment itself. ValueError without a zone."""
    if at.utcoffset() is None:
        raise ValueError(f"{what} needs its zone (got {at.isoformat()})")
    return at
