"""Many evaluators, the same number for every thing rated: Fleiss's kappa, all together and for each category.

Who rated which does not matter here, and each thing needs the same number of ratings; where some are missing, `chance_corrected` is for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np

from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import TINY, Estimate, NotEstimable, divided, refused
from drawndose.science.statistics.tables import Rows, matrix

VALID: Final[Valid] = {
    "count": Range(0.0, 1e6, "", "number of evaluators who chose a category"),
    "raters": Range(2.0, 1e6, "", "number of evaluators"),
}

ONE_CATEGORY: Final = "every evaluator used one and the same category"
NEVER: Final = "nobody used this category"


@dataclass(frozen=True, slots=True, kw_only=True)
class ManyAgree:
    """observed and expected: shares of agreeing pairs. se_null and z: if there were no agreement. each: kappa by category.

    se_first is the standard error that the paper of 1971 printed; se_null is the corrected one of 1979.
    """

    kappa: Estimate
    observed: float
    expected: float
    se_null: Estimate
    z: Estimate
    se_first: Estimate
    each: tuple[Estimate, ...]


def fleiss_kappa(counts: Rows) -> ManyAgree:
    """Agreement beyond chance of many evaluators. counts: a row for each thing rated, how many chose each category.

    Equation:  P_i = (sum_j n_ij^2 - m) / (m (m - 1)); kappa = (mean P - Pe) / (1 - Pe), Pe = sum p_j^2
               var = 2 ((sum p_j q_j)^2 - sum p_j q_j (q_j - p_j)) / (N m (m - 1) (sum p_j q_j)^2)
               1971: 2 (Pe - (2 m - 3) Pe^2 + 2 (m - 2) sum p_j^3) / (N m (m - 1) (1 - Pe)^2)
    Symbols:   n_ij   evaluators who gave thing i the category j [1]     m   evaluators [1]     N   things [1]
               p_j    share of category j [1], q_j = 1 - p_j; ranges in VALID
    Source:    J. L. Fleiss, Psychological Bulletin 76 (1971) 378-382; the error by Fleiss, Nee, Landis 1979; that of 1971 from memory.
    Example:   two evaluators, two things, full agreement on different categories: 1.

    >>> fleiss_kappa([[2, 0], [0, 2]]).kappa, round(fleiss_kappa([[3, 0], [1, 2], [0, 3]]).kappa, 4)
    (1.0, 0.55)
    >>> print(fleiss_kappa([[3, 0], [3, 0]]).kappa)
    not estimable: every evaluator used one and the same category
    """
    table = matrix(counts, "counts")
    if np.isnan(table).any() or (np.ptp(table.sum(axis=1)) > 0):
        rule = "each thing has the same number of ratings; for missing ones there is AC1 or alpha"
        raise refused("counts", rule, sorted(set(table.sum(axis=1).tolist())), "rows with one sum")
    raters = float(table[0].sum())
    hold(VALID, count=float(table.min()), raters=raters)
    things = len(table)
    pairs = raters * (raters - 1.0)
    observed = float(((table**2).sum(axis=1) - raters).mean() / pairs)
    p = table.mean(axis=0) / raters
    expected = float(p @ p)
    q = 1.0 - p
    left = float(p @ q)
    each = tuple(
        divided(float((table[:, j] * (raters - table[:, j])).sum()), things * pairs * p[j] * q[j], NEVER)
        for j in range(len(p))
    )
    if left <= TINY:
        none = NotEstimable(ONE_CATEGORY)
        return ManyAgree(
            kappa=none, observed=observed, expected=expected, se_null=none, z=none, se_first=none, each=(none,) * len(p)
        )
    kappa = (observed - expected) / left
    se = sqrt(2.0 * (left**2 - float((p * q) @ (q - p))) / (things * pairs)) / left
    cubes = float((p**3).sum())
    first = 2.0 * (expected - (2.0 * raters - 3.0) * expected**2 + 2.0 * (raters - 2.0) * cubes) / (things * pairs)
    return ManyAgree(
        kappa=kappa,
        observed=observed,
        expected=expected,
        se_null=se,
        z=kappa / se,
        se_first=sqrt(first) / left,
        each=tuple(one if isinstance(one, NotEstimable) else 1.0 - one for one in each),
    )
