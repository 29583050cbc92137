"""A whole cohort at once: every try of every learner on every step, in arrays; what the class shows, and each learner's line.

The same numbers as the modules that look at one thing, for ten thousand learners as for ten; the tests hold the two together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.quantities import Fault, Refused
from drawndose.science.statistics import cusum
from drawndose.science.statistics.estimable import TINY, Between, Estimate, NotEstimable, refused
from drawndose.science.statistics.items import Items, Missing, item_analysis
from drawndose.science.statistics.learning import AtTry, Curve, by_try, learning_curve
from drawndose.science.statistics.proportion import share, wilson

MISSING: Final = -1
"""The mark of a step that was not seen, and of every step of a try that was not made."""

NOT_SEEN: Final = "nobody was seen at this step"

Marks = NDArray[np.integer]
Whole = NDArray[np.int64]
Truth = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class StepFails:
    """A step over all tries: how often it was seen, how often not done, that share with its interval."""

    place: int
    seen: int
    failed: int
    share: Estimate
    interval: Between


@dataclass(frozen=True, slots=True, kw_only=True)
class Lines:
    """Each learner's CUSUM. values: after each try made, as far as the line goes; until: how many tries that is.

    acceptable_at, unacceptable_at: the try in the learner's own count, from 1, that met the limit; 0 where none did.
    """

    values: NDArray[np.float64]
    until: Whole
    acceptable_at: Whole
    unacceptable_at: Whole


@dataclass(frozen=True, slots=True, kw_only=True)
class Cohort:
    """made: learners by tries, who made which. points: of each try made. passed: by the rule. passed_at: the first try passed, from 1, or 0.

    failed, seen: steps by tries. by_step, by_try: over all tries, over all learners. first: the steps of the first tries as items.
    curve: of passing, over the tries. lines: each learner's CUSUM of passing.
    """

    made: Truth
    points: Whole
    full: int
    passed: Truth
    passed_at: Whole
    failed: Whole
    seen: Whole
    by_step: tuple[StepFails, ...]
    by_try: tuple[AtTry, ...]
    first: Items
    curve: Curve | NotEstimable
    lines: Lines

    @property
    def fails_most(self) -> tuple[StepFails, ...]:
        """The steps, most often failed first; of equals, the earlier one."""
        return tuple(sorted(self.by_step, key=lambda one: -_known(one.share)))


def cohort(
    marks: Marks,
    critical: Sequence[bool],
    weights: Sequence[int],
    percent_floor: Fraction | int,
    design: cusum.Design,
    level_percent: float = 95.0,
) -> Cohort:
    """Everything that the marks show. marks: learners, tries, steps; 1 done, 0 not done, -1 not seen.

    A try with any step seen was made. For passing it, a step not seen is not done; for a step's own share, it is left out. A try passes where
    every critical step is done and the points reach the floor, compared exactly.

    >>> marks = np.array([[[1, 1], [1, 1]], [[1, 0], [1, 1]], [[0, 0], [-1, -1]]])
    >>> found = cohort(marks, [True, False], [1, 1], 75, cusum.design(0.2, 0.4, 0.1, 0.1))
    >>> found.passed_at.tolist(), [(one.failed, one.seen) for one in found.by_step], [one.place for one in found.fails_most]
    ([1, 2, 0], [(1, 5), (2, 5)], [2, 1])
    """
    steps = _checked(marks, critical, weights)
    done, seen = marks == 1, marks != MISSING
    made = seen.any(axis=2)
    points = _points(done, steps)
    full = int(steps.sum())
    needed = done[:, :, np.asarray(critical, dtype=np.bool_)].all(axis=2)
    floor = Fraction(percent_floor)
    reached = points * 100 * floor.denominator >= floor.numerator * full
    passed = made & needed & reached
    outcomes = np.where(made, passed, np.nan)
    by_place = seen.sum(axis=0).T, (seen & ~done).sum(axis=0).T
    return Cohort(
        made=made,
        points=points,
        full=full,
        passed=passed,
        passed_at=np.where(passed.any(axis=1), passed.argmax(axis=1) + 1, 0),
        failed=by_place[1],
        seen=by_place[0],
        by_step=_by_step(by_place[0].sum(axis=1), by_place[1].sum(axis=1), level_percent),
        by_try=by_try(outcomes, level_percent),
        first=item_analysis(_as_answers(marks[:, 0, :]), missing=Missing.LEFT_OUT, level_percent=level_percent),
        curve=learning_curve(outcomes, level_percent),
        lines=lines(made, passed, design),
    )


def lines(made: Truth, passed: Truth, design: cusum.Design) -> Lines:
    """The CUSUM of each learner's tries made, in their order; the first limit that is met ends the line.

    >>> found = lines(np.ones((1, 9), dtype=bool), np.ones((1, 9), dtype=bool), cusum.design(0.2, 0.4, 0.1, 0.1))
    >>> found.acceptable_at.tolist(), found.until.tolist()
    ([8], [8])
    """
    learners, tries = made.shape
    values = np.zeros((learners, tries))
    at, until = np.zeros(learners), np.zeros(learners, dtype=np.int64)
    low, high = np.zeros(learners, dtype=np.int64), np.zeros(learners, dtype=np.int64)
    who = np.arange(learners)
    for one in range(tries):
        going = made[:, one] & (low == 0) & (high == 0)
        at = np.where(going, at + np.where(passed[:, one], -design.s, 1.0 - design.s), at)
        values[who[going], until[going]] = at[going]
        until = until + going
        low = np.where(going & (at <= -design.lower + TINY), until, low)
        high = np.where(going & (at >= design.upper - TINY), until, high)
    return Lines(values=values, until=until, acceptable_at=low, unacceptable_at=high)


def _checked(marks: Marks, critical: Sequence[bool], weights: Sequence[int]) -> Whole:
    if marks.ndim != 3 or not marks.size:
        raise refused("marks", "learners, tries and steps", marks.shape, "an array of three axes")
    faults = []
    if not np.isin(marks, (MISSING, 0, 1)).all():
        faults.append(
            Fault(
                field="marks", rule="a step is done, not done or not seen", came="another number", accepted="1, 0, -1"
            )
        )
    for field, given in (("critical", critical), ("weights", weights)):
        if len(given) != marks.shape[2]:
            faults.append(
                Fault(field=field, rule="one for each step", came=str(len(given)), accepted=str(marks.shape[2]))
            )
    if any(one < 0 for one in weights) or not any(weights):
        rule = "no step costs points, and some step has some"
        faults.append(Fault(field="weights", rule=rule, came=str(list(weights)), accepted="0, 1, 2"))
    if faults:
        raise Refused(faults)
    return np.asarray(weights, dtype=np.int64)


def _points(done: Truth, weights: Whole) -> Whole:
    """One step after another, so that no second array of all marks is needed."""
    made = np.zeros(done.shape[:2], dtype=np.int64)
    for place, weight in enumerate(weights):
        made += weight * done[:, :, place]
    return made


def _by_step(seen: Whole, failed: Whole, level_percent: float) -> tuple[StepFails, ...]:
    no = NotEstimable(NOT_SEEN)
    return tuple(
        StepFails(
            place=place,
            seen=int(count),
            failed=int(bad),
            share=share(int(bad), int(count)) if count else no,
            interval=wilson(int(bad), int(count), level_percent) if count else no,
        )
        for place, (count, bad) in enumerate(zip(seen, failed, strict=True), start=1)
    )


def _as_answers(marks: Marks) -> NDArray[np.float64]:
    return np.where(marks == MISSING, np.nan, marks)


def _known(value: Estimate) -> float:
    return value if isinstance(value, float) else -1.0
