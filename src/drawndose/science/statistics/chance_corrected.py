"""Many evaluators, some ratings missing: five ways of taking chance out of one observed agreement, side by side.

They differ only in what they hold chance to be. Where almost everything is "yes", Fleiss's and Conger's fall although nobody
disagrees more; AC1 and Brennan-Prediger do not.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.science.quantiles import t_quantile
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import TINY, Between, Estimate, Interval, NotEstimable, divided, refused
from drawndose.science.statistics.tables import Matrix, Rows, matrix

VALID: Final[Valid] = {"level_percent": Range(50.0, 99.9, "%", "level of confidence")}

NO_PAIR: Final = "nothing was rated by two evaluators"
ONE_CATEGORY: Final = "every evaluator used one and the same category"
ONE_THING: Final = "one thing shows no spread"
NO_ERROR: Final = "no error is worked for this coefficient"
ALL_AGREE: Final = "they agree on everything, and a spread cannot be seen"


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrected:
    """One coefficient: what it holds chance to be, its value, standard error and interval (cut at 1)."""

    expected: Estimate
    value: Estimate
    se: Estimate
    interval: Between


@dataclass(frozen=True, slots=True, kw_only=True)
class Coefficients:
    """observed: share of agreeing pairs. pairs: how many things two or more evaluators rated."""

    observed: Estimate
    pairs: int
    ac1: Corrected
    fleiss: Corrected
    conger: Corrected
    brennan_prediger: Corrected


def coefficients(ratings: Rows, level_percent: float = 95.0, weights: Rows | None = None) -> Coefficients:
    """Agreement of many evaluators. ratings: a row for each evaluator, a column for each thing, None where one is missing.

    Equation:  Pa = mean over things with two ratings or more of sum_k r_k (r*_k - 1) / (r (r - 1)), r* = W r
               c = (Pa - Pe) / (1 - Pe), with Pe by AC1: sum W sum p_k (1 - p_k) / (q (q - 1)); by Fleiss: p' W p;
               by Conger: W over mean products of two evaluators' own shares; by Brennan-Prediger: sum W / q^2
               standard error by the linear term of each thing, Student's t with (things - 1) degrees of freedom
    Symbols:   r_k   evaluators who gave a thing the category k [1]     p_k   mean share of category k [1]     q   categories used [1]
               W     weights of agreement of two categories, 1 on the diagonal; without them 0 elsewhere; ranges in VALID
    Source:    K. L. Gwet, Handbook of Inter-Rater Reliability, 4th edition 2014; R. L. Brennan, D. J. Prediger 1981; A. J. Conger 1980.

    >>> found = coefficients([[1, 1, 0, 1, None], [1, 1, 0, 0, 1], [1, 1, 0, 1, 1]])
    >>> round(found.observed, 4), round(found.ac1.value, 4), round(found.fleiss.value, 4)
    (0.8667, 0.781, 0.6591)
    >>> print(coefficients([[1, 1], [1, 1]]).fleiss.value)
    not estimable: every evaluator used one and the same category
    """
    hold(VALID, level_percent=level_percent)
    table = matrix(ratings, "ratings").T
    table = table[~np.isnan(table).all(axis=1)]
    used = np.unique(table[~np.isnan(table)])
    by_category = (
        np.stack([(table == one).sum(axis=1) for one in used], axis=1).astype(np.float64) if used.size else None
    )
    if by_category is None or by_category.sum(axis=1).max() < 2:
        none = NotEstimable(NO_PAIR)
        no = Corrected(expected=none, value=none, se=none, interval=none)
        return Coefficients(observed=none, pairs=0, ac1=no, fleiss=no, conger=no, brennan_prediger=no)
    agree = np.eye(len(used)) if weights is None else matrix(weights, "weights")
    if agree.shape != (len(used), len(used)):
        raise refused(
            "weights", "one for each pair of categories that were used", agree.shape, f"{len(used)} by {len(used)}"
        )
    return _coefficients(_Seen(table, used, by_category, agree), level_percent)


class _Seen:
    """What the four share: counts by category, agreement of each thing, and the mean shares."""

    def __init__(self, table: Matrix, used: NDArray[np.float64], counts: Matrix, weights: Matrix) -> None:
        self.table, self.used, self.counts, self.weights = table, used, counts, weights
        self.each = counts.sum(axis=1)
        self.several = self.each >= 2
        near = (counts * (counts @ weights.T - 1.0)).sum(axis=1)
        self.agreed = np.where(self.several, near / np.maximum(self.each * (self.each - 1.0), 1.0), 0.0)
        self.pairs = int(self.several.sum())
        self.observed = float(self.agreed.sum() / self.pairs)
        self.shares = (counts / self.each[:, None]).mean(axis=0)


def _coefficients(seen: _Seen, level: float) -> Coefficients:
    q, shares, weights = len(seen.used), seen.shares, seen.weights
    if q == 1:
        none = NotEstimable(ONE_CATEGORY)
        no = Corrected(expected=none, value=none, se=none, interval=none)
        return Coefficients(observed=1.0, pairs=seen.pairs, ac1=no, fleiss=no, conger=no, brennan_prediger=no)
    per = float(weights.sum()) / (q * (q - 1.0))
    by_fleiss = (weights @ shares + shares @ weights) / 2.0
    return Coefficients(
        observed=seen.observed,
        pairs=seen.pairs,
        ac1=_corrected(
            seen, per * float(shares @ (1.0 - shares)), per * (seen.counts @ (1.0 - shares)) / seen.each, level
        ),
        fleiss=_corrected(seen, float(shares @ weights @ shares), (seen.counts @ by_fleiss) / seen.each, level),
        conger=_conger(seen),
        brennan_prediger=_corrected(seen, float(weights.sum()) / q**2, None, level),
    )


def _corrected(seen: _Seen, expected: float, by_thing: NDArray[np.float64] | None, level: float) -> Corrected:
    """A coefficient with the error of its linear terms. by_thing: what each thing adds to chance; None where chance is fixed."""
    left = 1.0 - expected
    if left <= TINY:
        none = NotEstimable(ONE_CATEGORY)
        return Corrected(expected=expected, value=none, se=none, interval=none)
    value, count = (seen.observed - expected) / left, len(seen.each)
    terms = (count / seen.pairs) * (seen.agreed - expected * seen.several) / left
    if by_thing is not None:
        terms = terms - 2.0 * (1.0 - value) * (by_thing - expected) / left
    if count < 2:
        none = NotEstimable(ONE_THING)
        return Corrected(expected=expected, value=value, se=none, interval=none)
    se = sqrt(float(((terms - value) ** 2).sum()) / (count * (count - 1.0)))
    if se <= TINY:
        none = NotEstimable(ALL_AGREE)
        return Corrected(expected=expected, value=value, se=none, interval=none)
    reach = t_quantile(0.5 + level / 200.0, count - 1.0) * se
    return Corrected(expected=expected, value=value, se=se, interval=Interval(value - reach, min(1.0, value + reach)))


def _conger(seen: _Seen) -> Corrected:
    """Chance as the mean over pairs of evaluators, each with shares of their own. An evaluator who rated nothing is not counted."""
    no_error = NotEstimable(NO_ERROR)
    rated = ~np.isnan(seen.table)
    who = rated.any(axis=0)
    own = (
        np.stack([(seen.table[:, who] == one).sum(axis=0) for one in seen.used], axis=1) / rated.sum(axis=0)[who, None]
    )
    raters, mean = own.shape[0], own.mean(axis=0)
    between = (own.T @ own - raters * np.outer(mean, mean)) / (raters - 1.0)
    expected = float((seen.weights * (np.outer(mean, mean) - between / raters)).sum())
    value = divided(seen.observed - expected, 1.0 - expected, ONE_CATEGORY)
    return Corrected(expected=expected, value=value, se=no_error, interval=no_error)
