"""A series of weighed draws: bias and spread with their intervals, and whether it shows that this person is inside a limit.

Two questions are kept apart. ON_AVERAGE: is the mean of this person's draws inside the limit? NEXT: will the next draw be?
A series that is too short to show either says so, with how many draws would be enough at this bias and spread.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from math import fsum, hypot, inf, sqrt
from typing import Final

from drawndose.quantities import Fault, Refused
from drawndose.science.budget import Contribution, Shape, effective_degrees
from drawndose.science.drawing import Operator
from drawndose.science.quantiles import chi2_quantile, t_quantile
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.verdict import Call

VALID: Final[Valid] = {
    "target_mL": Range(1e-4, 1000.0, "mL", "volume asked for"),
    "volume_mL": Range(0.0, 2000.0, "mL", "weighed volume"),
    "level_percent": Range(50.0, 99.9, "%", "level of confidence"),
    "limit": Range(0.001, 0.5, "", "limit as a share"),
    "shared_u_mL": Range(0.0, 100.0, "mL", "standard uncertainty that all draws share"),
}

MOST_DRAWS: Final = 1000
"""Where more draws than this would be needed, the answer is that this spread never shows it."""

MOST_DEGREES: Final = 1e9
"""From so many degrees of freedom on, Student's t is the normal distribution."""

SAME: Final = 1e-9
"""Draws whose spread is a smaller share of their mean are all the same; what is left is the arithmetic's."""

NO_SPREAD: Final = "a spread needs two draws at least, and draws that are not all the same"


class Claim(Enum):
    """What a series may show."""

    ON_AVERAGE = "the mean of the draws"
    NEXT = "the next draw"


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """What a series says. bias and cv are shares of the target; intervals hold with level_percent.

    mean_interval: of the mean, by Student's t. sd_interval: of the standard deviation, by chi-square. next_interval: where
    one more draw falls. All in mL. shared_u_mL: what the weighing leaves unsure for all draws alike (the liquid, the room);
    no number of draws takes it out, so it widens the intervals of the mean and of the next draw.
    """

    count: int
    target_mL: float
    level_percent: float
    mean_mL: float
    sd_mL: float
    mean_interval: tuple[float, float]
    sd_interval: tuple[float, float]
    next_interval: tuple[float, float]
    shared_u_mL: float = 0.0

    @property
    def bias(self) -> float:
        """Mean error as a share of the target."""
        return self.mean_mL / self.target_mL - 1.0

    @property
    def bias_interval(self) -> tuple[float, float]:
        """Where the mean error lies, as shares of the target."""
        low, high = self.mean_interval
        return low / self.target_mL - 1.0, high / self.target_mL - 1.0

    @property
    def cv_interval(self) -> tuple[float, float]:
        """Where the spread lies, as shares of the mean."""
        low, high = self.sd_interval
        return low / self.mean_mL, high / self.mean_mL

    @property
    def cv(self) -> float:
        """Spread as a share of the mean."""
        return self.sd_mL / self.mean_mL

    def shows(self, limit: float, claim: Claim) -> Call:
        """Whether the series shows the claim for this limit (0.05 is 5 %): within, outside, or it cannot be told."""
        hold(VALID, limit=limit)
        low, high = self.mean_interval if claim is Claim.ON_AVERAGE else self.next_interval
        bottom, top = (1.0 - limit) * self.target_mL, (1.0 + limit) * self.target_mL
        if bottom <= low and high <= top:
            return Call.WITHIN
        mean_low, mean_high = self.mean_interval
        if mean_high < bottom or mean_low > top:
            return Call.OUTSIDE
        return Call.CANNOT_TELL

    def draws_needed(self, limit: float, claim: Claim) -> int | None:
        """How many draws of this bias and spread would show it; None where no number would."""
        hold(VALID, limit=limit)
        room = limit * self.target_mL - abs(self.mean_mL - self.target_mL)
        for count in range(2, MOST_DRAWS + 1):
            if reach(count, self.sd_mL, self.level_percent, claim, self.shared_u_mL) <= room:
                return count
        return None


def reach(count: int, sd_mL: float, level_percent: float, claim: Claim, shared_u_mL: float = 0.0) -> float:
    """Half-width of the interval of the mean, or of the next draw [mL].

    Equation:  t_p(n - 1) s / sqrt(n) for the mean; t_p(n - 1) s sqrt(1 + 1 / n) for the next draw; what all draws share is
               added in square, and then t has the effective degrees of freedom
    Symbols:   n   draws [1]   s   their standard deviation [mL]   p   level [%]
    Source:    textbook statistics (Student's t); the standard error of n draws as in JCGM 100:2008, 4.2.3, and effective
               degrees of freedom as in G.4.1 (from memory).

    >>> round(reach(10, 0.01, 95.0, Claim.ON_AVERAGE), 5), round(reach(10, 0.01, 95.0, Claim.NEXT), 5)
    (0.00715, 0.02373)
    """
    inside = 1.0 / count if claim is Claim.ON_AVERAGE else 1.0 + 1.0 / count
    drawn = Contribution(name="draws", shape=Shape.NORMAL, u=sd_mL * sqrt(inside), nu=count - 1)
    shared = Contribution(name="shared", shape=Shape.NORMAL, u=shared_u_mL)
    nu = max(count - 1.0, effective_degrees([drawn, shared]))  # never fewer; the arithmetic could lose a last digit
    return t_quantile(0.5 + level_percent / 200.0, nu if nu < MOST_DEGREES else inf) * hypot(drawn.u, shared.u)


def summarize(
    volumes_mL: Sequence[float], *, target_mL: float, level_percent: float = 95.0, shared_u_mL: float = 0.0
) -> Series:
    """What a series of weighed draws says. Refused with fewer than two, or when all are exactly equal.

    >>> found = summarize([0.51, 0.49, 0.50, 0.52, 0.48], target_mL=0.5)
    >>> round(found.bias, 6), round(found.cv, 4), [round(end, 4) for end in found.mean_interval]
    (0.0, 0.0316, [0.4804, 0.5196])
    >>> found.shows(0.05, Claim.ON_AVERAGE).value, found.shows(0.05, Claim.NEXT).value
    ('within', 'cannot be told')
    """
    hold(VALID, target_mL=target_mL, level_percent=level_percent, shared_u_mL=shared_u_mL)
    for volume in volumes_mL:
        hold(VALID, volume_mL=volume)
    count = len(volumes_mL)
    mean = fsum(volumes_mL) / count if count else 0.0
    sd = sqrt(fsum((one - mean) ** 2 for one in volumes_mL) / (count - 1)) if count > 1 else 0.0
    if sd < SAME * mean or not sd:
        raise Refused([Fault(field="draws", rule=NO_SPREAD, came=f"{count} draws", accepted="ten weighed draws")])
    outside = (1.0 - level_percent / 100.0) / 2.0
    of_sd = (sd * sqrt((count - 1) / chi2_quantile(chance, count - 1)) for chance in (1.0 - outside, outside))
    low_sd, high_sd = of_sd
    of_mean, of_next = (reach(count, sd, level_percent, claim, shared_u_mL) for claim in Claim)
    return Series(
        count=count,
        target_mL=target_mL,
        level_percent=level_percent,
        mean_mL=mean,
        sd_mL=sd,
        mean_interval=(mean - of_mean, mean + of_mean),
        sd_interval=(low_sd, high_sd),
        next_interval=(mean - of_next, mean + of_next),
        shared_u_mL=shared_u_mL,
    )


def operator_of(series: Series) -> Operator:
    """The person's spread for a budget. It was found by weighing, so it holds the reading already.

    >>> operator_of(summarize([0.51, 0.49, 0.50, 0.52, 0.48], target_mL=0.5)).nu
    4.0
    """
    return Operator(cv=series.cv, nu=float(series.count - 1), holds_reading=True)
