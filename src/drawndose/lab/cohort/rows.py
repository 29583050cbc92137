"""What the class shows, as rows: the board, the steps, the volumes, the agreement of evaluators. Pages, pictures and files draw them.

Only attempts that are handed in and marked on the form's own version count; an attempt on another version is named beside.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from drawndose.lab.attempts.attempt import Attempt, Sheet, outdated
from drawndose.lab.attempts.marks import standing
from drawndose.lab.deciding.decide import Decision, Outcome, current
from drawndose.lab.forms.form import Form, Step
from drawndose.science.statistics.estimable import NotEstimable
from drawndose.science.statistics.kappa import Agreement, agreement, cross
from drawndose.science.statistics.proportion import wilson

DONE, NOT_DONE = "done", "not done"
LEAST_AGREEMENT = 0.8
"""Below this share of steps marked alike an action is asked for. A setting: no threshold was found in any standard that was read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One learner and one skill: the outcome of the last attempt, None where there is none yet, and how many attempts there were."""

    learner: str
    skill: str
    outcome: Outcome | None
    attempts: int


def board(
    learners: Sequence[str], skills: Sequence[str], attempts: Iterable[Attempt], decisions: Sequence[Decision]
) -> tuple[Cell, ...]:
    """Who stands where by the last attempt: each learner with each skill, in the order in which they were named."""
    tried: dict[tuple[str, str], list[Attempt]] = {}
    for one in sorted(attempts, key=lambda one: one.number):
        tried.setdefault((one.learner, one.skill), []).append(one)
    made = {one.attempt: one.outcome for one in current(decisions)}
    return tuple(
        Cell(
            learner=learner,
            skill=skill,
            outcome=made.get(own[-1].id) if (own := tried.get((learner, skill), [])) else None,
            attempts=len(own),
        )
        for learner in learners
        for skill in skills
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRow:
    """One step over the class: on how many attempts it was marked, how often it failed, and the share with its interval."""

    step: Step
    marked: int
    failed: int
    low: float | None
    high: float | None

    @property
    def share(self) -> float | None:
        """The share that failed; None where nobody was marked."""
        return self.failed / self.marked if self.marked else None


def seen(sheet: Sheet, form: Form) -> dict[str, str | None]:
    """Each step of the form as done, not done, or None where it was not marked. A point that fails, or earns less than half, is not done."""
    stands = standing(sheet.marks)
    found: dict[str, str | None] = {}
    for step in form.shown:
        mark = stands.get(step.id)
        point = step.scale.point(mark.point) if mark is not None else None
        found[step.id] = None if point is None else NOT_DONE if point.fails or point.share * 2 < 1 else DONE
    return found


def of_form(attempts: Iterable[Attempt], form: Form) -> tuple[Attempt, ...]:
    """The attempts that were marked on this very version."""
    return tuple(one for one in attempts if one.form_version == form.version)


def set_aside(attempts: Iterable[Attempt], form: Form) -> tuple[str, ...]:
    """Sentences on the attempts of this skill that were marked on another version and so are not counted with it."""
    return tuple(said for one in attempts if (said := outdated(one, form)))


def step_rows(attempts: Iterable[Attempt], form: Form) -> tuple[StepRow, ...]:
    """The steps of a form over the class, by the first evaluator's marks, the most often failed first."""
    sheets = [seen(one.sheets[0], form) for one in of_form(attempts, form)]
    rows = []
    for step in form.shown:
        marked = [one[step.id] for one in sheets if one[step.id] is not None]
        failed = sum(one == NOT_DONE for one in marked)
        between = wilson(failed, len(marked))
        low, high = (None, None) if isinstance(between, NotEstimable) else between
        rows.append(StepRow(step=step, marked=len(marked), failed=failed, low=low, high=high))
    return tuple(sorted(rows, key=lambda one: -(one.share or 0.0)))


def step_table(attempts: Iterable[Attempt], form: Form) -> tuple[tuple[float | None, ...], ...]:
    """Attempts by steps, 1 for done and 0 for not: what `science.statistics` takes. By the first evaluator's marks."""
    value = {DONE: 1.0, NOT_DONE: 0.0, None: None}
    return tuple(tuple(value[one] for one in seen(tried.sheets[0], form).values()) for tried in of_form(attempts, form))


@dataclass(frozen=True, slots=True, kw_only=True)
class VolumeRow:
    """One weighed volume against its target, mL, and what the weighing said of it."""

    attempt: str
    learner: str
    skill: str
    mL: float
    target_mL: float
    tolerance_mL: float
    held: str

    @property
    def off(self) -> float:
        """How far off, as a signed share of the target."""
        return self.mL / self.target_mL - 1.0


def volume_rows(attempts: Iterable[Attempt]) -> tuple[VolumeRow, ...]:
    """Every weighed volume."""
    return tuple(
        VolumeRow(
            attempt=one.id,
            learner=one.learner,
            skill=one.skill,
            mL=found.mL,
            target_mL=found.target_mL,
            tolerance_mL=found.tolerance_mL,
            held=found.held.value,
        )
        for one in attempts
        if (found := one.evidence.weighed) is not None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreed:
    """Two evaluators on the attempts that both scored: the measures together, and the steps that they saw otherwise most often.

    wanted: why an action is asked for, "" where none is. More than one measure, since a checklist is mostly "done" and kappa
    alone misleads.
    """

    first: str
    second: str
    attempts: int
    measures: Agreement
    otherwise: tuple[tuple[str, int], ...]
    wanted: str


def agreement_rows(attempts: Iterable[Attempt], forms: Sequence[Form]) -> tuple[Agreed, ...]:
    """Every pair of evaluators who scored the same attempts, over all forms together."""
    by_version = {one.version: one for one in forms}
    pairs: dict[tuple[str, str], list[tuple[str, str | None, str | None]]] = {}
    tries: dict[tuple[str, str], int] = {}
    for one in attempts:
        form = by_version.get(one.form_version)
        if form is None or len(one.sheets) < 2:
            continue
        sheets = sorted(one.sheets, key=lambda sheet: sheet.evaluator)
        key = (sheets[0].evaluator, sheets[1].evaluator)
        first, second = (seen(sheet, form) for sheet in sheets)
        pairs.setdefault(key, []).extend(
            (f"{form.title}, step {place}", first[ident], second[ident]) for place, ident in enumerate(first, start=1)
        )
        tries[key] = tries.get(key, 0) + 1
    return tuple(_agreed(key, pairs[key], tries[key]) for key in sorted(pairs))


def _agreed(key: tuple[str, str], seen_by: Sequence[tuple[str, str | None, str | None]], tries: int) -> Agreed:
    measures = agreement(cross([one for _, one, _ in seen_by], [one for _, _, one in seen_by], [DONE, NOT_DONE]))
    apart: dict[str, int] = {}
    for step, one, other in seen_by:
        if one is not None and other is not None and one != other:
            apart[step] = apart.get(step, 0) + 1
    return Agreed(
        first=key[0],
        second=key[1],
        attempts=tries,
        measures=measures,
        otherwise=tuple(sorted(apart.items(), key=lambda pair: (-pair[1], pair[0]))),
        wanted=_wanted(measures),
    )


def _wanted(measures: Agreement) -> str:
    """Why something should be done about it: too little alike at all, or hardly ever alike on what fails."""
    observed, failing = measures.observed, measures.each[1]
    if isinstance(observed, NotEstimable):
        return ""
    if observed < LEAST_AGREEMENT:
        return f"They marked {100 * observed:.0f} % of the steps alike, under {100 * LEAST_AGREEMENT:.0f} %: watch one attempt together and compare."
    if not isinstance(failing, NotEstimable) and failing < 0.5:
        return f"Of the steps that either saw fail they agree on {100 * failing:.0f} %: compare what failing looks like, step by step."
    return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """What was done about the agreement of two evaluators, by whom and when: for the file, beside the numbers that led to it."""

    first: str
    second: str
    found: str
    done: str
    by: str
    on: str
