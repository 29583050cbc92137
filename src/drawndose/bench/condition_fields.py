"""A container's condition out of the texts that a person typed, field by field; every fault at once, nothing guessed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime, tzinfo
from enum import Enum
from typing import TypeVar

from drawndose.bench.condition import Condition, Kept, Sight
from drawndose.bench.moments import read_moment
from drawndose.bench.sums.dates import read_expiry
from drawndose.bench.sums.dates import read_moment as read_day
from drawndose.quantities import Fault, Refused, gather

Word = TypeVar("Word", bound=Enum)
MOMENTS = ("opened", "made_up", "pouch_opened", "out_of_pouch", "out_of_refrigerator")
YES, NO = frozenset({"yes", "true", "on"}), frozenset({"", "no", "false", "off"})
FLAGS = ("undated", "loose", "touched", "bedside")
"""The fields that are true or not."""
FIELDS = ("lot", "expiry", "discard_after", "kept", "seen", "owner", "person", *MOMENTS, *FLAGS)
"""Every field that `read_condition` reads, all texts."""


def read_condition(fields: Mapping[str, str], zone: tzinfo) -> Condition:
    """The condition. Refused with every fault; an empty text is a thing that nobody said.

    >>> from datetime import UTC
    >>> read_condition({"expiry": "06/2027", "opened": "2026-11-01 09:00"}, UTC).expiry
    datetime.date(2027, 6, 30)
    """
    faults: list[Fault] = []
    given = {name: text.strip() for name, text in fields.items() if text.strip()}
    faults += [_unknown(name, text) for name, text in given.items() if name not in FIELDS]
    made: dict[str, object] = {}
    for name, text in given.items():
        if name in FIELDS:
            try:
                made[name] = _READERS.get(name, _as_written)(text, name, zone)
            except Refused as refused:
                faults += refused.faults
    gather(faults)
    return Condition(**made)  # type: ignore[arg-type]


def _unknown(name: str, text: str) -> Fault:
    return Fault(field=name, rule="a container has no such field", came=text, accepted=", ".join(FIELDS))


def _as_written(text: str, field: str, zone: tzinfo) -> str:
    del field, zone
    return text


def _expiry(text: str, field: str, zone: tzinfo) -> date:
    del zone
    return read_expiry(text, field)[0]


def _day(text: str, field: str, zone: tzinfo) -> date:
    del zone
    day = read_day(text, field)
    return day.date() if isinstance(day, datetime) else day


def _moment(text: str, field: str, zone: tzinfo) -> datetime:
    return read_moment(text, zone, field)


def _truth(text: str, field: str, zone: tzinfo) -> bool:
    del zone
    if text.lower() not in YES | NO:
        raise Refused([Fault(field=field, rule="yes or no", came=text, accepted="yes, or nothing")])
    return text.lower() in YES


def _kept(text: str, field: str, zone: tzinfo) -> Kept:
    del zone
    return _word(Kept, text, field)


def _seen(text: str, field: str, zone: tzinfo) -> tuple[Sight, ...]:
    del zone
    return tuple(dict.fromkeys(_word(Sight, piece.strip(), field) for piece in text.split(",") if piece.strip()))


def _word(words: type[Word], text: str, field: str) -> Word:
    try:
        return words(text.lower())
    except ValueError:
        accepted = ", ".join(str(one.value) for one in words)
        raise Refused([Fault(field=field, rule="one of the words", came=text, accepted=accepted)]) from None


_READERS: dict[str, Callable[[str, str, tzinfo], object]] = {
    "expiry": _expiry,
    "discard_after": _day,
    "kept": _kept,
    "seen": _seen,
    **dict.fromkeys(MOMENTS, _moment),
    **dict.fromkeys(FLAGS, _truth),
}
