"""What a class's marks tell in figures: steps as items, the form as a whole, all evaluators together, limits for the attempts allowed.

Every figure is one of `science.statistics`: a number with its interval where there is one, or in words why there is none.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import count
from math import ceil

from drawndose.lab.attempts.attempt import Attempt
from drawndose.lab.attempts.scored import score
from drawndose.lab.cohort.pictures import LINE, VALUE
from drawndose.lab.cohort.rows import of_form, seen, step_table
from drawndose.lab.forms.form import Form, Step
from drawndose.science.statistics import cusum, lc_cusum
from drawndose.science.statistics.chance_corrected import Coefficients, coefficients
from drawndose.science.statistics.estimable import TINY, Between, Estimate, NotEstimable
from drawndose.science.statistics.icc import Forms, icc
from drawndose.science.statistics.items import Item, item_analysis
from drawndose.science.statistics.krippendorff import Scale, krippendorff_alpha
from drawndose.science.statistics.learning import AtTry, Curve, by_try, learning_curve
from drawndose.science.statistics.reliability import Alpha, cronbach_alpha
from drawndose.science.statistics.standards import Borderline, borderline

RISK = 0.1
"""The risk of a wrong signal within the attempts allowed, as for the line of a learner. A setting, from memory."""
BORDERLINE = 2
"""The overall impression, of 0 to 5, that is called borderline. A setting, from memory."""
ACCEPTED, REFUSED, MASTERED = "CUSUM, acceptable", "CUSUM, unacceptable", "LC-CUSUM, competent"
"""What each limit says of the learner who meets it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormFigures:
    """The steps of a form with their figures, in their order. alpha: of steps done or not, so that it is KR-20, too."""

    steps: tuple[tuple[Step, Item], ...]
    alpha: Alpha


def first_tries(attempts: Iterable[Attempt], form: Form) -> tuple[Attempt, ...]:
    """The first attempt of each learner on this version: several of one learner would count as several learners."""
    found: dict[str, Attempt] = {}
    for one in sorted(of_form(attempts, form), key=lambda one: (one.number, one.started)):
        found.setdefault(one.learner, one)
    return tuple(found.values())


def form_figures(attempts: Iterable[Attempt], form: Form) -> FormFigures | None:
    """By the first evaluator's marks on first attempts; None where there are none. Who lacks a mark is left out of all that needs a total."""
    table = step_table(first_tries(attempts, form), form)
    if not table:
        return None
    items = item_analysis(table).items
    return FormFigures(steps=tuple(zip(form.shown, items, strict=True)), alpha=cronbach_alpha(table))


def pass_mark(attempts: Iterable[Attempt], form: Form) -> Borderline:
    """The percentage that the borderline impressions set, by the first evaluator's sheets on first attempts, every step marked."""
    scored = [score(one.sheets[0], form) for one in first_tries(attempts, form) if one.sheets]
    rated = [(one.rating, float(one.percent)) for one in scored if one.rating is not None and one.complete]
    return borderline([float(grade) for grade, _ in rated], [percent for _, percent in rated], float(BORDERLINE))


@dataclass(frozen=True, slots=True, kw_only=True)
class Learning:
    """How a class does from attempt to attempt at one skill, and the curve through all of it."""

    tries: tuple[AtTry, ...]
    curve: Curve | NotEstimable


def learning(passed: Iterable[tuple[str, int, bool]]) -> Learning | None:
    """From who passed at which attempt; None where nobody tried twice. Whoever passes leaves: later attempts are of those who had not."""
    known = {(who, number): made for who, number, made in passed}
    last = max((number for _, number in known), default=0)
    if last < 2:
        return None
    rows = [
        [None if (made := known.get((who, at))) is None else float(made) for at in range(1, last + 1)]
        for who in sorted({who for who, _ in known})
    ]
    return Learning(tries=by_try(rows), curve=learning_curve(rows))


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """Evaluators over all attempts that two or more of them marked. steps: how many were marked by two. alpha: Krippendorff's.

    percents: ICC of the percentages that the first two came to. Only its one-way forms stand: two differ from attempt to attempt.

    The intervals hold steps to be marked independently of each other. Those of one attempt are not, so they are too narrow.
    """

    evaluators: tuple[str, ...]
    attempts: int
    by: Coefficients
    alpha: Estimate
    percents: Forms

    @property
    def coefficients(self) -> tuple[tuple[str, Estimate, Between | None], ...]:
        """Each by the name of what it takes chance to be, with its interval; None where none is worked. Then the ICC."""
        by, one, both = self.by, self.percents.single[0], self.percents.mean[0]
        return (
            ("AC1", by.ac1.value, by.ac1.interval),
            ("Fleiss's kappa, with marks missing", by.fleiss.value, by.fleiss.interval),
            ("Brennan-Prediger", by.brennan_prediger.value, by.brennan_prediger.interval),
            ("Krippendorff's alpha", self.alpha, None),
            ("ICC(1,1) of the percentages", one.value, one.interval),
            ("ICC(1,2), of the mean of two", both.value, both.interval),
        )


def together(attempts: Iterable[Attempt], forms: Sequence[Form], who: Sequence[str] = ()) -> Together | None:
    """The agreement of all evaluators, or of those who are named; None where no two marked one attempt. Step by step, done or not."""
    by_version = {one.version: one for one in forms}
    tried = []
    for one in attempts:
        sheets = [sheet for sheet in one.sheets if not who or sheet.evaluator in who]
        if len(sheets) > 1 and one.form_version in by_version:
            tried.append((by_version[one.form_version], sheets))
    if not tried:
        return None
    people = sorted({sheet.evaluator for _, sheets in tried for sheet in sheets})
    rows: list[list[float | None]] = [[] for _ in people]
    for form, sheets in tried:
        marks = {sheet.evaluator: seen(sheet, form) for sheet in sheets}
        for step in form.shown:
            for row, name in zip(rows, people, strict=True):
                how = marks[name][step.id] if name in marks else None
                row.append(None if how is None else VALUE[how])
    return Together(
        evaluators=tuple(people),
        attempts=len(tried),
        by=coefficients(rows),
        alpha=krippendorff_alpha(rows, Scale.NOMINAL),
        percents=icc([[float(score(sheet, form).percent) for sheet in sheets[:2]] for form, sheets in tried]),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A limit of a learner's line. shortest: so many results alike in a row reach it, None where none can.

    needs: so many attempts must be allowed before there is one. found: the chance that it signals in time whom it should; None where
    that is not worked.
    """

    line: str
    alike: str
    value: Estimate
    shortest: int | None
    needs: int
    found: float | None = None


def limits(attempts: int) -> tuple[Limit, ...]:
    """The limits of the CUSUM and of the LC-CUSUM that keep their risk within so many attempts. attempts: 1 to 150."""
    low, high = cusum.limits(LINE.p0, LINE.p1, RISK, RISK, attempts)
    fitted = lc_cusum.limit_for(LINE.p0, LINE.p1, attempts, RISK)
    need_low, need_high, need_lc = _needs()
    if isinstance(fitted, NotEstimable):
        mastered = Limit(line=MASTERED, alike="passed", value=fitted, shortest=None, needs=need_lc)
    else:
        made = fitted.design
        mastered = Limit(
            line=MASTERED,
            alike="passed",
            value=made.h,
            shortest=made.fewest_successes,
            needs=need_lc,
            found=fitted.true_mastery,
        )
    fails = 1.0 - LINE.s
    return (
        Limit(line=ACCEPTED, alike="passed", value=low, shortest=_shortest(low, LINE.s), needs=need_low),
        Limit(line=REFUSED, alike="not passed", value=high, shortest=_shortest(high, fails), needs=need_high),
        mastered,
    )


def _shortest(limit: Estimate, each: float) -> int | None:
    return None if isinstance(limit, NotEstimable) else ceil(limit / each - TINY)


@cache
def _needs() -> tuple[int, int, int]:
    """The fewest attempts at which each limit exists."""

    def first(place: int) -> int:
        ends = (cusum.limits(LINE.p0, LINE.p1, RISK, RISK, one)[place] for one in count(1))
        return next(at for at, end in enumerate(ends, start=1) if not isinstance(end, NotEstimable))

    every = (lc_cusum.limit_for(LINE.p0, LINE.p1, one, RISK) for one in count(1))
    return first(0), first(1), next(at for at, one in enumerate(every, start=1) if not isinstance(one, NotEstimable))
