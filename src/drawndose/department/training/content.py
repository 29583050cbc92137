"""The content of one learner's page, gathered as words. Nothing is judged here."""

from __future__ import annotations

from dataclasses import dataclass

from drawndose.department.training.agreement import attempts_of
from drawndose.department.training.as_lab import attempt_of, decision_of
from drawndose.department.training.forms import form_of, titles
from drawndose.department.training.kept_evidence import evidence_of
from drawndose.department.training.models import Attempt, Decision, Learner, Remediation, SignOff
from drawndose.department.training.signoffs import stopped
from drawndose.department.training.states import DECIDED
from drawndose.lab.attempts.evidence import Evidence
from drawndose.lab.attempts.marks import standing
from drawndose.lab.attempts.scored import score
from drawndose.lab.deciding.decide import percent_words


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """One step on an attempt: its words, whether it is critical, and the point and note of each evaluator ("" for none)."""

    says: str
    critical: bool
    points: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One attempt whole: the row, its card, evaluators with percents, every step, evidence, decisions in turn, practice."""

    row: Attempt
    form: str
    evaluators: tuple[tuple[str, str], ...]
    steps: tuple[StepLine, ...]
    evidence: Evidence
    decisions: tuple[tuple[Decision, tuple[str, ...]], ...]
    practice: Remediation | None

    @property
    def decided(self) -> bool:
        """Whether there is a result to show."""
        return self.row.state in DECIDED


@dataclass(frozen=True, slots=True, kw_only=True)
class LearnerFile:
    """Everything about one learner."""

    learner: Learner
    attempts: tuple[Tried, ...]
    sign_offs: tuple[tuple[str, SignOff, str], ...]


def learner_file(learner: Learner) -> LearnerFile:
    """The file of one learner."""
    words = titles()
    mine = [one for one in attempts_of(learner.cohort) if one.learner_id == learner.pk]
    offs = SignOff.objects.filter(learner=learner).select_related("by", "decision__attempt").order_by("pk")
    return LearnerFile(
        learner=learner,
        attempts=tuple(tried(one) for one in mine),
        sign_offs=tuple((words.get(one.skill, one.skill), one, stopped(one) or one.state) for one in offs),
    )


def tried(row: Attempt) -> Tried:
    """One attempt whole."""
    form, seen = form_of(row.form), attempt_of(row)
    marks = [standing(one.marks) for one in seen.sheets]
    names = [one.evaluator.name for one in row.evaluation_set.filter(state="sent").order_by("place")]
    percents = [percent_words(score(one, form).percent) for one in seen.sheets]
    rows = Decision.objects.filter(attempt=row).select_related("by", "rule", "supersedes", "attempt__learner__person")
    return Tried(
        row=row,
        form=form.name,
        evaluators=tuple(zip(names, percents, strict=True)),
        steps=tuple(
            StepLine(
                says=step.says,
                critical=step.critical,
                points=tuple(one[step.id].point if step.id in one else "" for one in marks),
                notes=tuple(one[step.id].note if step.id in one else "" for one in marks),
            )
            for step in form.shown
        ),
        evidence=evidence_of(row.evidence),
        decisions=tuple((one, tuple(why.says for why in decision_of(one).reasons)) for one in rows.order_by("pk")),
        practice=Remediation.objects.filter(attempt=row).select_related("by", "done_by").first(),
    )
