"""A handful of readings: mean, standard deviation, and how far from a target. Sums are exact, so that nothing cancels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import sqrt
from typing import Final

from drawndose.science.quantiles import t_quantile
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import Between, Estimate, NotEstimable, around, divided

VALID: Final[Valid] = {
    "target": Range(1e-9, 1e9, "", "target"),
    "mean": Range(0.0, 1e9, "", "mean of the readings"),
    "sd": Range(0.0, 1e9, "", "standard deviation of the readings"),
    "level_percent": Range(50.0, 99.9, "%", "level of confidence"),
}

NOTHING: Final = "there are no readings"
ONE: Final = "one reading shows no spread"
ALL_SAME: Final = "the readings are all the same"
MEAN_ZERO: Final = "the mean is 0"


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """count, mean, sample standard deviation (over n - 1), the interval of the mean, and how far each goes with the one before it."""

    count: int
    mean: Estimate
    sd: Estimate
    interval: Between
    following: Estimate


def summary(values: Sequence[float | Fraction], level_percent: float = 95.0) -> Summary:
    """What a list of readings says.

    Equation:  s^2 = sum (x - mean)^2 / (n - 1); mean ± t s / sqrt(n); r1 = sum (x_i - mean)(x_(i+1) - mean) / sum (x - mean)^2
    Source:    textbook; held against the certified values of NIST StRD, univariate summary statistics.

    >>> found = summary([10000001, 10000003, 10000002])
    >>> found.mean, found.sd, found.following
    (10000002.0, 1.0, -0.5)
    >>> print(summary([0.5]).sd, summary([0.5, 0.5]).following, sep="; ")
    not estimable: one reading shows no spread; not estimable: the readings are all the same
    """
    hold(VALID, level_percent=level_percent)
    exact, count = [Fraction(one) for one in values], len(values)
    if not count:
        none = NotEstimable(NOTHING)
        return Summary(count=0, mean=none, sd=none, interval=none, following=none)
    mean = sum(exact, Fraction(0)) / count
    off = [one - mean for one in exact]
    squares = sum((one * one for one in off), Fraction(0))
    sd: Estimate = sqrt(squares / (count - 1)) if count > 1 else NotEstimable(ONE)
    next_to = sum((one * other for one, other in pairwise(off)), Fraction(0))
    same = NotEstimable(ALL_SAME if count > 1 else ONE)
    reach: Estimate = same
    if squares and not isinstance(sd, NotEstimable):
        reach = t_quantile(0.5 + level_percent / 200.0, count - 1.0) * sd / sqrt(count)
    following = float(next_to / squares) if squares else same
    return Summary(count=count, mean=float(mean), sd=sd, interval=around(float(mean), reach), following=following)


def bias(mean: float, target: float) -> float:
    """How far the mean lies from the target [% of the target].

    Equation:  100 (mean / target - 1)
    Symbols:   both in one unit; ranges in VALID
    Example:   0.975 units where 0.5 were asked for: 95 % too much (means of Casella et al. 1993).

    >>> round(bias(0.975, 0.5), 6)
    95.0
    """
    hold(VALID, mean=mean, target=target)
    return 100.0 * (mean - target) / target


def variation(sd: float, mean: float) -> Estimate:
    """How wide the readings spread [% of their mean].

    Equation:  CV = 100 s / mean
    Example:   0.315 around 0.975: 32 %.

    >>> round(variation(0.315, 0.975), 2)
    32.31
    """
    hold(VALID, sd=sd, mean=mean)
    return divided(100.0 * sd, mean, MEAN_ZERO)
