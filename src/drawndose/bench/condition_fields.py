"""A container's condition out of the texts that a person typed, field by field; every fault at once, nothing guessed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime, tzinfo
from enum import Enum
from typing import TypeVar

from drawndose.bench.condition import Condition, Kept, Sight
from drawndose.bench.moments import ACCEPTED, read_moment, start_of
from drawndose.bench.sums.dates import read_expiry
from drawndose.bench.sums.dates import read_moment as read_day
from drawndose.quantities import Fault, Refused, gather

Word = TypeVar("Word", bound=Enum)
MOMENTS = ("opened", "made_up", "pouch_opened", "out_of_pouch", "out_of_refrigerator")
YES, NO = frozenset({"yes", "true", "on"}), frozenset({"", "no", "false", "off"})
EITHER = f"{ACCEPTED}, or the day alone"
FLAGS = ("undated", "loose", "touched", "bedside")
"""The fields that are true or not."""
FIELDS = ("lot", "expiry", "discard_after", "kept", "seen", "owner", "person", *MOMENTS, *FLAGS)
"""Every field that `read_condition` reads, all texts."""


def read_condition(fields: Mapping[str, str], zone: tzinfo) -> Condition:
    """The condition. Refused with every fault; an empty text is a thing that nobody said. A moment may be a day alone, as bottles
    carry it: then it is the first moment of that day, so that no limit in hours comes out too long.

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
    days = tuple(name for name in MOMENTS if ":" not in given.get(name, ":"))
    return Condition(**made, day_only=days)  # type: ignore[arg-type]


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
    """A moment, or a day alone: its first one. Without a clock time the reason is that of the day."""
    if ":" not in text and any(one.isdecimal() for one in text):
        try:
            return start_of(_day(text, field, zone), zone)
        except Refused as refused:
            raise Refused([replace(one, accepted=EITHER) for one in refused.faults]) from None
    try:
        return read_moment(text, zone, field)
    except Refused as refused:
        raise Refused([_either(one) for one in refused.faults]) from None


def _either(fault: Fault) -> Fault:
    return replace(fault, accepted=EITHER) if fault.accepted == ACCEPTED else fault


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
