"""Analysis of variance, one way and two ways. The one-way sums are worked in exact fractions: nothing is lost to cancellation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.science.statistics.estimable import Estimate, NotEstimable, refused
from drawndose.science.statistics.tables import Matrix

TOO_FEW: Final = "there are not two groups, or none has a second value"
NO_SPREAD: Final = "the values do not vary within the groups"


@dataclass(frozen=True, slots=True, kw_only=True)
class OneWay:
    """Sums of squares and degrees of freedom between and within groups, F and its chance if there were no difference."""

    between: float
    within: float
    df_between: int
    df_within: int
    f: Estimate
    chance: Estimate
    r_squared: Estimate
    residual_sd: Estimate


def one_way(groups: Sequence[Sequence[float | Fraction]]) -> OneWay:
    """One-way analysis of variance.

    Equation:  F = (SS_b / (k - 1)) / (SS_w / (n - k)), SS_b = sum n_i (mean_i - mean)^2, SS_w = sum (x - mean_i)^2
    Symbols:   n_i   values of group i [1]     k   groups [1]     n   all values [1]
    Source:    textbook; held against the certified values of NIST StRD, analysis of variance.
    Example:   1, 2 and 3, 4: F is 8.

    >>> found = one_way([[1, 2], [3, 4]])
    >>> found.f, round(found.chance, 4), found.df_within
    (8.0, 0.1056, 2)
    >>> print(one_way([[1, 1], [2, 2]]).f)
    not estimable: the values do not vary within the groups
    """
    if not groups or not all(groups):
        raise refused("groups", "each group has one value at least", [len(one) for one in groups], "1 or more")
    exact = [[Fraction(value) for value in group] for group in groups]
    sums = [sum(group, Fraction(0)) for group in exact]
    count, everything = sum(map(len, exact)), sum(sums, Fraction(0))
    by_group = sum((total * total / len(group) for total, group in zip(sums, exact, strict=True)), Fraction(0))
    squares = sum((value * value for group in exact for value in group), Fraction(0))
    between, within = by_group - everything * everything / count, squares - by_group
    df_between, df_within = len(groups) - 1, count - len(groups)
    f: Estimate
    if not df_between or not df_within:
        f = NotEstimable(TOO_FEW)
    else:
        f = float(between / df_between / (within / df_within)) if within else NotEstimable(NO_SPREAD)
    return OneWay(
        between=float(between),
        within=float(within),
        df_between=df_between,
        df_within=df_within,
        f=f,
        chance=f if isinstance(f, NotEstimable) else f_above(f, df_between, df_within),
        r_squared=float(between / (between + within)) if between + within else NotEstimable(NO_SPREAD),
        residual_sd=float(within / df_within) ** 0.5 if df_within else NotEstimable(TOO_FEW),
    )


def f_above(value: float, df_top: float, df_bottom: float) -> float:
    """The chance that F is as large as this or larger, if there is no difference.

    >>> round(f_above(8.0, 1, 2), 4)
    0.1056
    """
    from scipy.special import fdtrc

    return float(fdtrc(df_top, df_bottom, value))


def f_quantile(chance: float, df_top: float, df_bottom: float) -> float:
    """The value that F stays below with this chance.

    >>> round(f_quantile(0.95, 5, 15), 4)
    2.9013
    """
    from scipy.special import fdtri

    return float(fdtri(df_top, df_bottom, chance))


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoWay:
    """Sums of squares of rows, columns, their interaction, and repeats (0 with 0 degrees where nothing is repeated)."""

    rows: float
    columns: float
    interaction: float
    repeat: float
    df: tuple[int, int, int, int]


def two_way(values: Matrix | NDArray[np.float64]) -> TwoWay:
    """Two-way analysis of variance of a full table. values: rows, columns, and repeats as a third axis (or none).

    Equation:  SS_rows = c r sum (mean_i - mean)^2, SS_columns likewise, SS_interaction = r sum (mean_ij - mean_i - mean_j + mean)^2,
               SS_repeat = sum (x - mean_ij)^2
    Symbols:   r   repeats [1]     c   columns [1]
    Source:    textbook.

    >>> found = two_way(np.array([[1.0, 2.0], [3.0, 5.0]]))
    >>> found.rows, found.columns, found.interaction, found.df
    (6.25, 2.25, 0.25, (1, 1, 1, 0))
    """
    cells = values[:, :, None] if values.ndim == 2 else values
    rows, columns, repeats = cells.shape
    mean = cells.mean(axis=2)
    whole, by_row, by_column = mean.mean(), mean.mean(axis=1), mean.mean(axis=0)
    left = mean - by_row[:, None] - by_column[None, :] + whole
    return TwoWay(
        rows=float(columns * repeats * ((by_row - whole) ** 2).sum()),
        columns=float(rows * repeats * ((by_column - whole) ** 2).sum()),
        interaction=float(repeats * (left**2).sum()),
        repeat=float(((cells - mean[:, :, None]) ** 2).sum()),
        df=(rows - 1, columns - 1, (rows - 1) * (columns - 1), rows * columns * (repeats - 1)),
    )
