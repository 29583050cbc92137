"""The file as CSV: the class's attempts with marks counted, its grades, its sign-offs, decisions and practice. Exact texts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from drawndose.department.training import file_tables
from drawndose.department.training.agreement import attempts_of
from drawndose.department.training.as_lab import attempt_of
from drawndose.department.training.csv_cells import Row, csv_of, only
from drawndose.department.training.forms import form_of, titles
from drawndose.department.training.kept_evidence import evidence_of
from drawndose.department.training.models import Action, Attempt, Cohort, Decision, Learner, Remediation, SignOff
from drawndose.department.training.signoffs import counting, stopped
from drawndose.department.training.states import DECIDED
from drawndose.lab.attempts.evidence import PARTS, Held
from drawndose.lab.attempts.scored import score
from drawndose.lab.deciding.decide import percent_words

UNDECIDED = "not decided yet"
"""What stands where an outcome would, while a try has none; scores, evidence and reasons are then left empty."""


def grades(cohort: Cohort) -> str:
    """One row for each learner and skill: how the last attempt stands, its percent once it is decided, and the sign-off."""
    words = titles()
    made = {one.attempt_id: one for one in _standing(cohort)}
    last: dict[tuple[int, str], Attempt] = {}
    for one in attempts_of(cohort):
        last[one.learner_id, one.skill] = one
    offs = {(one.learner_id, one.skill): one for one in counting(SignOff.objects.filter(learner__cohort=cohort))}
    heads = ("number", "name", "skill", "attempts", "outcome", "percent", "rule", "signed off since", "until")

    def rows() -> Iterator[Row]:
        for learner in cohort.learner_set.order_by("number"):
            for skill, title in words.items():
                one = last.get((learner.pk, skill))
                decision = made.get(one.pk) if one is not None and one.state in DECIDED else None
                off = offs.get((learner.pk, skill))
                yield (
                    learner.number,
                    learner.name,
                    title,
                    one.number if one is not None else 0,
                    decision.outcome if decision is not None else UNDECIDED if one is not None else "",
                    decision.content["percent"] if decision is not None else "",
                    decision.content["rule"][:8] if decision is not None else "",
                    off.since if off is not None else "",
                    off.until or "no end" if off is not None else "",
                )

    return csv_of(heads, rows())


def _standing(cohort: Cohort) -> Iterable[Decision]:
    return Decision.objects.filter(attempt__learner__cohort=cohort, state="stands").select_related("by", "rule")


def attempts_csv(cohort: Cohort) -> str:
    """One row for each attempt: form and rule versions, both evaluators' percents, evidence, outcome with its reasons."""
    made = {one.attempt_id: one for one in _standing(cohort)}
    heads = (
        *("number", "name", "skill", "attempt", "started", "ended", "station", "task", "form version", "state"),
        *("evaluators", "percents", "critical failures", "unmarked", *PARTS, "seconds"),
        *("outcome", "reasons", "decided by", "rule version", "signed", "comment"),
    )
    return csv_of(heads, (_attempt_row(one, made.get(one.pk)) for one in attempts_of(cohort)))


def _attempt_row(row: Attempt, decision: Decision | None) -> Row:
    form, seen, taken = form_of(row.form), attempt_of(row), evidence_of(row.evidence)
    # Before the decision no file tells what was marked: a second evaluator marks without it.
    told = decision is not None and row.state in DECIDED
    scores = [score(one, form) for one in seen.sheets] if told else []
    held = [taken.held(one) if told else Held.NOT_ASKED for one in PARTS]
    return (
        row.learner.number,
        row.learner.name,
        row.form.title,
        row.number,
        row.started_at.isoformat(),
        row.ended_at.isoformat() if row.ended_at is not None else "",
        row.station.number,
        row.card.get("id", ""),
        row.form.digest[:8],
        row.state,
        "; ".join(one.evaluator for one in scores),
        "; ".join(percent_words(one.percent) for one in scores),
        "; ".join(step.id for one in scores for step in one.critical_failures),
        sum(len(one.unmarked) for one in scores) if told else "",
        *("" if one is Held.NOT_ASKED else one.value for one in held),
        taken.seconds if told and taken.seconds is not None else "",
        *_decided(decision if told else None),
        row.signed_at.isoformat() if told and row.signed_at is not None else "",
        row.comment if told else "",
    )


def _decided(decision: Decision | None) -> Row:
    if decision is None:
        return (UNDECIDED, "", "", "")
    reasons = "; ".join(one["says"] for one in decision.content["reasons"])
    return (decision.outcome, reasons, decision.by.name, decision.rule.digest[:8])


def sign_offs(cohort: Cohort) -> str:
    """One row for each sign-off there ever was."""
    words = titles()
    rows = (
        SignOff.objects.filter(learner__cohort=cohort)
        .select_related("learner", "by", "decision__rule", "decision__attempt")
        .order_by("pk")
    )
    heads = ("number", "name", "skill", "since", "until", "state", "by", "rule version", "why it does not count")
    return csv_of(
        heads,
        (
            (
                one.learner.number, one.learner.name, words.get(one.skill, one.skill), one.since, one.until or "no end",
                one.state, one.by.name, one.decision.rule.digest[:8], stopped(one),
            )
            for one in rows
        ),
    )  # fmt: skip


def decisions(cohort: Cohort) -> str:
    """Every decision, also those that were superseded, with who took it and why; of a try that is open again its result is left out."""
    rows = Decision.objects.filter(attempt__learner__cohort=cohort).select_related("attempt__learner", "by", "rule")
    heads = (
        "decision",
        "number",
        "name",
        "skill",
        "attempt",
        "outcome",
        "percent",
        "by",
        "at",
        "rule",
        "state",
        "why",
        "supersedes",
    )
    return csv_of(
        heads,
        (
            (
                one.content["id"], one.attempt.learner.number, one.attempt.learner.name, one.attempt.skill,
                one.attempt.number, one.outcome if told else UNDECIDED, one.content["percent"] if told else "",
                one.by.name, one.at.isoformat(), one.rule.digest[:8], one.state, one.why if told else "",
                one.supersedes.content["id"] if one.supersedes else "",
            )
            for one in rows.select_related("supersedes").order_by("pk")
            for told in [one.attempt.state in DECIDED]
        ),
    )  # fmt: skip


def practice(cohort: Cohort) -> str:
    """Every plan of practice, and that it was seen done."""
    rows = Remediation.objects.filter(attempt__learner__cohort=cohort).select_related(
        "attempt__learner", "by", "done_by"
    )
    heads = ("number", "name", "skill", "after attempt", "plan", "by", "at", "seen done by", "at")
    return csv_of(
        heads,
        (
            (
                one.attempt.learner.number, one.attempt.learner.name, one.attempt.skill, one.attempt.number, one.plan,
                one.by.name, one.at.isoformat(), one.done_by.name if one.done_by else "",
                one.done_at.isoformat() if one.done_at else "",
            )
            for one in rows.order_by("pk")
        ),
    )  # fmt: skip


def actions(cohort: Cohort) -> str:
    """What was done about evaluators who differed, beside the figures that led to it."""
    rows = Action.objects.filter(cohort=cohort).select_related("by").order_by("pk")
    heads = ("skill", "found", "done", "by", "at")
    return csv_of(
        heads, ((one.skill, one.found.get("says", ""), one.says, one.by.name, one.at.isoformat()) for one in rows)
    )


FILES: dict[str, Callable[[Cohort], str]] = {
    "grades": grades,
    "attempts": attempts_csv,
    "marks": file_tables.marks,
    "decisions": decisions,
    "practice": practice,
    "sign-offs": sign_offs,
    "forms": file_tables.forms,
    "steps": file_tables.steps,
    "agreement": file_tables.agreement,
    "evaluators": file_tables.evaluators,
    "actions": actions,
    "resources": file_tables.resources,
}
"""Each file of a class by its name."""
OF_LEARNER = ("grades", "attempts", "marks", "decisions", "practice", "sign-offs")
"""The files that there are of one learner alone."""


def of_learner(learner: Learner, name: str) -> str:
    """The rows of one learner in a file of their class. KeyError for a file that there is not of a learner alone."""
    if name not in OF_LEARNER:
        raise KeyError(name)
    return only(FILES[name](learner.cohort), "number", learner.number)
