"""Two evaluators, one table: how often they agree, and how often chance alone would. Several measures together, since one misleads.

A checklist is mostly "yes"; then two evaluators who agree on almost everything can have a kappa near 0. So agreement itself,
kappa, PABAK, AC1 and the agreement on each category stand side by side, and the reader sees which of them moves.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np

from drawndose.science.quantiles import t_quantile
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import TINY, Between, Estimate, NotEstimable, around, divided, refused
from drawndose.science.statistics.tables import Matrix, Rows, matrix

VALID: Final[Valid] = {
    "count": Range(0.0, 1e9, "", "number of things rated so"),
    "weight": Range(0.0, 1e6, "", "weight of a disagreement"),
    "level_percent": Range(50.0, 99.9, "%", "level of confidence"),
}

NOTHING: Final = "nothing was rated by both"
FIRST_SAME: Final = "the first evaluator never varies"
SECOND_SAME: Final = "the second evaluator never varies"
ALL_AGREE: Final = "they agree on everything, and a spread cannot be seen"
NO_WEIGHT: Final = "every disagreement weighs nothing"
FIXED: Final = "with what each of them used, every table has the same kappa"
NEVER: Final = "neither evaluator used this category"
TWO_ONLY: Final = "there are more than two categories"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """Agreement beyond chance: kappa, its standard error and interval, the error if there were none, and z from that."""

    kappa: Estimate
    se: Estimate
    interval: Between
    se_null: Estimate
    z: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """All that one table says. observed and expected are shares; each: agreement on each category, the first being "yes"."""

    count: float
    observed: Estimate
    expected: Estimate
    beyond: Chance
    pabak: Estimate
    ac1: Estimate
    each: tuple[Estimate, ...]
    prevalence_index: Estimate
    bias_index: Estimate


def cross(first: Sequence[object], second: Sequence[object], categories: Sequence[object]) -> Matrix:
    """The table of two evaluators' ratings: rows the first's, columns the second's. What one of them left out (None) is left out.

    >>> cross(["yes", "no", "yes", None], ["yes", "yes", "no", "no"], ["yes", "no"]).tolist()
    [[1.0, 1.0], [1.0, 0.0]]
    """
    if len(first) != len(second):
        raise refused("second", "both rate the same things", f"{len(second)} ratings", f"{len(first)}")
    strange = [one for one in (*first, *second) if one is not None and one not in categories]
    if strange:
        raise refused("ratings", "this is no category here", strange[0], ", ".join(map(str, categories)))
    table = np.zeros((len(categories), len(categories)))
    for one, other in zip(first, second, strict=True):
        if one is not None and other is not None:
            table[categories.index(one), categories.index(other)] += 1
    return table


def agreement(table: Rows, level_percent: float = 95.0) -> Agreement:
    """The measures of a square table of counts. The first category is the positive one.

    Equation:  Po = sum p_ii; Pe = sum p_i. p_.i; PABAK = (q Po - 1) / (q - 1); AC1 = (Po - Pg) / (1 - Pg) with
               Pg = sum m_i (1 - m_i) / (q - 1); agreement on i: 2 n_ii / (n_i. + n_.i)
    Symbols:   p   shares of the table [1]     q   categories [1]     m_i   mean share of category i [1]; ranges in VALID
    Source:    J. Cohen 1960 (kappa); T. Byrt, J. Bishop, J. B. Carlin 1993 (PABAK, the indices); K. L. Gwet 2008 (AC1);
               D. V. Cicchetti, A. R. Feinstein 1990 (agreement on each category).
    Example:   40, 9; 6, 45: agreement 0.85, kappa 0.70, PABAK 0.70.

    >>> found = agreement([[40, 9], [6, 45]])
    >>> round(found.observed, 3), round(found.beyond.kappa, 4), round(found.pabak, 2), round(found.ac1, 4)
    (0.85, 0.6995, 0.7, 0.7007)
    >>> print(agreement([[18, 2], [0, 0]]).beyond.kappa)
    not estimable: the first evaluator never varies
    """
    counts = _square(table)
    total = float(counts.sum())
    if not total:
        none = NotEstimable(NOTHING)
        each: tuple[Estimate, ...] = (none,) * len(counts)
        return Agreement(
            count=0.0, observed=none, expected=none, beyond=_no(NOTHING), pabak=none, ac1=none,
            each=each, prevalence_index=none, bias_index=none,
        )  # fmt: skip
    p = counts / total
    categories = len(p)
    observed, rows, columns = float(np.trace(p)), p.sum(axis=1), p.sum(axis=0)
    mean = (rows + columns) / 2.0
    by_gwet = float(mean @ (1.0 - mean)) / (categories - 1)
    two = categories == 2
    return Agreement(
        count=total,
        observed=observed,
        expected=float(rows @ columns),
        beyond=_beyond(p, total, np.eye(categories), level_percent),
        pabak=(categories * observed - 1.0) / (categories - 1),
        ac1=(observed - by_gwet) / (1.0 - by_gwet),  # by_gwet is at most one half
        each=tuple(divided(float(p[i, i]), float(mean[i]), NEVER) for i in range(categories)),
        prevalence_index=float(p[0, 0] - p[1, 1]) if two else NotEstimable(TWO_ONLY),
        bias_index=float(p[0, 1] - p[1, 0]) if two else NotEstimable(TWO_ONLY),
    )


def weighted(table: Rows, disagreement: Rows, level_percent: float = 95.0) -> Chance:
    """Kappa where some disagreements weigh more than others; the weights need not be symmetric.

    Equation:  kappa_w = 1 - sum v_ij p_ij / sum v_ij p_i. p_.j
    Symbols:   v_ij   weight of the disagreement i against j [1], 0 on the diagonal; ranges in VALID
    Source:    J. Cohen, Psychological Bulletin 70 (1968) 213-220; standard errors by J. L. Fleiss, J. Cohen, B. S. Everitt 1969.
    Example:   table 1 of Cohen 1968: 0.348.

    >>> table = [[88, 14, 18], [10, 40, 10], [2, 6, 12]]
    >>> round(weighted(table, [[0, 1, 3], [1, 0, 6], [3, 6, 0]]).kappa, 3)
    0.348
    """
    counts, weights = _square(table), matrix(disagreement, "weights")
    if weights.shape != counts.shape:
        raise refused("weights", "one for each cell of the table", weights.shape, str(counts.shape))
    hold(VALID, **{"weight": float(weights.min())})
    if np.diagonal(weights).any():
        raise refused("weights", "agreement weighs nothing: the diagonal is 0", np.diagonal(weights).tolist(), "0")
    if not weights.any():
        return _no(NO_WEIGHT)
    total = float(counts.sum())
    if not total:
        return _no(NOTHING)
    return _beyond(counts / total, total, 1.0 - weights / weights.max(), level_percent)


def linear(scores: Sequence[float]) -> Matrix:
    """Weights of disagreement that grow with the distance of the categories' scores.

    >>> linear([0, 1, 3]).tolist()
    [[0.0, 1.0, 3.0], [1.0, 0.0, 2.0], [3.0, 2.0, 0.0]]
    """
    at = np.asarray(scores, dtype=np.float64)
    made: Matrix = np.abs(at[:, None] - at[None, :])
    return made


def quadratic(scores: Sequence[float]) -> Matrix:
    """Weights of disagreement that grow with the square of the distance.

    >>> quadratic([0, 1, 3])[0].tolist()
    [0.0, 1.0, 9.0]
    """
    made: Matrix = linear(scores) ** 2
    return made


def _no(because: str) -> Chance:
    none = NotEstimable(because)
    return Chance(kappa=none, se=none, interval=none, se_null=none, z=none)


def _square(table: Rows) -> Matrix:
    counts = matrix(table)
    if counts.shape[0] != counts.shape[1] or counts.shape[0] < 2 or np.isnan(counts).any():
        raise refused(
            "table", "as many rows as columns, two or more, every cell filled", counts.shape, "2 by 2, 3 by 3"
        )
    hold(VALID, count=float(counts.min()))
    return counts


def _beyond(p: Matrix, total: float, weights: Matrix, level_percent: float) -> Chance:
    """Kappa with weights of agreement, 1 on the diagonal.

    Equation:  var = (sum p_ij (w_ij - (w_i. + w_.j)(1 - k))^2 - (k - Pe (1 - k))^2) / (n (1 - Pe)^2)
               var0 = (sum p_i. p_.j (w_ij - w_i. - w_.j)^2 - Pe^2) / (n (1 - Pe)^2)
    """
    hold(VALID, level_percent=level_percent)
    rows, columns = p.sum(axis=1), p.sum(axis=0)
    for margin, because in ((rows, FIRST_SAME), (columns, SECOND_SAME)):
        if margin.max() >= 1.0 - TINY:
            return _no(because)
    by_chance = np.outer(rows, columns)
    observed, expected = float((weights * p).sum()), float((weights * by_chance).sum())
    left = 1.0 - expected
    if left <= TINY:
        return _no(NO_WEIGHT)
    kappa = (observed - expected) / left
    both = (weights @ columns)[:, None] + (weights.T @ rows)[None, :]
    spread = float((p * (weights - both * (1.0 - kappa)) ** 2).sum()) - (kappa - expected * (1.0 - kappa)) ** 2
    null = float((by_chance * (weights - both) ** 2).sum()) - expected**2
    se: Estimate = sqrt(spread / total) / left if spread > 1e-14 else NotEstimable(ALL_AGREE)
    se_null: Estimate = sqrt(null / total) / left if null > 1e-14 else NotEstimable(FIXED)
    z = se_null if isinstance(se_null, NotEstimable) else kappa / se_null
    reach = se if isinstance(se, NotEstimable) else t_quantile(0.5 + level_percent / 200.0) * se
    return Chance(kappa=kappa, se=se, interval=around(kappa, reach), se_null=se_null, z=z)
