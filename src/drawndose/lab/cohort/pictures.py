"""The class as pictures: out of attempts, decisions and sign-offs into the drawings of `science.statistics.pictures`.

Only attempts on the form's own version count. names: what people are called; who is not in it keeps the id.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

import numpy as np

from drawndose.bench.drawing import Figure
from drawndose.lab.attempts.attempt import Attempt
from drawndose.lab.cohort.rows import DONE, NOT_DONE, Cell, of_form, seen, volume_rows
from drawndose.lab.deciding.decide import Decision, Outcome, current
from drawndose.lab.deciding.signoff import May, Standing
from drawndose.lab.forms.form import Form
from drawndose.science.statistics import cusum
from drawndose.science.statistics.charts import Sign
from drawndose.science.statistics.leniency import Leniency, leniency
from drawndose.science.statistics.pictures import (
    Drawn,
    board_picture,
    cusum_picture,
    evaluators_picture,
    step_map,
    volumes_picture,
)

Names = Mapping[str, str]
NO_NAMES: Names = MappingProxyType({})
LINE = cusum.design(0.2, 0.4, 0.1, 0.1)
"""Acceptable and unacceptable failure rate and both risks, common in teaching; a setting."""

VALUE = {DONE: 1.0, NOT_DONE: 0.0, None: np.nan}
STANDINGS = {Standing.VALID: Sign.PASSED, Standing.DUE: Sign.DUE, Standing.OVER: Sign.OVER}


def steps_of_class(attempts: Iterable[Attempt], form: Form, ident: str) -> Figure | None:
    """Which step fails on which try, by the first evaluator's marks; None where nobody tried."""
    tried = of_form(attempts, form)
    if not tried:
        return None
    last = max(one.number for one in tried)
    failed = [[0] * last for _ in form.shown]
    marked = [[0] * last for _ in form.shown]
    for one in tried:
        for place, how in enumerate(seen(one.sheets[0], form).values()):
            failed[place][one.number - 1] += how == NOT_DONE
            marked[place][one.number - 1] += how is not None
    steps = [f"{'critical: ' if step.critical else ''}{step.says}" for step in form.shown]
    return step_map(ident, form.title, steps, failed, marked)


def volumes_of_class(attempts: Iterable[Attempt], form: Form, ident: str, names: Names = NO_NAMES) -> Figure | None:
    """Every weighed volume against its target; None where nothing was weighed."""
    rows = volume_rows(of_form(attempts, form))
    if not rows:
        return None
    draws = [
        Drawn(
            who=names.get(one.learner, one.learner),
            target=one.target_mL,
            low=one.target_mL - one.tolerance_mL,
            high=one.target_mL + one.tolerance_mL,
            found=one.mL,
            verdict=INSIDE[one.held],
        )
        for one in rows
    ]
    return volumes_picture(ident, form.title, draws)


INSIDE = {"yes": "within", "no": "outside", "cannot be told": "cannot be told"}
"""What a verdict of the weighing is called in the picture."""


def line_of_learner(decisions: Sequence[Decision], learner: str, ident: str, names: Names = NO_NAMES) -> Figure:
    """The CUSUM over all decided attempts of one learner, in the order in which they were decided."""
    own = sorted((one for one in current(decisions) if one.learner == learner), key=lambda one: (one.at, one.number))
    outcomes = [one.passed for one in own if one.outcome is not Outcome.OPEN]
    return cusum_picture(ident, names.get(learner, learner), outcomes, LINE)


def compared(attempts: Iterable[Attempt], form: Form) -> tuple[tuple[str, ...], Leniency] | None:
    """The evaluators of attempts that two scored, and who of them is lenient or severe on which step; None where none were."""
    tried = [one for one in of_form(attempts, form) if len(one.sheets) > 1]
    if not tried:
        return None
    who = sorted({sheet.evaluator for one in tried for sheet in one.sheets})
    scores = np.full((len(who), len(tried), len(form.shown)), np.nan)
    for place, one in enumerate(tried):
        for sheet in one.sheets:
            scores[who.index(sheet.evaluator), place] = [VALUE[how] for how in seen(sheet, form).values()]
    return tuple(who), leniency(scores)


def evaluators_of_class(attempts: Iterable[Attempt], form: Form, ident: str, names: Names = NO_NAMES) -> Figure | None:
    """The evaluators side by side on one form; None where no attempt was scored by two."""
    found = compared(attempts, form)
    if found is None:
        return None
    who, gaps = found
    return evaluators_picture(ident, gaps, [names.get(one, one) for one in who])


def board_of_class(
    cells: Sequence[Cell], may: Sequence[May], skills: Mapping[str, str], of: str, ident: str, names: Names = NO_NAMES
) -> Figure:
    """Who, which skill, which state. cells: of `board`; may: of `who_may`; skills: what each form's id is called. Refused for no cell."""
    held = {(one.person, one.skill): one.standing for one in may}
    learners = list(dict.fromkeys(one.learner for one in cells))
    by = {(one.learner, one.skill): one for one in cells}
    people = [
        (names.get(who, who), [sign_of(by[who, skill], held.get((who, skill))) for skill in skills]) for who in learners
    ]
    return board_picture(ident, of, list(skills.values()), people)


def sign_of(cell: Cell, standing: Standing | None) -> Sign:
    """What the board shows in a cell, by how the sign-off stands; without one, by the last attempt."""
    if standing is not None:
        return STANDINGS[standing]
    if cell.outcome is Outcome.PASSED:
        return Sign.UNSIGNED
    if cell.outcome is Outcome.FAILED:
        return Sign.FAILED
    return Sign.UNDER_WAY if cell.attempts else Sign.NOT_BEGUN
