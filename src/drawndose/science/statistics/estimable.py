"""A number that the data give, or the reason why they do not. Nothing in between: no 0 for want of a number, and no NaN."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import NamedTuple

from drawndose.quantities import Fault, Refused

TINY = 1e-12
"""Below this share of its parts a difference is only what is left of the arithmetic."""


@dataclass(frozen=True, slots=True)
class NotEstimable:
    """No number, and in words why.

    >>> print(NotEstimable("the class has one learner"))
    not estimable: the class has one learner
    """

    because: str

    def __str__(self) -> str:
        return f"not estimable: {self.because}"


class Interval(NamedTuple):
    """From low to high; the level is said where it is made."""

    low: float
    high: float


Estimate = float | NotEstimable
"""What most functions answer."""

Between = Interval | NotEstimable
"""An interval, or why there is none."""


def divided(top: float, bottom: float, because: str, scale: float = 1.0) -> Estimate:
    """top / bottom, or the reason where bottom is nothing beside the scale of what it was made of.

    >>> divided(1.0, 4.0, "nobody tried"), divided(0.0, 0.0, "nobody tried")
    (0.25, NotEstimable(because='nobody tried'))
    """
    if abs(bottom) <= TINY * abs(scale):
        return NotEstimable(because)
    return finite(top / bottom, because)


def finite(value: float, because: str) -> Estimate:
    """The value, or the reason where it is no number of any size.

    >>> finite(2.0, "x"), finite(float("inf"), "the spread is 0")
    (2.0, NotEstimable(because='the spread is 0'))
    """
    return float(value) if isfinite(value) else NotEstimable(because)


def around(middle: Estimate, reach: Estimate) -> Between:
    """From middle - reach to middle + reach; the first reason where one of them is not estimable.

    >>> around(0.5, 0.25), around(0.5, NotEstimable("one draw"))
    (Interval(low=0.25, high=0.75), NotEstimable(because='one draw'))
    """
    if isinstance(middle, NotEstimable):
        return middle
    if isinstance(reach, NotEstimable):
        return reach
    return Interval(middle - reach, middle + reach)


def refused(field: str, rule: str, came: object, accepted: str) -> Refused:
    """What is raised for input that cannot be understood, for one fault."""
    return Refused([Fault(field=field, rule=rule, came=str(came), accepted=accepted)])
