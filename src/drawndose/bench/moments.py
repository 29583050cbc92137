"""Moments and days of a place: elapsed time across clock changes, calendar days, the last day of a printed expiry.

A life in hours or minutes is elapsed time: it is counted in UTC, so a clock change neither lengthens nor shortens it. A
life in days, weeks or months is counted on the calendar with the day of opening as day 0, and its last day counts to its
end (house rule: a discard date that is written as a day is the last day of use; see the decision on days and moments).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import MAXYEAR, UTC, date, datetime, time, timedelta, tzinfo
from functools import lru_cache
from typing import TypeVar

from drawndose.quantities import Fault, Refused

ACCEPTED = "2026-11-25 14:05"
_MOMENT = re.compile(r"(?P<day>\d{4}-\d{2}-\d{2})[ T](?P<clock>\d{2}:\d{2})(?P<offset>Z|[+-]\d{2}:\d{2})?", re.ASCII)
_SPAN = re.compile(r"(?P<count>[1-9][0-9]{0,4}) (?P<unit>min|h|d|week|weeks|month|months)", re.ASCII)


@dataclass(frozen=True, slots=True)
class Span:
    """A life as it is printed: a whole number of minutes or hours (elapsed), or of days, weeks, months (calendar)."""

    count: int
    unit: str

    @property
    def says(self) -> str:
        """28 days, 96 h, 1 month."""
        if self.unit in {"h", "min"}:
            return f"{self.count} {self.unit}"
        return f"{self.count} {self.unit if self.count == 1 else self.unit + 's'}"

    def after(self, start: datetime) -> datetime:
        """The first moment at which the life is over. ValueError without a zone; OverflowError past the calendar's end.

            >>> from zoneinfo import ZoneInfo
        >>> chicago = ZoneInfo("America/Chicago")
            >>> Span(4, "h").after(datetime(2026, 11, 1, 0, 30, tzinfo=chicago)).strftime("%H:%M")
            '03:30'
            >>> Span(28, "day").after(datetime(2026, 3, 15, 9, 0, tzinfo=chicago)).strftime("%d %b %H:%M")
            '13 Apr 00:00'
        """
        zone = start.tzinfo
        if zone is None or start.utcoffset() is None:
            raise ValueError("a life is counted from a moment with its zone")
        if self.unit in {"h", "min"}:
            elapsed = timedelta(hours=self.count) if self.unit == "h" else timedelta(minutes=self.count)
            return (start.astimezone(UTC) + elapsed).astimezone(zone)
        return end_of(self.last_day(start.date()), start)

    def last_day(self, start: date) -> date:
        """The last day of a calendar life, the first day being day 0."""
        if self.unit == "month":
            return months_later(start, self.count)
        return start + timedelta(days=self.count * (7 if self.unit == "week" else 1))


@lru_cache(maxsize=512)
def read_span(text: str) -> Span | None:
    """A printed life, or None for words such as "at once" and "none printed".

    >>> read_span("96 h"), read_span("at once")
    (Span(count=96, unit='h'), None)
    """
    found = _SPAN.fullmatch(text)
    if found is None:
        return None
    unit = found["unit"].removesuffix("s")
    return Span(int(found["count"]), "day" if unit == "d" else unit)


Day = TypeVar("Day", bound=date)


def months_later(start: Day, months: int) -> Day:
    """The same day of a later month, or that month's last day. OverflowError past the calendar's end."""
    year, month = divmod(start.year * 12 + start.month - 1 + months, 12)
    if year > MAXYEAR:
        raise OverflowError("the calendar ends before that")
    return start.replace(year=year, month=month + 1, day=min(start.day, days_in(year, month + 1)))


def days_in(year: int, month: int) -> int:
    """How many days a month has."""
    first = date(year, month, 28) + timedelta(days=4)
    return (first - timedelta(days=first.day)).day


def end_of(day: date, like: datetime) -> datetime:
    """The moment at which a day is over, at the place of `like`: the first moment of the next day."""
    return datetime.combine(day + timedelta(days=1), time(0), tzinfo=like.tzinfo)


def start_of(day: date, zone: tzinfo) -> datetime:
    """The first moment of a day at a place, where the clock may skip midnight or show it twice."""
    return datetime.combine(day, time(0), tzinfo=zone).astimezone(UTC).astimezone(zone)


def is_over(moment: datetime, now: datetime) -> bool:
    """True from that moment on. Compared as elapsed time, so an hour that the clock shows twice is told apart."""
    return now.astimezone(UTC) >= moment.astimezone(UTC)


def told(moment: datetime) -> str:
    """25 Nov 2026 14:05; with its offset where the clock shows that time twice."""
    words = moment.strftime("%d %b %Y %H:%M")
    twice = moment.replace(fold=0).utcoffset() != moment.replace(fold=1).utcoffset()
    return f"{words} (UTC{_offset(moment)})" if twice else words


def _offset(moment: datetime) -> str:
    return moment.isoformat()[-6:]


def told_day(day: date) -> str:
    """25 Nov 2026."""
    return day.strftime("%d %b %Y")


def told_end(moment: datetime) -> str:
    """A limit in words: a day that is over at midnight is told as the end of that day."""
    if (moment.hour, moment.minute) == (0, 0):
        return f"the end of {told_day(moment.date() - timedelta(days=1))}"
    return told(moment)


def read_moment(text: str, zone: tzinfo, field: str) -> datetime:
    """A wall-clock time of a place, or one with its offset. Refused for a time that the clock skipped or showed twice."""
    found = _MOMENT.fullmatch(" ".join(text.split()))
    try:
        if found is None:
            raise ValueError
        plain = datetime.fromisoformat(f"{found['day']}T{found['clock']}")
        if found["offset"]:
            return datetime.fromisoformat(f"{found['day']}T{found['clock']}{found['offset']}").astimezone(zone)
    except (ValueError, OverflowError):
        rule = "a time is a day and a time of 24 h"
        raise Refused([Fault(field=field, rule=rule, came=text, accepted=ACCEPTED)]) from None
    return _unfolded(plain.replace(tzinfo=zone), text, field)


def _unfolded(local: datetime, text: str, field: str) -> datetime:
    first, second = local.replace(fold=0).utcoffset(), local.replace(fold=1).utcoffset()
    if first == second:
        return local
    both = " or ".join(f"{text.strip()}{_offset(local.replace(fold=fold))}" for fold in (0, 1))
    assert first is not None
    assert second is not None
    if first > second:
        rule = f"the clock of {local.tzinfo} shows this time twice"
        raise Refused([Fault(field=field, rule=rule, came=text, accepted=both)])
    rule = f"the clock of {local.tzinfo} skips this time"
    raise Refused([Fault(field=field, rule=rule, came=text, accepted="a time that the clock shows")])
