"""Krippendorff's alpha: many evaluators, any scale, missing ratings allowed."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.science.statistics.estimable import Estimate, NotEstimable, divided, refused
from drawndose.science.statistics.tables import Matrix, Rows, matrix

NO_PAIR: Final = "nothing was rated by two evaluators"
ALL_ALIKE: Final = "every rating that can be compared is the same"


class Scale(Enum):
    """What a distance between two ratings means."""

    NOMINAL = "nominal"
    ORDINAL = "ordinal"
    INTERVAL = "interval"
    RATIO = "ratio"


def krippendorff_alpha(ratings: Rows, scale: Scale) -> Estimate:
    """Agreement beyond chance. ratings: a row for each evaluator, a column for each thing, None where one is missing.

    Equation:  alpha = 1 - (n - 1) sum o_ck d_ck / sum n_c n_k d_ck
               o_ck: pairs of ratings c, k within a thing of m ratings, each counted 1 / (m - 1); n_c: row sums; n: their sum
               d: nominal 1; ordinal (sum of n_g from c to k, less the half of n_c and n_k)^2; interval (c - k)^2;
               ratio ((c - k) / (c + k))^2
    Symbols:   c, k   values of the scale, in its unit; for a ratio not negative
    Source:    K. Krippendorff, Computing Krippendorff's alpha-reliability, 2011.
    Example:   three evaluators, one of five things rated otherwise once.

    >>> round(krippendorff_alpha([[1, 1, 0, 1, None], [1, 1, 0, 0, 1], [1, 1, 0, 1, 1]], Scale.NOMINAL), 4)
    0.675
    >>> print(krippendorff_alpha([[1, 1], [1, 1]], Scale.NOMINAL))
    not estimable: every rating that can be compared is the same
    """
    table = matrix(ratings, "ratings").T
    if scale is Scale.RATIO and np.nanmin(table, initial=0.0) < 0:
        raise refused("ratings", "a ratio needs ratings that are not negative", f"{np.nanmin(table):g}", "0 or more")
    table = table[(~np.isnan(table)).sum(axis=1) >= 2]
    if not len(table):
        return NotEstimable(NO_PAIR)
    values = np.unique(table[~np.isnan(table)])
    counts = np.stack([(table == one).sum(axis=1) for one in values], axis=1).astype(np.float64)
    per = counts / (counts.sum(axis=1) - 1.0)[:, None]
    together = counts.T @ per - np.diag(per.sum(axis=0))
    sums = together.sum(axis=1)
    apart = DISTANCES[scale](values, sums)
    expected = float(sums @ apart @ sums)
    found = divided(float((sums.sum() - 1.0) * (together * apart).sum()), expected, ALL_ALIKE)
    return found if isinstance(found, NotEstimable) else 1.0 - found


def _nominal(values: NDArray[np.float64], sums: NDArray[np.float64]) -> Matrix:
    return 1.0 - np.eye(len(values))


def _ordinal(values: NDArray[np.float64], sums: NDArray[np.float64]) -> Matrix:
    middle = np.cumsum(sums) - sums / 2.0
    apart: Matrix = (middle[:, None] - middle[None, :]) ** 2
    return apart


def _interval(values: NDArray[np.float64], sums: NDArray[np.float64]) -> Matrix:
    apart: Matrix = (values[:, None] - values[None, :]) ** 2
    return apart


def _ratio(values: NDArray[np.float64], sums: NDArray[np.float64]) -> Matrix:
    both = values[:, None] + values[None, :]
    apart: Matrix = ((values[:, None] - values[None, :]) / np.where(both > 0, both, 1.0)) ** 2
    return apart


DISTANCES: Final[dict[Scale, Callable[[NDArray[np.float64], NDArray[np.float64]], Matrix]]] = {
    Scale.NOMINAL: _nominal,
    Scale.ORDINAL: _ordinal,
    Scale.INTERVAL: _interval,
    Scale.RATIO: _ratio,
}
