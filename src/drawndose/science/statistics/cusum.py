"""The standard learning CUSUM: a line that falls a little with each success and rises more with each failure, between two limits.

Below the lower limit the failure rate is acceptable, above the upper one it is not; between them nothing has been decided. With limits
set by Wald's formula twenty successes in a row may be needed; `limits` sets them for the tries that are really allowed instead.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum
from math import ceil, log
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import TINY, Estimate, NotEstimable, refused

VALID: Final[Valid] = {
    "acceptable": Range(0.001, 0.9, "", "acceptable failure rate"),
    "unacceptable": Range(0.002, 0.95, "", "unacceptable failure rate"),
    "risk": Range(0.001, 0.5, "", "risk of a wrong signal"),
    "failure_rate": Range(0.0, 1.0, "", "failure rate"),
    "attempts": Range(1.0, 500.0, "", "number of tries"),
    "limit": Range(1e-6, 1e4, "", "limit of the line"),
}

TOO_FEW: Final = "so few tries cannot show it at this risk, not even if they all come out alike"


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """p0, p1: acceptable and unacceptable failure rate. s: what a success takes off; a failure adds 1 - s.

    lower: the line this far under 0 says acceptable; upper: this far over it, unacceptable.
    """

    p0: float
    p1: float
    s: float
    lower: float
    upper: float

    @property
    def fewest_successes(self) -> int:
        """So many successes in a row, from 0, are the shortest way to acceptable."""
        return ceil(self.lower / self.s - TINY)

    @property
    def fewest_failures(self) -> int:
        """So many failures in a row, from 0, are the shortest way to unacceptable."""
        return ceil(self.upper / (1.0 - self.s) - TINY)


class After(Enum):
    """What happens to the line when it meets a limit. Other papers count otherwise, so the rule is kept with the result."""

    STOP = "the first limit that is met decides"
    RESTART = "the line begins again at 0"


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """The line after each try, and the tries (from 1) at which it met a limit. after: the rule that was used."""

    values: tuple[float, ...]
    acceptable_at: tuple[int, ...]
    unacceptable_at: tuple[int, ...]
    after: After

    @property
    def first(self) -> int | None:
        """The try at which it was first said to be acceptable."""
        return self.acceptable_at[0] if self.acceptable_at else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Chances:
    """Within so many tries: the chance to be called acceptable, unacceptable, or neither."""

    acceptable: float
    unacceptable: float

    @property
    def undecided(self) -> float:
        """The chance that no limit has been met."""
        return 1.0 - self.acceptable - self.unacceptable


def parts(p0: float, p1: float) -> tuple[float, float, float]:
    """P, Q and s of two failure rates.

    Equation:  P = ln(p1 / p0); Q = ln((1 - p0) / (1 - p1)); s = Q / (P + Q)
    Source:    the sequential probability ratio test of A. Wald 1945, as teaching papers on CUSUM write it.
    Example:   20 % and 40 %: s = 0.293.

    >>> [round(one, 4) for one in parts(0.2, 0.4)]
    [0.6931, 0.2877, 0.2933]
    """
    hold(VALID, acceptable=p0, unacceptable=p1)
    if not p0 < p1:
        raise refused("unacceptable", "it is more than the acceptable failure rate", f"{p1:g}", f"more than {p0:g}")
    up, down = log(p1 / p0), log((1.0 - p0) / (1.0 - p1))
    return up, down, down / (up + down)


def design(p0: float, p1: float, alpha: float, beta: float) -> Design:
    """Wald's limits, which hold for any number of tries, and so need many.

    Equation:  lower = ln((1 - alpha) / beta) / (P + Q); upper = ln((1 - beta) / alpha) / (P + Q)
    Symbols:   alpha, beta   risks of calling an acceptable rate unacceptable, and the other way round [1]; ranges in VALID
    Source:    as `parts`; with parameters from HPB 11 (2009) 565-569 in the check case.
    Example:   20 % and 35 % with risks of 0.1: s = 0.271, limits 2.864.

    >>> made = design(0.2, 0.35, 0.1, 0.1)
    >>> round(made.s, 3), round(made.lower, 3), made.fewest_successes
    (0.271, 2.864, 11)
    """
    up, down, s = parts(p0, p1)
    for risk in (alpha, beta):
        hold(VALID, risk=risk)
    lower, upper = (log((1.0 - one) / other) / (up + down) for one, other in ((alpha, beta), (beta, alpha)))
    if lower <= 0 or upper <= 0:
        raise refused("risk", "the two risks together are less than 1", f"{alpha:g} and {beta:g}", "0.1 and 0.1")
    return Design(p0=p0, p1=p1, s=s, lower=lower, upper=upper)


def path(outcomes: Sequence[bool], made: Design, after: After = After.STOP) -> Path:
    """The line of one learner. outcomes: True for a success.

    >>> found = path([True] * 8, design(0.2, 0.4, 0.1, 0.1))
    >>> found.first, round(found.values[-1], 3)
    (8, -2.346)
    """
    at, values = 0.0, []
    low: list[int] = []
    high: list[int] = []
    for number, success in enumerate(outcomes, start=1):
        at += -made.s if success else 1.0 - made.s
        values.append(at)
        if at <= -made.lower + TINY:
            low.append(number)
        elif at >= made.upper - TINY:
            high.append(number)
        else:
            continue
        if after is After.STOP:
            break
        at = 0.0
    return Path(values=tuple(values), acceptable_at=tuple(low), unacceptable_at=tuple(high), after=after)


def chances(made: Design, failure_rate: float, attempts: int) -> Chances:
    """What the line says within so many tries, by exact recursion; the first limit that is met decides.

    Equation:  P_n(f) = p P_(n-1)(f - 1) + (1 - p) P_(n-1)(f), f failures; the line stands at f - n s
    Symbols:   p   failure rate [1]; ranges in VALID

    >>> found = chances(design(0.2, 0.4, 0.1, 0.1), 0.2, 30)
    >>> round(found.acceptable, 3), round(found.unacceptable, 3)
    (0.73, 0.065)
    """
    hold(VALID, failure_rate=failure_rate, attempts=attempts)
    for limit in (made.lower, made.upper):
        hold(VALID, limit=limit)
    return _chances(made.s, failure_rate, attempts, made.lower, made.upper)


def limits(p0: float, p1: float, alpha: float, beta: float, attempts: int) -> tuple[Estimate, Estimate]:
    """The lower and the upper limit for the tries that are really allowed: each the nearest that keeps its risk within them.

    Equation:  lower: the least h with P(line <= -h within n | p1) <= beta; upper: the least h with P(line >= h within n | p0) <= alpha;
               each worked as if the other were not there, which never understates its risk
    Source:    own; exact recursion as in `chances`.
    Example:   20 % and 40 % with risks of 0.1 in 10 tries.

    >>> [round(end, 3) for end in limits(0.2, 0.4, 0.1, 0.1, 10)]
    [1.64, 1.533]
    >>> print(limits(0.2, 0.4, 0.1, 0.1, 3)[0])
    not estimable: so few tries cannot show it at this risk, not even if they all come out alike
    """
    s = parts(p0, p1)[2]
    for risk in (alpha, beta):
        hold(VALID, risk=risk)
    hold(VALID, attempts=attempts)
    far = 2.0 * attempts
    heights = np.array([f - n * s for n in range(1, attempts + 1) for f in range(n + 1)])

    def low(limit: float) -> bool:
        return _chances(s, p1, attempts, limit, far).acceptable <= beta

    def high(limit: float) -> bool:
        return _chances(s, p0, attempts, far, limit).unacceptable <= alpha

    return _least(-heights[heights < 0], low), _least(heights[heights > 0], high)


def _least(levels: NDArray[np.float64], keeps: Callable[[float], bool]) -> Estimate:
    """The least of the levels that keeps the risk; the higher the level, the smaller the risk."""
    ordered = [float(one) for one in np.unique(np.round(levels, 12))]
    if not keeps(ordered[-1]):
        return NotEstimable(TOO_FEW)
    first, last = 0, len(ordered) - 1
    while first < last:
        middle = (first + last) // 2
        if keeps(ordered[middle]):
            last = middle
        else:
            first = middle + 1
    return ordered[first]


def _chances(s: float, failure_rate: float, attempts: int, lower: float, upper: float) -> Chances:
    there = np.zeros(attempts + 1)
    there[0] = 1.0
    failures = np.arange(attempts + 1)
    low = high = 0.0
    for number in range(1, attempts + 1):
        moved = (1.0 - failure_rate) * there
        moved[1:] += failure_rate * there[:-1]
        line = failures - number * s
        under, over = line <= -lower + 1e-9, line >= upper - 1e-9
        low += float(moved[under].sum())
        high += float(moved[over].sum())
        there = np.where(under | over, 0.0, moved)
    return Chances(acceptable=low, unacceptable=high)
