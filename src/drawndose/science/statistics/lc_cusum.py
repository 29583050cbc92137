"""LC-CUSUM: it holds a learner to be not yet competent, and signals when the tries say otherwise. The line never falls below 0.

Not for a decision of weight alone: in 1,713 blocks of 32 residents it was right of the competent in 85 % and of the others in 67 %. With two
or three graded tries it cannot decide at all; it lives on practice that is written down.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, log
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import TINY, NotEstimable, refused

VALID: Final[Valid] = {
    "p0": Range(0.001, 0.9, "", "failure rate of the competent"),
    "p1": Range(0.002, 0.95, "", "failure rate of those who are not"),
    "h": Range(1e-6, 100.0, "", "limit of the line"),
    "failure_rate": Range(0.0, 1.0, "", "failure rate"),
    "attempts": Range(1.0, 150.0, "", "number of tries"),
    "risk": Range(0.001, 0.5, "", "risk of calling competent who is not"),
}

TOO_FEW: Final = "so few tries cannot show competence at this risk, not even if all succeed"
SAME: Final = 1e-9
"""Levels of the line that differ by less are one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """p0, p1: failure rate of the competent, and of those who are not. success, failure: what a try adds. h: the limit."""

    p0: float
    p1: float
    success: float
    failure: float
    h: float

    @property
    def fewest_successes(self) -> int:
        """So many successes in a row are the shortest way to the signal."""
        return ceil(self.h / self.success - TINY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """A design for the tries that are allowed: the chance of a signal within them for who is not competent, and for who is."""

    design: Design
    false_mastery: float
    true_mastery: float


def design(p0: float, p1: float, h: float) -> Design:
    """The increments of a success and of a failure.

    Equation:  success ln((1 - p0) / (1 - p1)), failure ln(p0 / p1); S_t = max(0, S_(t-1) + W_t); competent at S >= h
    Symbols:   p0, p1   failure rate of the competent, and of those who are not: p0 + d [1]; ranges in VALID
    Source:    D. J. Biau, R. Porcher 2010, as a study of trainees (bio-protocol) writes it.
    Example:   0.40 and 0.55: +0.2877 and -0.3185.

    >>> made = design(0.4, 0.55, 6.0)
    >>> round(made.success, 4), round(made.failure, 4), made.fewest_successes
    (0.2877, -0.3185, 21)
    """
    hold(VALID, p0=p0, p1=p1, h=h)
    if not p0 < p1:
        raise refused("p1", "who is not competent fails more often than who is", f"{p1:g}", f"more than {p0:g}")
    return Design(p0=p0, p1=p1, success=log((1.0 - p0) / (1.0 - p1)), failure=log(p0 / p1), h=h)


def path(outcomes: Sequence[bool], made: Design) -> tuple[tuple[float, ...], int | None]:
    """The line of one learner after each try, and the try (from 1) of the first signal, after which it goes on.

    >>> values, signal = path([True, False, True, True, True, True, True], design(0.1, 0.4, 2.0))
    >>> signal, [round(one, 2) for one in values]
    (7, [0.41, 0.0, 0.41, 0.81, 1.22, 1.62, 2.03])
    """
    at, values, signal = 0.0, [], None
    for number, success in enumerate(outcomes, start=1):
        at = max(0.0, at + (made.success if success else made.failure))
        values.append(at)
        if signal is None and at >= made.h - SAME:
            signal = number
    return tuple(values), signal


def mastery(made: Design, failure_rate: float, attempts: int) -> tuple[float, ...]:
    """The chance of a signal within 1, 2, ... so many tries, by exact recursion over the levels that can be reached.

    Equation:  a level is a successes and b failures since the line was last at 0
    Symbols:   failure rate [1], tries [1]; ranges in VALID
    Source:    own recursion over a finite Markov chain, compared in the tests with every sequence written down.
    Example:   0.10 against 0.40 with limit 2: of those who are not competent 23 of 100 are signalled within 10 tries.

    >>> made = design(0.1, 0.4, 2.0)
    >>> round(mastery(made, 0.4, 10)[-1], 3), round(mastery(made, 0.1, 10)[-1], 3)
    (0.233, 0.886)
    """
    hold(VALID, failure_rate=failure_rate, attempts=attempts)
    done = np.arange(attempts + 2)
    level = done[:, None] * made.success + done[None, :] * made.failure
    up, down = level >= made.h - SAME, level <= SAME
    there = np.zeros_like(level)
    there[0, 0] = 1.0
    signalled, so_far = [], 0.0
    for _ in range(attempts):
        moved: NDArray[np.float64] = np.zeros_like(there)
        moved[1:, :] += (1.0 - failure_rate) * there[:-1, :]
        moved[:, 1:] += failure_rate * there[:, :-1]
        so_far += float(moved[up].sum())
        at_zero = float(moved[down].sum())
        there = np.where(up | down, 0.0, moved)
        there[0, 0] = at_zero
        signalled.append(so_far)
    return tuple(signalled)


def limit_for(p0: float, p1: float, attempts: int, risk: float) -> Fitted | NotEstimable:
    """The lowest limit that keeps the risk of a false signal within the tries that are really allowed.

    Equation:  the least level h that can be reached with P(signal within n | p1) <= risk
    Source:    own; exact recursion as in `mastery`.
    Example:   0.10 against 0.40 in 10 tries at a risk of 0.1.

    >>> found = limit_for(0.1, 0.4, 10, 0.1)
    >>> round(found.design.h, 3), found.design.fewest_successes, round(found.true_mastery, 3)
    (2.668, 7, 0.622)
    >>> print(limit_for(0.1, 0.4, 3, 0.1))
    not estimable: so few tries cannot show competence at this risk, not even if all succeed
    """
    hold(VALID, attempts=attempts, risk=risk)
    made = design(p0, p1, VALID["h"].high)
    counts = np.arange(attempts + 1)
    reached = counts[:, None] * made.success + counts[None, :] * made.failure
    levels = [float(one) for one in np.unique(np.round(reached[reached > SAME], 12))]

    def fitted(h: float) -> Fitted:
        one = design(p0, p1, h)
        return Fitted(
            design=one, false_mastery=mastery(one, p1, attempts)[-1], true_mastery=mastery(one, p0, attempts)[-1]
        )

    first, last = 0, len(levels) - 1
    if fitted(levels[last]).false_mastery > risk:
        return NotEstimable(TOO_FEW)
    while first < last:
        middle = (first + last) // 2
        if fitted(levels[middle]).false_mastery <= risk:
            last = middle
        else:
            first = middle + 1
    return fitted(levels[first])
