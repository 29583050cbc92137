"""Dates in codes: two digits of the year, so a century has to be chosen; and a day 00, which is the last day of the month.

The current year is an argument: a code means the same thing only when read in the same year. d is the code's two digits less the
last two of the current year: 51 and more is the century before, -50 and less the century after, else it is this century.

Sources: GS1 General Specifications 7.12 and 3.4.7, as restated in public program texts, secondary; GS1 Barcode Syntax
Dictionary, linter routines yymmd0 and yymmdd, read.
"""

import re
from dataclasses import dataclass
from datetime import date, datetime, time

from drawndose.quantities import Fault, Refused
from drawndose.reference.codes.check_digits import digits_only

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
NO_SUCH_DAY = "there is no such day"
NO_SUCH_TIME = "there is no such time"
DAY_00 = "a day 00 is not used here"
PRINTED = "the date as it is printed beside the code"
YEARS = range(1000, 9000)
"""Current years that are accepted: any of four digits, with room for the centuries beside it."""


@dataclass(frozen=True, slots=True)
class Day:
    """A day out of a code. whole_month: the code said day 00, so this is the last day of its month."""

    date: date
    whole_month: bool

    def __str__(self) -> str:
        """For people: 30 Jun 2027 (day 00 means the last day of the month)."""
        return told(self.date) + (" (day 00 means the last day of the month)" if self.whole_month else "")


def told(day: date) -> str:
    """A day, or a moment to the minute, as people read it: 30 Jun 2027, 30 Jun 2027 08:00."""
    clock = f" {day.hour:02}:{day.minute:02}" if isinstance(day, datetime) else ""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}{clock}"


def full_year(two_digits: int, current: int) -> int:
    """The year of four digits that two digits mean when read in the current year. ValueError for a current year out of range.

    >>> full_year(76, 2026), full_year(77, 2026), full_year(21, 2071)
    (2076, 1977, 2121)
    """
    if current not in YEARS:
        raise ValueError(f"the current year must have four digits (got {current})")
    apart = two_digits - current % 100
    century = current - current % 100
    if apart >= 51:
        century -= 100
    elif apart <= -50:
        century += 100
    return century + two_digits


def last_day(year: int, month: int) -> int:
    """The number of days of a month."""
    following = date(year + month // 12, month % 12 + 1, 1)
    return (following - date(year, month, 1)).days


def read(text: str, *, year: int, day_00: bool = True, field: str = "date") -> Day:
    """A date of six digits (year, month, day) or eight, read in the current year. Refused for a day that does not exist.

    >>> str(read("270200", year=2026))
    '28 Feb 2027 (day 00 means the last day of the month)'
    """
    if not digits_only(text) or len(text) not in {6, 8}:
        raise _refused(field, "a date in a code is six digits", text, "270630")
    full = int(text[:4]) if len(text) == 8 else full_year(int(text[:2]), year)
    month, day = int(text[-4:-2]), int(text[-2:])
    if full == 0 or not 1 <= month <= 12 or day > last_day(full, month):
        raise _refused(field, NO_SUCH_DAY, text, PRINTED)
    if day == 0 and not day_00:
        raise _refused(field, DAY_00, text, PRINTED)
    return Day(date(full, month, day or last_day(full, month)), day == 0)


def write(day: Day) -> str:
    """The six digits of a day, which say nothing of its century."""
    return f"{day.date:%y%m}{0 if day.whole_month else day.date.day:02}"


_CLOCK = re.compile(r"(?:[01][0-9]|2[0-3])[0-5][0-9]", re.ASCII)


def read_moment(text: str, *, year: int, field: str = "date and time") -> datetime:
    """A date and a time of ten digits (year, month, day, hour, minute); no day 00. Refused when there is none such.

    >>> told(read_moment("2711300800", year=2026))
    '30 Nov 2027 08:00'
    """
    if not digits_only(text) or len(text) != 10:
        raise _refused(field, "a date and time in a code is ten digits", text, "2711300800")
    day = read(text[:6], year=year, day_00=False, field=field).date
    if not _CLOCK.fullmatch(text[6:]):
        raise _refused(field, NO_SUCH_TIME, text, PRINTED)
    return datetime.combine(day, time(int(text[6:8]), int(text[8:])))


def _refused(field: str, rule: str, came: str, accepted: str) -> Refused:
    return Refused([Fault(field=field, rule=rule, came=came, accepted=accepted)])
