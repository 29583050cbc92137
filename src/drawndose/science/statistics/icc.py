"""Scores of several evaluators: which part of their spread is the learners'. The six forms of the intraclass correlation.

ICC(2,1) is one evaluator's score, ICC(2,k) the mean of a panel, where evaluators are drawn from many; ICC(3,.) only where these evaluators
are all there will ever be; ICC(1,.) where each learner had other evaluators.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Final

from drawndose.science.quantiles import t_quantile
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.anova import f_quantile, two_way
from drawndose.science.statistics.estimable import TINY, Between, Estimate, Interval, NotEstimable
from drawndose.science.statistics.tables import Rows, complete, matrix

VALID: Final[Valid] = {
    "level_percent": Range(50.0, 99.9, "%", "level of confidence"),
    "rho": Range(0.0, 0.9999, "", "expected intraclass correlation"),
    "raters": Range(2.0, 1000.0, "", "number of evaluators"),
    "width": Range(0.001, 2.0, "", "full width of the interval"),
}

TOO_FEW: Final = "two learners and two evaluators at least, every score given"
ALL_ALIKE: Final = "every score is the same"
NO_LEARNERS: Final = "the learners do not differ"
TOO_UNLIKE: Final = "the evaluators differ more than the learners do"
NO_ERROR: Final = "the evaluators never differ, and a spread cannot be seen"


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One form with its interval."""

    value: Estimate
    interval: Between


@dataclass(frozen=True, slots=True, kw_only=True)
class Forms:
    """The six forms: single and of the mean of all. learners: how many rows were complete; left_out: how many were not.

    squares: mean squares between learners, within learners, between evaluators, of the rest. df_two: Satterthwaite's degrees of freedom.
    """

    learners: int
    raters: int
    left_out: int
    squares: tuple[Estimate, Estimate, Estimate, Estimate]
    single: tuple[Form, Form, Form]
    mean: tuple[Form, Form, Form]
    df_two: Estimate


def icc(ratings: Rows, level_percent: float = 95.0) -> Forms:
    """The six forms. ratings: a row for each learner, a column for each evaluator; a row with a missing score is left out, and counted.

    Equation:  (1,1) = (B - W) / (B + (k - 1) W); (2,1) = (B - E) / (B + (k - 1) E + k (J - E) / n); (3,1) = (B - E) / (B + (k - 1) E)
               (1,k) = (B - W) / B; (2,k) = (B - E) / (B + (J - E) / n); (3,k) = (B - E) / B; intervals by F, for (2,.) by Satterthwaite
    Symbols:   B, W, J, E   mean squares between learners, within them, between evaluators, of the rest     n, k   learners, evaluators [1]
    Source:    P. E. Shrout, J. L. Fleiss, Psychological Bulletin 86 (1979) 420-428; for (2,.) K. O. McGraw, S. P. Wong 1996.
    Example:   table 2 of Shrout and Fleiss: ICC(2,1) 0.29, ICC(3,1) 0.71.

    >>> table = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
    >>> [round(form.value, 2) for form in icc(table).single]
    [0.17, 0.29, 0.71]
    """
    hold(VALID, level_percent=level_percent)
    table = matrix(ratings, "ratings")
    whole = complete(table)
    n, k = whole.shape
    found = _forms(*_squares(whole), n, k, level_percent) if n > 1 and k > 1 else _none(TOO_FEW)
    return Forms(
        learners=n, raters=k, left_out=len(table) - n, squares=found[0], single=found[1], mean=found[2], df_two=found[3]
    )


_Six = tuple[tuple[Estimate, Estimate, Estimate, Estimate], tuple[Form, Form, Form], tuple[Form, Form, Form], Estimate]


def _none(because: str, squares: tuple[Estimate, Estimate, Estimate, Estimate] | None = None) -> _Six:
    no = NotEstimable(because)
    form = Form(value=no, interval=no)
    return squares or (no, no, no, no), (form, form, form), (form, form, form), no


def _squares(whole: Rows) -> tuple[float, float, float, float]:
    made = two_way(matrix(whole))
    rows, columns, both, _ = made.df
    within = (made.columns + made.interaction) / (columns + both)
    scale = TINY * (made.rows + made.columns + made.interaction)
    rest = made.interaction if made.interaction > scale else 0.0
    return made.rows / rows, within, made.columns / columns, rest / both


def _forms(b: float, w: float, j: float, e: float, n: int, k: int, level: float) -> _Six:
    if b <= TINY * (b + w):
        return _none(NO_LEARNERS if w else ALL_ALIKE, (b, w, j, e))
    inside = 0.5 + level / 200.0
    one = _by_f(b, w, n - 1, n * (k - 1), k, inside)
    three = _by_f(b, e, n - 1, (n - 1) * (k - 1), k, inside)
    value = (b - e) / (b + (k - 1) * e + k * (j - e) / n)
    below = b + (j - e) / n
    mean: Estimate = (b - e) / below if below > TINY * b else NotEstimable(TOO_UNLIKE)
    if value < -1.0 - TINY:  # no correlation lies there: next to no spread is divided by
        no = NotEstimable(TOO_UNLIKE)
        none = Form(value=no, interval=no)
        return (b, w, j, e), (one[0], none, three[0]), (one[1], Form(value=mean, interval=no), three[1]), no
    two, df = _by_satterthwaite(b, j, e, n, k, value, inside)
    single = (one[0], Form(value=value, interval=two), three[0])
    return (b, w, j, e), single, (one[1], Form(value=mean, interval=_of_mean(two, k)), three[1]), df


def _of_mean(single: Between, k: int) -> Between:
    """From the ends of one evaluator's reliability to those of the mean of k (Spearman-Brown)."""
    if isinstance(single, NotEstimable):
        return single
    if 1.0 + (k - 1.0) * single.low <= TINY:
        return NotEstimable(TOO_UNLIKE)
    return Interval(*(k * end / (1.0 + (k - 1.0) * end) for end in single))


def _by_f(b: float, error: float, df_top: int, df_bottom: int, k: int, inside: float) -> tuple[Form, Form]:
    """The forms (1,.) and (3,.): single, and of the mean."""
    single, mean = (b - error) / (b + (k - 1) * error), (b - error) / b
    if not error:
        no = NotEstimable(NO_ERROR)
        return Form(value=single, interval=no), Form(value=mean, interval=no)
    ratio = b / error
    low, high = ratio / f_quantile(inside, df_top, df_bottom), ratio * f_quantile(inside, df_bottom, df_top)
    ends = Interval((low - 1.0) / (low + k - 1.0), (high - 1.0) / (high + k - 1.0))
    return Form(value=single, interval=ends), Form(value=mean, interval=Interval(1.0 - 1.0 / low, 1.0 - 1.0 / high))


def _by_satterthwaite(
    b: float, j: float, e: float, n: int, k: int, value: float, inside: float
) -> tuple[Between, Estimate]:
    if not e:
        return NotEstimable(NO_ERROR), NotEstimable(NO_ERROR)
    fj = j / e
    parts = k * value * fj, n * (1.0 + (k - 1.0) * value) - k * value
    df = (k - 1.0) * (n - 1.0) * sum(parts) ** 2 / ((n - 1.0) * parts[0] ** 2 + parts[1] ** 2)
    if df < 1.0 - TINY:  # it is a mix of mean squares with k - 1 degrees or more, unless one of them counts below 0
        return NotEstimable(TOO_UNLIKE), NotEstimable(TOO_UNLIKE)
    f_low, f_high = (f_quantile(inside, *pair) for pair in ((n - 1, df), (df, n - 1)))
    error = k * j + (k * n - k - n) * e
    low = n * (b - f_low * e) / (f_low * error + n * b)
    return Interval(low, n * (f_high * b - e) / (error + n * f_high * b)), df


def learners_needed(
    rho: float, raters: int, width: float, level_percent: float = 95.0, *, corrected: bool = False
) -> int:
    """How many learners make the interval of an ICC as narrow as this.

    Equation:  n = 8 z^2 (1 - r)^2 (1 + (k - 1) r)^2 / (k (k - 1) w^2) + 1, rounded up; corrected: 5 r more, for two evaluators and r >= 0.7
    Symbols:   r   expected ICC [1]     k   evaluators [1]     w   full width [1]; ranges in VALID
    Source:    D. G. Bonett, Statistics in Medicine 21 (2002) 1331-1335.
    Example:   0.8 with two evaluators to a width of 0.2: 51 learners, corrected 55.

    >>> learners_needed(0.8, 2, 0.2), learners_needed(0.8, 2, 0.2, corrected=True), learners_needed(0.85, 4, 0.2)
    (51, 55, 20)
    """
    hold(VALID, rho=rho, raters=raters, width=width, level_percent=level_percent)
    z = t_quantile(0.5 + level_percent / 200.0)
    count = 8.0 * z * z * (1.0 - rho) ** 2 * (1.0 + (raters - 1) * rho) ** 2 / (raters * (raters - 1) * width**2) + 1.0
    more = 5.0 * rho if corrected and raters == 2 and rho >= 0.7 else 0.0
    return ceil(count + more - TINY * count)
