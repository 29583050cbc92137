"""Is a class learning: the share that succeeds at each try, a curve through them, and how the time falls with practice.

Tries of one learner belong together, so the error of the curve is worked learner by learner; with few learners it is wide, and of one
there is none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, isfinite, log2, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.science.quantiles import t_quantile
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import TINY, Between, Estimate, Interval, NotEstimable, around, refused
from drawndose.science.statistics.proportion import share, wilson
from drawndose.science.statistics.regression import line
from drawndose.science.statistics.tables import Matrix, Rows, matrix

VALID: Final[Valid] = {
    "level_percent": Range(50.0, 99.9, "%", "level of confidence"),
    "target": Range(0.01, 0.99, "", "chance to succeed"),
}

ALL_WELL: Final = "every try succeeded"
ALL_FAILED: Final = "no try succeeded"
SPLIT: Final = (
    "success and failure do not overlap: up to some try all is one, and after it the other, so the curve has no slope"
)
ONE_LEARNER: Final = "one learner shows no spread between learners"
AS_ONE: Final = "every learner's tries lie about the curve alike, and a spread between learners cannot be seen"
FALLING: Final = "the curve does not rise"
NOBODY: Final = "nobody tried"


@dataclass(frozen=True, slots=True, kw_only=True)
class AtTry:
    """One try of the class: how many made it, how many succeeded, the share with its interval."""

    attempt: int
    learners: int
    succeeded: int
    share: Estimate
    interval: Between


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """ln(p / (1 - p)) = start + slope log2(try). slope: what each doubling of the tries adds, with its error and interval.

    learners, tries: what it rests on.
    """

    start: float
    slope: float
    se: Estimate
    interval: Between
    learners: int
    tries: int

    def at(self, attempt: float) -> float:
        """The chance to succeed at a try, counted from 1."""
        height = self.start + self.slope * log2(attempt)
        return 1.0 / (1.0 + exp(-height)) if height > -700 else 0.0

    def reaches(self, target: float) -> Estimate:
        """The try at which the chance reaches the target; far beyond the tries that were seen it is a guess."""
        hold(VALID, target=target)
        if self.slope <= 0:
            return NotEstimable(FALLING)
        power = (np.log(target / (1.0 - target)) - self.start) / self.slope
        return float(2.0 ** max(power, 0.0)) if power < 60 else NotEstimable(FALLING)


def by_try(outcomes: Rows, level_percent: float = 95.0) -> tuple[AtTry, ...]:
    """The share that succeeds at each try. outcomes: a row for each learner, a column for each try, 1, 0, or None where there was none.

    >>> [(one.succeeded, one.learners, one.share) for one in by_try([[0, 1, 1], [1, 1, None]])]
    [(1, 2, 0.5), (2, 2, 1.0), (1, 1, 1.0)]
    """
    table = _outcomes(outcomes)
    made = []
    for place, column in enumerate(table.T, start=1):
        seen = column[~np.isnan(column)]
        well, count = int(seen.sum()), len(seen)
        made.append(
            AtTry(
                attempt=place,
                learners=count,
                succeeded=well,
                share=share(well, count) if count else NotEstimable(NOBODY),
                interval=wilson(well, count, level_percent),
            )
        )
    return tuple(made)


def learning_curve(outcomes: Rows, level_percent: float = 95.0) -> Curve | NotEstimable:
    """A logistic curve on the logarithm of the try, through all tries of all learners.

    Equation:  the likelihood's maximum by Newton's steps; error: A B A m / (m - 1), A the inverse information, B the sum over learners of
               the square of each one's score; interval by Student's t with m - 1
    Symbols:   m   learners [1]
    Source:    logistic regression with errors by cluster (K.-Y. Liang, S. L. Zeger 1986): textbook. The scale, log2 of the try, is a choice.
    Example:   four learners over four tries.

    >>> found = learning_curve([[0, 0, 1, 1], [0, 1, 1, 1], [0, 0, 0, 1], [1, 0, 1, 1]])
    >>> round(found.slope, 3), round(found.at(1), 2), round(found.at(4), 2)
    (1.934, 0.13, 0.87)
    >>> print(learning_curve([[1, 1], [1, 1]]))
    not estimable: every try succeeded
    """
    from scipy.special import expit

    hold(VALID, level_percent=level_percent)
    table = _outcomes(outcomes)
    who, at = np.nonzero(~np.isnan(table))
    y, x = table[who, at], np.log2(at + 1.0)
    if not len(y) or y.min() == y.max():
        return NotEstimable((ALL_WELL if y[0] else ALL_FAILED) if len(y) else NOBODY)
    well, badly = x[y == 1], x[y == 0]
    if badly.max() <= well.min() or well.max() <= badly.min():
        return NotEstimable(SPLIT)
    columns = np.stack([np.ones_like(x), x], axis=1)
    fitted = _newton(columns, y)
    p = expit(columns @ fitted)
    inverse = np.linalg.inv(columns.T @ (columns * (p * (1.0 - p))[:, None]))
    se: Estimate = NotEstimable(ONE_LEARNER)
    count = len(np.unique(who))
    if count > 1:
        scores = np.stack([np.bincount(who, column * (y - p)) for column in columns.T], axis=1)
        spread = inverse @ (scores.T @ scores) @ inverse * count / (count - 1.0)
        se = sqrt(float(spread[1, 1])) if spread[1, 1] > TINY else NotEstimable(AS_ONE)
    reach = se if isinstance(se, NotEstimable) else t_quantile(0.5 + level_percent / 200.0, count - 1.0) * se
    start, slope = float(fitted[0]), float(fitted[1])
    return Curve(start=start, slope=slope, se=se, interval=around(slope, reach), learners=count, tries=len(y))


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """rate: the share of the time that is left after each doubling of the tries, with its interval; first: the time of the first try."""

    rate: float
    interval: Between
    first: float


def practice_time(times: Sequence[float], level_percent: float = 95.0) -> Practice | NotEstimable:
    """How the time of a try falls with practice. times: of the tries in their order, in one unit.

    Equation:  log2 T_n = log2 T_1 + b log2 n by least squares; rate = 2^b; interval by Student's t with n - 2
    Source:    the power law of practice (A. Newell, P. S. Rosenbloom 1981; T. P. Wright 1936), from memory.
    Example:   each doubling takes 80 %: 100, 80, ..., 64 s.

    >>> found = practice_time([100.0, 80.0, 70.2, 64.0])
    >>> round(found.rate, 3), round(found.first, 1)
    (0.8, 100.0)
    >>> print(practice_time([100.0]))
    not estimable: a line needs two points of unlike x
    """
    hold(VALID, level_percent=level_percent)
    wrong = [one for one in times if not (isfinite(one) and one > 0)]
    if wrong:
        raise refused("times", "a time is more than 0", wrong[0], "90")
    fitted = line([log2(place) for place in range(1, len(times) + 1)], [log2(one) for one in times])
    if isinstance(fitted, NotEstimable):
        return fitted
    se = fitted.se_slope()
    if isinstance(se, NotEstimable):
        interval: Between = se
    else:
        reach = t_quantile(0.5 + level_percent / 200.0, fitted.count - 2.0) * se
        interval = Interval(2.0 ** (fitted.slope - reach), 2.0 ** (fitted.slope + reach))
    return Practice(rate=2.0**fitted.slope, interval=interval, first=2.0**fitted.intercept)


def _outcomes(outcomes: Rows) -> Matrix:
    table = matrix(outcomes, "outcomes")
    if not np.isin(table[~np.isnan(table)], (0.0, 1.0)).all():
        raise refused("outcomes", "a try succeeds or not", "another number", "1, 0, or missing")
    return table


def _newton(columns: Matrix, y: NDArray[np.float64]) -> NDArray[np.float64]:
    """The maximum of the likelihood, which is there once success and failure overlap; a step that goes too far is halved."""
    from scipy.special import expit

    at: NDArray[np.float64] = np.zeros(2)

    def worth(where: NDArray[np.float64]) -> float:
        height = columns @ where
        return float((y * height - np.logaddexp(0.0, height)).sum())

    step: NDArray[np.float64] = np.ones(2)
    while float(np.abs(step).max()) > 1e-10:
        p = expit(columns @ at)
        weights = columns * (p * (1.0 - p))[:, None]
        step = np.asarray(np.linalg.solve(columns.T @ weights, columns.T @ (y - p)), dtype=np.float64)
        while worth(at + step) < worth(at) - 1e-12:
            step = step / 2.0
        at = np.asarray(at + step, dtype=np.float64)
    return at
