"""Two ways of reading the same things: how far they lie apart, and between which limits nearly all differences fall.

A correlation says nothing of that. The multiplier of the limits is said with them: papers use 1.96 and 2.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

from drawndose.science.quantiles import t_quantile
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import Between, Estimate, Interval, NotEstimable, around, refused
from drawndose.science.statistics.readings import summary
from drawndose.science.statistics.regression import line

VALID: Final[Valid] = {
    "multiplier": Range(1.0, 4.0, "", "multiplier of the standard deviation"),
    "level_percent": Range(50.0, 99.9, "%", "level of confidence"),
}

TOO_FEW: Final = "two pairs of readings at least"
ALL_SAME: Final = "every difference is the same"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """bias: mean of first less second; sd of the differences; limits of agreement, each with its own interval; trend: slope of the
    difference on the mean of the two, which says whether larger readings lie farther apart.
    """

    count: int
    multiplier: float
    bias: Estimate
    sd: Estimate
    limits: Between
    bias_interval: Between
    se_limit: Estimate
    low_interval: Between
    high_interval: Between
    trend: Estimate


def limits_of_agreement(
    first: Sequence[float], second: Sequence[float], multiplier: float = 1.96, level_percent: float = 95.0
) -> Limits:
    """Bias and limits of agreement of two ways of reading.

    Equation:  bias ± m s; bias ± t s / sqrt(n); each limit ± t sqrt(3 s^2 / n)
    Symbols:   s   standard deviation of the differences     m   multiplier [1]     t   Student's t with n - 1; ranges in VALID
    Source:    J. M. Bland, D. G. Altman, Lancet 1 (1986) 307-310.
    Example:   in that paper: bias -2.1 L/min, limits -79.6 and 75.4 with 2.

    >>> found = limits_of_agreement([10, 11, 12, 13], [9, 11, 13, 12])
    >>> found.bias, round(found.sd, 4), [round(end, 3) for end in found.limits]
    (0.25, 0.9574, [-1.627, 2.127])
    >>> print(limits_of_agreement([1, 2], [1, 2]).limits)
    not estimable: every difference is the same
    """
    hold(VALID, multiplier=multiplier, level_percent=level_percent)
    if len(first) != len(second):
        raise refused("second", "one for each reading of the first way", len(second), str(len(first)))
    apart = [one - other for one, other in zip(first, second, strict=True)]
    found = summary(apart, level_percent)
    if isinstance(found.mean, NotEstimable) or isinstance(found.sd, NotEstimable) or not found.sd:
        no = NotEstimable(ALL_SAME if len(apart) > 1 else TOO_FEW)
        return Limits(
            count=len(apart), multiplier=multiplier, bias=found.mean, sd=found.sd, limits=no, bias_interval=no,
            se_limit=no, low_interval=no, high_interval=no, trend=no,
        )  # fmt: skip
    limits = Interval(found.mean - multiplier * found.sd, found.mean + multiplier * found.sd)
    se = found.sd * sqrt(3.0 / len(apart))
    reach = t_quantile(0.5 + level_percent / 200.0, len(apart) - 1.0) * se
    fitted = line([(one + other) / 2.0 for one, other in zip(first, second, strict=True)], apart)
    return Limits(
        count=len(apart),
        multiplier=multiplier,
        bias=found.mean,
        sd=found.sd,
        limits=limits,
        bias_interval=found.interval,
        se_limit=se,
        low_interval=around(limits.low, reach),
        high_interval=around(limits.high, reach),
        trend=fitted if isinstance(fitted, NotEstimable) else fitted.slope,
    )


def repeatability(first: Sequence[float], again: Sequence[float]) -> Estimate:
    """Standard deviation of the differences of two readings of the same things in one way, their mean difference taken as 0.

    Equation:  sqrt(sum (x_1 - x_2)^2 / n); two readings differ by less than twice that in 95 of 100 cases
    Source:    British Standards Institution's definition as used by Bland and Altman 1986.

    >>> repeatability([10, 12], [11, 11])
    1.0
    >>> print(repeatability([], []))
    not estimable: there are no readings
    """
    if len(first) != len(again):
        raise refused("again", "one for each first reading", len(again), str(len(first)))
    if not first:
        return NotEstimable("there are no readings")
    return sqrt(sum((one - other) ** 2 for one, other in zip(first, again, strict=True)) / len(first))
