"""One attempt: a learner, a task, the form's version, the sheet of each evaluator, and the evidence.

It is bound to the version of the form that it was begun with. The id is made where the attempt is begun, so that an attempt
that is sent twice is one attempt.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from drawndose.lab.attempts.evidence import Evidence
from drawndose.lab.attempts.marks import Mark, mark_faults
from drawndose.lab.forms.form import Form
from drawndose.lab.reading import fault, zoned
from drawndose.quantities import Fault

MOST_RATING = 5
"""The overall impression goes from 0 to 5, as at exam stations that were read; it decides nothing by itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What one evaluator marked. rating: overall impression, 0 to 5, or None. closed: when the sheet was handed in, or None."""

    evaluator: str
    marks: tuple[Mark, ...] = ()
    rating: int | None = None
    note: str = ""
    closed: datetime | None = None

    def __post_init__(self) -> None:
        if self.closed is not None:
            zoned(self.closed, "the moment a sheet was closed")


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """One try.

    skill: the form's id. number: which try of this skill by this learner, from 1. task: the task's id. sheets: the first
    evaluator's, then the second's where there was one; each is marked without seeing the other. comment: the learner's own.
    """

    id: str
    learner: str
    skill: str
    number: int
    form_version: str
    task: str
    started: datetime
    sheets: tuple[Sheet, ...]
    evidence: Evidence = field(default_factory=Evidence)
    ended: datetime | None = None
    station: str = ""
    comment: str = ""

    def __post_init__(self) -> None:
        zoned(self.started, "the start of an attempt")
        if self.ended is not None:
            zoned(self.ended, "the end of an attempt")

    @property
    def evaluators(self) -> tuple[str, ...]:
        """Who watched."""
        return tuple(one.evaluator for one in self.sheets)


def attempt_faults(attempt: Attempt, form: Form) -> list[Fault]:
    """What cannot be in an attempt, against the form that it names; none for a sound one."""
    found = _binding_faults(attempt, form)
    found += _people_faults(attempt)
    if attempt.number < 1:
        found.append(fault("number", "attempts are counted from 1", attempt.number, "1, 2, 3"))
    if attempt.ended is not None and attempt.ended < attempt.started:
        came = attempt.ended.isoformat()
        found.append(fault("ended", "it ends before it started", came, f"after {attempt.started.isoformat()}"))
    for sheet in attempt.sheets:
        if sheet.rating is not None and not 0 <= sheet.rating <= MOST_RATING:
            field = f"rating by {sheet.evaluator}"
            found.append(fault(field, "the overall impression", sheet.rating, f"0 to {MOST_RATING}"))
        if not found:  # marks mean something only on the form that they were made on
            found += mark_faults(sheet.marks, form)
    return found


def _binding_faults(attempt: Attempt, form: Form) -> list[Fault]:
    if attempt.skill != form.id:
        return [fault("skill", "the form is of another skill", attempt.skill, form.id)]
    if attempt.form_version != form.version:
        rule = "the attempt was marked on another version of the form; it keeps that version and is judged by it"
        return [fault("form_version", rule, attempt.form_version[:8], f"the form of that version, not {form.name}")]
    return []


def _people_faults(attempt: Attempt) -> list[Fault]:
    found = []
    if not attempt.sheets:
        found.append(fault("sheets", "nobody watched", "none", "one evaluator, or two"))
    if len(attempt.sheets) > 2:
        found.append(fault("sheets", "too many evaluators", len(attempt.sheets), "one evaluator, or two"))
    if attempt.learner in attempt.evaluators:
        rule = "nobody evaluates themselves"
        found.append(fault("evaluator", rule, attempt.learner, "another person than the learner"))
    if len(set(attempt.evaluators)) < len(attempt.sheets):
        rule = "the second evaluator is another person than the first"
        found.append(fault("evaluator", rule, ", ".join(attempt.evaluators), "two people"))
    return found


def outdated(attempt: Attempt, newest: Form) -> str:
    """A sentence where the form has a newer version than the attempt's; "" where it has not. The attempt stays as it is."""
    if attempt.skill != newest.id or attempt.form_version == newest.version:
        return ""
    return (
        f"Attempt {attempt.number} was marked on version {attempt.form_version[:8]} of this form; the form in use now is "
        f"{newest.name}. It is judged by the version it was marked on."
    )
