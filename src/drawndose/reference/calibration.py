"""What one instrument was found to deliver: by how much, how surely, at which volumes, when and by whom.

A result that was measured here stands in the place of the rule that was printed for every instrument of a kind.
"""

import datetime
from dataclasses import dataclass
from fractions import Fraction

from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One volume that was set, what was delivered on average, and the standard uncertainty of that, all mL."""

    set: Fraction
    delivered: Fraction
    uncertainty: Fraction

    @property
    def bias(self) -> Fraction:
        """How much more than the line is delivered, mL; below 0 where it is less."""
        return self.delivered - self.set


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """A calibration result: its points by volume, the day and who did it."""

    on: datetime.date
    by: str
    points: tuple[Point, ...]

    def at(self, volume: Fraction) -> Point | None:
        """The result at a volume, mL; None outside the volumes that were tried: nothing is carried on beyond them.

        Between two points the bias runs in a straight line, and the larger of their two uncertainties holds.
        """
        below = max((one for one in self.points if one.set <= volume), key=lambda one: one.set, default=None)
        above = min((one for one in self.points if one.set >= volume), key=lambda one: one.set, default=None)
        if below is None or above is None:
            return None
        span = above.set - below.set
        way = (volume - below.set) / span if span else Fraction(0)
        bias = below.bias + way * (above.bias - below.bias)
        return Point(set=volume, delivered=volume + bias, uncertainty=max(below.uncertainty, above.uncertainty))


def take_calibration(table: Table, capacity: Fraction) -> Calibration | None:
    """The calibration of the measure in this table, or None where none stands there."""
    inner = table.table("calibration")
    if inner is None:
        return None
    points = [_point(one, capacity) for one in inner.tables("point")]
    if not points:
        inner.fault("point", "a calibration has at least one volume", "", "[[... .calibration.point]]")
    if len({one.set for one in points}) < len(points):
        inner.fault("point", "a volume stands once", "a volume that stands twice", "one point for each volume")
    made = Calibration(on=inner.day("on"), by=inner.text("by"), points=tuple(sorted(points, key=lambda one: one.set)))
    inner.done()
    return made


def _point(table: Table, capacity: Fraction) -> Point:
    made = Point(
        set=table.needed_ml("set"), delivered=table.needed_ml("delivered"), uncertainty=table.needed_ml("uncertainty")
    )
    if made.set > capacity:
        table.fault("set", "the volume is more than the measure holds", table.text("set"), "a volume on its scale")
    table.done()
    return made
