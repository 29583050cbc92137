"""Do the steps of a checklist measure one thing: alpha, KR-20 and KR-21, with the rule for missing answers, and the error of a score."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from math import sqrt
from typing import Final

import numpy as np

from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.anova import f_quantile
from drawndose.science.statistics.estimable import TINY, Between, Estimate, Interval, NotEstimable, refused
from drawndose.science.statistics.tables import Matrix, Rows, complete, matrix

VALID: Final[Valid] = {"level_percent": Range(50.0, 99.9, "%", "level of confidence")}

TOO_FEW: Final = "two learners and two steps at least"
SAME_TOTAL: Final = "every learner has the same total"
NO_PAIR: Final = "two steps were never answered by two learners"
NO_ERROR: Final = "alpha is 1, and a spread cannot be seen"
NEGATIVE: Final = "the spread of the totals came out below 0: too many answers are missing"


class Missing(Enum):
    """What is done with a learner who lacks an answer. The rule changes the number, so it is told with it."""

    LISTWISE = "learners with a missing answer are left out"
    PAIRWISE = "each pair of steps counts the learners who answered both"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alpha:
    """alpha with Feldt's interval; sem: standard error of a score, from the SD over n - 1 and over n, in points.

    learners: how many rows counted; left_out: how many did not; missing: by which rule.
    """

    value: Estimate
    interval: Between
    sem: Estimate
    sem_population: Estimate
    learners: int
    left_out: int
    missing: Missing


def cronbach_alpha(scores: Rows, missing: Missing = Missing.LISTWISE, level_percent: float = 95.0) -> Alpha:
    """Internal consistency of points. scores: a row for each learner, a column for each step, None where one is missing.

    Equation:  alpha = k / (k - 1) (1 - sum C_ii / sum C_ij); interval: 1 - (1 - alpha) F with n - 1 and (n - 1)(k - 1) degrees of freedom
               SEM = SD of the totals sqrt(1 - alpha)
    Symbols:   C   covariances of the steps     k   steps [1]     n   learners [1]; level in VALID
    Source:    L. J. Cronbach 1951; L. S. Feldt 1965 for the interval.
    Example:   three learners, two steps that agree but once.

    >>> found = cronbach_alpha([[1, 1], [1, 0], [0, 0]])
    >>> round(found.value, 4), found.learners
    (0.6667, 3)
    >>> print(cronbach_alpha([[1, 1], [1, 1]]).value)
    not estimable: every learner has the same total
    """
    hold(VALID, level_percent=level_percent)
    table = matrix(scores, "scores")
    used = complete(table) if missing is Missing.LISTWISE else table[~np.isnan(table).all(axis=1)]
    learners, steps = used.shape
    found = _value(used)
    if isinstance(found, NotEstimable):
        value: Estimate = found
        interval: Between = found
        sem: Estimate = found
        population: Estimate = found
    else:
        value, variance = found
        interval = _feldt(value, learners, steps, level_percent)
        sem = sqrt(variance * max(1.0 - value, 0.0))
        population = sem * sqrt((learners - 1.0) / learners)
    return Alpha(
        value=value,
        interval=interval,
        sem=sem,
        sem_population=population,
        learners=learners,
        left_out=len(table) - learners,
        missing=missing,
    )


def _value(used: Matrix) -> tuple[float, float] | NotEstimable:
    """Alpha, and the variance of the totals."""
    learners, steps = used.shape
    if learners < 2 or steps < 2:
        return NotEstimable(TOO_FEW)
    spread = _covariance(used)
    if spread is None:
        return NotEstimable(NO_PAIR)
    own, total = float(np.trace(spread)), float(spread.sum())
    if abs(total) <= TINY * max(own, 1.0):
        return NotEstimable(SAME_TOTAL)
    if total < 0:
        return NotEstimable(NEGATIVE)
    return steps / (steps - 1.0) * (1.0 - own / total), total


def _covariance(used: Matrix) -> Matrix | None:
    """Covariances over n - 1, each pair over the learners who answered both; None where a pair has fewer than two."""
    there = ~np.isnan(used)
    if there.all():
        centred = used - used.mean(axis=0)
        full: Matrix = centred.T @ centred / (len(used) - 1.0)
        return full
    seen = there.astype(np.float64)
    filled = np.where(there, used, 0.0)
    both = seen.T @ seen
    if both.min() < 2:
        return None
    sums = filled.T @ seen
    made: Matrix = (filled.T @ filled - sums * sums.T / both) / (both - 1.0)
    return made


def _feldt(alpha: float, learners: int, steps: int, level_percent: float) -> Between:
    if 1.0 - alpha <= TINY:
        return NotEstimable(NO_ERROR)
    inside, top = 0.5 + level_percent / 200.0, learners - 1
    bottom = top * (steps - 1)
    return Interval(
        1.0 - (1.0 - alpha) * f_quantile(inside, top, bottom),
        1.0 - (1.0 - alpha) * f_quantile(1.0 - inside, top, bottom),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class KuderRichardson:
    """KR-20 and KR-21; p of each step, sum of p q, variance of the totals (both over n, as the identity with alpha asks)."""

    kr20: Estimate
    kr21: Estimate
    p: tuple[float, ...]
    sum_pq: float
    variance: float


def kuder_richardson(responses: Rows) -> KuderRichardson | NotEstimable:
    """Internal consistency of steps that are done or not. A learner with a missing answer is left out.

    Equation:  KR-20 = k / (k - 1) (1 - sum p q / s^2); KR-21 = k / (k - 1) (1 - M (k - M) / (k s^2)), s^2 over n
    Symbols:   p   share who did a step, q = 1 - p     M   mean total     k   steps [1]
    Source:    G. F. Kuder, M. W. Richardson 1937; K. L. Wuensch, teaching handout.
    Example:   three learners, two steps.

    >>> found = kuder_richardson([[1, 1], [1, 0], [0, 0]])
    >>> round(found.kr20, 4), round(found.sum_pq, 4), round(found.variance, 4)
    (0.6667, 0.4444, 0.6667)
    """
    table = matrix(responses, "responses")
    if not np.isin(table[~np.isnan(table)], (0.0, 1.0)).all():
        raise refused("responses", "a step is done or not", "another number", "1, 0, or missing")
    whole = complete(table)
    learners, steps = whole.shape
    if learners < 2 or steps < 2:
        return NotEstimable(TOO_FEW)
    p, totals = whole.mean(axis=0), whole.sum(axis=1)
    sum_pq, variance, mean = float(p @ (1.0 - p)), float(totals.var()), float(totals.mean())
    longer = steps / (steps - 1.0)
    none = NotEstimable(SAME_TOTAL)
    return KuderRichardson(
        kr20=longer * (1.0 - sum_pq / variance) if variance else none,
        kr21=longer * (1.0 - mean * (steps - mean) / (steps * variance)) if variance else none,
        p=tuple(float(one) for one in p),
        sum_pq=sum_pq,
        variance=variance,
    )
