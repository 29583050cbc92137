"""Ranges of inputs and of answers, and how an answer is told: rounded outward, with no more digits than are known."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, isfinite, log10
from typing import Final

import numpy as np

from drawndose.quantities import Fault, Refused, show_number
from drawndose.reference import Span
from drawndose.science.budget import Values

LEVEL_PERCENT: Final = 95.0


@dataclass(frozen=True, slots=True)
class Band:
    """An input known only as a range: anywhere from low to high, none likelier than another. Refused where low is over high."""

    low: float
    high: float

    def __post_init__(self) -> None:
        if not (isfinite(self.low) and isfinite(self.high) and self.low <= self.high):
            came = f"{self.low:g} to {self.high:g}"
            raise Refused(
                [Fault(field="range", rule="a range goes up", came=came, accepted=f"{self.high:g} to {self.low:g}")]
            )

    @classmethod
    def of_span(cls, span: Span) -> Band:
        """The band of a printed range."""
        return cls(float(span.low), float(span.high))

    @classmethod
    def at(cls, value: float) -> Band:
        """A value that is known."""
        return cls(value, value)

    @property
    def known(self) -> bool:
        """True where there is nothing to draw."""
        return self.low == self.high

    def drawn(self, chance: Values) -> Values:
        """Values by chances from 0 to 1."""
        return self.low + chance * (self.high - self.low)

    def told(self, unit: str) -> str:
        """The band as it was given.

        >>> Band(0.8, 2.0).told("mL"), Band.at(3.0).told("mL")
        ('0.8 to 2 mL', '3 mL')
        """
        ends = dict.fromkeys(_plain(end) for end in (self.low, self.high))
        return f"{' to '.join(ends)} {unit}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """An answer out of many trials: between low and high lie LEVEL_PERCENT of them; half lie below the middle."""

    low: float
    middle: float
    high: float
    mean: float


def found(values: Values) -> Found:
    """What many trials gave.

    >>> found(np.linspace(0.0, 100.0, 1001)).high
    97.5
    """
    outside = (100.0 - LEVEL_PERCENT) / 2.0
    low, middle, high = (float(one) for one in np.percentile(values, [outside, 50.0, 100.0 - outside]))
    return Found(low=low, middle=middle, high=high, mean=float(np.mean(values)))


def outward(low: float, high: float, step: float) -> tuple[float, float]:
    """Both ends moved outward to a multiple of the step, so that a told range never claims more than was found.

    >>> outward(0.263, 0.682, 0.05)
    (0.25, 0.7)
    """
    slack = 1e-9 * step
    return round(floor((low + slack) / step) * step, 9), round(ceil((high - slack) / step) * step, 9)


def range_words(low: float, high: float, step: float, unit: str = "") -> str:
    """A range for people.

    >>> range_words(2.31, 7.9, 1.0, "min"), range_words(0.0, 0.004, 0.1, "mL"), range_words(3.0, 3.0, 1.0, "min")
    ('2 to 8 min', '0 to 0.1 mL', '3 min')
    """
    ends = dict.fromkeys(_plain(end) for end in outward(low, high, step))
    return f"{' to '.join(ends)} {unit}".strip()


def share_words(low: float, high: float, *, step_percent: float = 1.0) -> str:
    """Shares as percent, never past 0 or 100. A region's share is told in steps of 5.

    >>> share_words(0.263, 0.682), share_words(0.013, 0.021, step_percent=5.0)
    ('26 to 69 %', '0 to 5 %')
    """
    ends = outward(100.0 * low, 100.0 * high, step_percent)
    return range_words(max(ends[0], 0.0), min(ends[1], 100.0), step_percent, "%")


def most_words(high: float, *, step_percent: float = 5.0) -> str:
    """A share of which only the most is known.

    >>> most_words(0.382)
    'at most 40 %'
    """
    return f"at most {_plain(min(outward(0.0, 100.0 * high, step_percent)[1], 100.0))} %"


def minutes_words(low: float, high: float) -> str:
    """Minutes: halves for a few, whole ones to an hour, fives beyond.

    >>> minutes_words(1.2, 3.9), minutes_words(4.1, 12.2), minutes_words(250.0, 383.0)
    ('1 to 4 min', '4 to 13 min', '250 to 385 min')
    """
    return range_words(low, high, 0.5 if high < 3.0 else 1.0 if high <= 60.0 else 5.0, "min")


def amount_range(low: float, high: float, unit: str) -> str:
    """An amount in two significant digits of its upper end, outward.

    >>> amount_range(0.6581, 1.7042, "mg"), amount_range(0.0, 0.0, "mg")
    ('0.6 to 1.8 mg', '0 mg')
    """
    step = 10.0 ** (floor(log10(high)) - 1) if high > 0 else 1.0
    return range_words(low, high, step, unit)


def _plain(value: float) -> str:
    """The shortest decimal, with a comma from 1,000 and no zero at the end."""
    return show_number(Fraction(repr(round(value, 9) + 0.0)))
