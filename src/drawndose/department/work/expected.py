"""How long a preparation will run, and when a reservoir is filled anew: for the board. A range of the kind of nebulizer; no dose is
changed by it, and it is reckoned anew from order and fill each time it is looked at."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import ceil, floor

from drawndose.department.work.change import millilitres
from drawndose.department.work.models import Preparation
from drawndose.department.work.reading import reading_of
from drawndose.quantities import Refused
from drawndose.reference import Nebulizer
from drawndose.science.aerosol.planned import Planned, for_fill


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """time: in words, "" where it is not known. ends: between which moments a run that has begun ends. refills: when its reservoir is
    filled anew, before each of which it may be empty only `early` later."""

    time: str
    ends: tuple[datetime, datetime] | None = None
    refills: tuple[datetime, ...] = ()
    early: timedelta = timedelta()

    def refill_at(self, moment: datetime) -> datetime | None:
        """The next time to fill anew; it stands until the reservoir may be empty. None where none comes any more."""
        return next((at for at in self.refills if at + self.early > moment), None)


def expected(made: Preparation, own: Iterable[Nebulizer] = ()) -> Expected:
    """What is to be expected of a preparation with its fill. own: the nebulizers that were measured here.

    Nothing is known of one without a fill yet, or whose order can no longer be read.
    """
    if not made.total_nl:
        return Expected(time="")
    try:
        found = for_fill(reading_of(made.order.text), millilitres(made.total_nl), own=own, begins=made.given_at)
    except Refused:
        return Expected(time="")
    ends = _ends(found, made.given_at) if made.given_at is not None else None
    if found.hours is None:
        return Expected(time=found.time, ends=ends)
    early = timedelta(minutes=found.hours.early_min)
    return Expected(time=found.time, ends=ends, refills=found.hours.refills, early=early)


def _ends(found: Planned, begun: datetime) -> tuple[datetime, datetime] | None:
    if found.hours is not None:
        low, high = (timedelta(minutes=int(60 * one)) for one in found.hours.lasts_h)
        return begun + low, begun + high
    if found.minutes is None:
        return None
    return begun + timedelta(minutes=floor(found.minutes.low)), begun + timedelta(minutes=ceil(found.minutes.high))
