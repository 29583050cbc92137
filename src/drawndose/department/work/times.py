"""When the doses of an order are due: from dose to dose by its interval, or at the house's times of day.

"Every 4 hours" is elapsed time from the dose before. "Three times daily" means the times of day that the house keeps (a setting; common
practice, no published source), by the clock of the site. A first dose that was ordered at another time is given then; the next one
is the first house time that lies at least half of the even gap after it, so that two doses never come close together by the clock alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from drawndose.bench.order import Order as Reading
from drawndose.bench.windows import spacing, window
from drawndose.department.work.policy import house, policy

KEPT = (1, 2, 3, 4)
"""How many doses a day have house times; more of them are shared out evenly."""


def half_window(reading: Reading) -> timedelta:
    """How long before and after its due time a dose counts as in time; nothing where the policy names no window."""
    around = window(reading, policy())
    return timedelta(seconds=int(around.to("s").value)) if around is not None else timedelta(0)


def repeats(reading: Reading) -> bool:
    """True when doses follow each other by themselves: not for a single dose, and not for one as needed."""
    return spacing(reading) is not None and not reading.as_needed


def moments(reading: Reading, zone: ZoneInfo, first: datetime) -> Iterator[datetime]:
    """Every moment at which a dose is due, the first one first, in UTC; one alone for a single dose, none as needed."""
    if reading.as_needed:
        return
    moment = first.astimezone(UTC)
    yield moment
    gap = spacing(reading)
    if gap is None:
        return
    step = timedelta(seconds=int(gap.to("s").value))
    clocks = _clocks(reading)
    while True:
        moment = _next_clock(clocks, zone, moment, step) if clocks else moment + step
        yield moment


def _clocks(reading: Reading) -> tuple[time, ...]:
    often = reading.frequency
    if often is None or often.interval is not None or often.in_a_day not in KEPT:
        return ()
    found = house(f"times_{often.in_a_day}")
    assert isinstance(found, tuple)
    return found


def _next_clock(clocks: tuple[time, ...], zone: ZoneInfo, last: datetime, step: timedelta) -> datetime:
    """The house time after a dose: the next one after a house time, else the first that is not too near."""
    here = last.astimezone(zone)
    least = last if here.time() in clocks else last + step / 2
    days = (here.date() + timedelta(days=count) for count in range(3))
    found = (datetime.combine(day, clock, tzinfo=zone).astimezone(UTC) for day in days for clock in clocks)
    return next(moment for moment in found if moment > last and moment >= least)
