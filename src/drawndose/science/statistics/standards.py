"""Where the pass mark lies: judges' estimates (Angoff), and the scores of those whom evaluators called borderline.

With few borderline learners the group's mean is unstable; the line through everybody is steadier. Both carry a standard error.
Equal steps between the grades of a global rating are an assumption, not a fact.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import sqrt
from statistics import median
from typing import Final

from drawndose.quantities import Fault, Refused
from drawndose.science.quantiles import t_quantile
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import Between, Estimate, NotEstimable, around, refused
from drawndose.science.statistics.readings import Summary, summary
from drawndose.science.statistics.regression import FLAT, Line, line
from drawndose.science.statistics.tables import Rows, complete, matrix

VALID: Final[Valid] = {
    "chance": Range(0.0, 1.0, "", "chance that a borderline learner does the step"),
    "level_percent": Range(50.0, 99.9, "%", "level of confidence"),
}

NO_JUDGE: Final = "no judge rated every step"
NOBODY: Final = "nobody was called borderline"
FALLING: Final = "scores do not rise with the grade, so the line sets no standard"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A pass mark in points and in percent of the full score, its standard error and interval. rests_on: how many judges or learners."""

    value: Estimate
    percent: Estimate
    se: Estimate
    interval: Between
    rests_on: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Angoff:
    """The cut, the judges' standard deviation, what each judge would set, and how far judges agree on each step (their SD)."""

    cut: Cut
    sd_judges: Estimate
    by_judge: tuple[float, ...]
    spread_of_step: tuple[Estimate, ...]
    left_out: int


def angoff(ratings: Rows, level_percent: float = 95.0) -> Angoff:
    """The cut that judges set. ratings: a row for each judge, a column for each step: the chance that a borderline learner does it.

    Equation:  cut = mean over judges of (sum over steps); SE = SD of the judges' sums / sqrt(J); interval by Student's t
    Symbols:   J   judges [1]; chances in the range of VALID
    Source:    W. H. Angoff 1971, as summarized in BMC Medical Education 16 (2016), s12909-016-0656-7; the error as in
               R. G. MacCann, G. Stanley, Practical Assessment, Research and Evaluation 9 (2004), 5.
    Example:   two judges over two steps: 0.9, 0.7 and 0.8, 0.6: the cut is 1.5 of 2.

    >>> found = angoff([[0.9, 0.7], [0.8, 0.6]])
    >>> round(found.cut.value, 6), round(found.cut.percent, 6), round(found.cut.se, 6)
    (1.5, 75.0, 0.1)
    >>> print(angoff([[0.9, 0.7]]).cut.se)
    not estimable: one judge shows no spread
    """
    table = matrix(ratings, "ratings")
    whole = complete(table)
    faults = []
    for low in (float(one) for one in whole.flat if not VALID["chance"].low <= one <= VALID["chance"].high):
        faults.append(Fault(field="ratings", rule="a chance lies from 0 to 1", came=f"{low:g}", accepted="0 to 1"))
    if faults:
        raise Refused(faults)
    sums = [float(one) for one in whole.sum(axis=1)]
    found = _worded(summary(sums, level_percent), "judge")
    steps = whole.shape[1]
    return Angoff(
        cut=Cut(
            value=found.mean,
            percent=_percent(found.mean, steps),
            se=_se(found),
            interval=found.interval,
            rests_on=len(sums),
        ),
        sd_judges=found.sd,
        by_judge=tuple(sums),
        spread_of_step=tuple(_worded(summary([float(one) for one in step]), "judge").sd for step in whole.T),
        left_out=len(table) - len(whole),
    )


def _se(found: Summary) -> Estimate:
    if isinstance(found.interval, NotEstimable):
        return found.interval
    assert isinstance(found.sd, float)  # where there is an interval, there is a spread
    return found.sd / sqrt(found.count)


def _worded(found: Summary, who: str, nobody: str = NO_JUDGE) -> Summary:
    """The summary with reasons that name who was too few, or all alike."""
    if found.count > 1:
        same = isinstance(found.interval, NotEstimable)
        return replace(found, interval=NotEstimable(f"every {who} stands at the same")) if same else found
    reason = NotEstimable(f"one {who} shows no spread" if found.count else nobody)
    mean = found.mean if found.count else reason
    return Summary(count=found.count, mean=mean, sd=reason, interval=reason, following=reason)


@dataclass(frozen=True, slots=True, kw_only=True)
class Borderline:
    """The cut by the group's mean and by its median, and by the line through everybody, with the line itself."""

    group: Cut
    group_median: Estimate
    regression: Cut
    line: Line | NotEstimable


def borderline(
    grades: Sequence[float], scores: Sequence[float], grade: float, full: float = 100.0, level_percent: float = 95.0
) -> Borderline:
    """Cuts from scores and global grades of the same learners. grade: the one that is called borderline; full: the full score.

    Equation:  group: mean (or median) score of those with this grade, SE = s / sqrt(n); regression: score on grade, read at the grade,
               SE = s sqrt(1 / n + (grade - mean)^2 / S_xx), interval by Student's t with n - 2 degrees of freedom
    Source:    methods as in S. M. Hejri et al. 2013 and in papers of K. Reid and A. Dodds; the error of a fitted height is textbook.
    Example:   see the published and derived check cases; none with raw data was found in print.

    >>> found = borderline([1, 2, 2, 3], [40, 50, 60, 70], grade=2)
    >>> found.group.value, found.group_median, found.regression.value
    (55.0, 55.0, 55.0)
    >>> print(borderline([1, 3], [40, 70], grade=2).group.value)
    not estimable: nobody was called borderline
    """
    hold(VALID, level_percent=level_percent)
    if len(grades) != len(scores):
        raise refused("scores", "one for each grade", len(scores), str(len(grades)))
    if not full > 0:
        raise refused("full", "the full score is more than 0", full, "100")
    those = [score for one, score in zip(grades, scores, strict=True) if one == grade]
    found = _worded(summary(those, level_percent), "borderline learner", NOBODY)
    group = Cut(
        value=found.mean,
        percent=_percent(found.mean, full),
        se=_se(found),
        interval=found.interval,
        rests_on=len(those),
    )
    fitted = line([Fraction(one) for one in grades], [Fraction(one) for one in scores])
    return Borderline(
        group=group,
        group_median=float(median(those)) if those else NotEstimable(NOBODY),
        regression=_by_line(fitted, grade, full, level_percent),
        line=fitted,
    )


def _by_line(fitted: Line | NotEstimable, grade: float, full: float, level_percent: float) -> Cut:
    if isinstance(fitted, NotEstimable) or fitted.slope <= 0:
        no = fitted if isinstance(fitted, NotEstimable) else NotEstimable(FALLING if fitted.slope else FLAT)
        return Cut(
            value=no, percent=no, se=no, interval=no, rests_on=0 if isinstance(fitted, NotEstimable) else fitted.count
        )
    value, se = fitted.at(grade), fitted.se_at(grade)
    reach = se if isinstance(se, NotEstimable) else t_quantile(0.5 + level_percent / 200.0, fitted.count - 2.0) * se
    return Cut(value=value, percent=_percent(value, full), se=se, interval=around(value, reach), rests_on=fitted.count)


def _percent(value: Estimate, full: float) -> Estimate:
    return value if isinstance(value, NotEstimable) else 100.0 * value / full
