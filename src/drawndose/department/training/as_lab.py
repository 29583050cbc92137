"""The rows as the lab's own storey sees them: marks, sheets, attempts, decisions. Nothing is judged here."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from fractions import Fraction
from typing import Any

from drawndose.department.training.cohort import ident
from drawndose.department.training.kept_evidence import evidence_of
from drawndose.department.training.models import Attempt, Decision, Evaluation
from drawndose.lab.attempts.attempt import Attempt as LabAttempt
from drawndose.lab.attempts.attempt import Sheet
from drawndose.lab.attempts.marks import LONGEST_NOTE, Mark
from drawndose.lab.deciding.decide import Because, Outcome, Reason
from drawndose.lab.deciding.decide import Decision as LabDecision
from drawndose.quantities import Fault, gather

MOST_MARKS = 1_000
"""Marks of one sheet: 60 steps, each marked and undone many times over."""
MARK = {"id": 64, "step": 60, "point": 20, "at": 40, "note": LONGEST_NOTE, "undoes": 64}
"""The texts of a mark as they are sent, and how long each may be."""


def read_marks(data: object) -> tuple[Mark, ...]:
    """Marks as a tablet sends them. Refused, with every fault, for what is none."""
    if not isinstance(data, list) or len(data) > MOST_MARKS:
        came = f"{len(data):,}" if isinstance(data, list) else "no list"
        gather([Fault(field="marks", rule="a list of marks is wanted", came=came, accepted=f"up to {MOST_MARKS:,}")])
    faults: list[Fault] = []
    found = [_mark(one, place, faults) for place, one in enumerate(data if isinstance(data, list) else [], start=1)]
    gather(faults)
    return tuple(one for one in found if one is not None)


def _mark(one: object, place: int, faults: list[Fault]) -> Mark | None:
    field = f"mark {place}"
    texts = {name: one.get(name, "") for name in MARK} if isinstance(one, dict) else {}
    wrong = [name for name, text in texts.items() if not isinstance(text, str) or len(text) > MARK[name]]
    if not texts or wrong or not texts["id"]:
        accepted = "a mark with id, step, point, at, note, prompted and undoes"
        faults.append(
            Fault(field=field, rule="this is no mark", came=", ".join(wrong) or str(one)[:80], accepted=accepted)
        )
        return None
    try:
        at = datetime.fromisoformat(texts.pop("at"))
        return Mark(**texts, at=at, prompted=isinstance(one, dict) and one.get("prompted") is True)
    except ValueError as error:
        accepted = "a moment with its zone: 2026-03-02T13:05:00+00:00"
        faults.append(Fault(field=field, rule="its moment cannot be read", came=str(error), accepted=accepted))
        return None


def kept_mark(mark: Mark) -> dict[str, Any]:
    """A mark without its note: what an event may hold."""
    return {
        "id": mark.id,
        "step": mark.step,
        "point": mark.point,
        "at": mark.at.isoformat(),
        "prompted": mark.prompted,
        "undoes": mark.undoes,
    }


def marks_of(row: Evaluation) -> tuple[Mark, ...]:
    """The marks of a sheet with their notes."""
    return tuple(
        Mark(**(one | {"at": datetime.fromisoformat(one["at"])}), note=row.notes.get(one["id"], ""))
        for one in row.marks
    )


def sheet_of(row: Evaluation) -> Sheet:
    """One evaluator's sheet."""
    return Sheet(
        evaluator=row.evaluator.username, marks=marks_of(row), rating=row.rating, note=row.note, closed=row.closed_at
    )


def attempt_of(row: Attempt, *, states: Iterable[str] = ("sent",)) -> LabAttempt:
    """The attempt with the sheets that were handed in, in their places."""
    rows = row.evaluation_set.filter(state__in=list(states)).select_related("evaluator").order_by("place")
    return LabAttempt(
        id=f"attempt-{row.pk}",
        learner=ident(row.learner),
        skill=row.form.form_id,
        number=row.number,
        form_version=row.form.digest,
        task=str(row.card.get("id", "")),
        started=row.started_at,
        ended=row.ended_at,
        sheets=tuple(sheet_of(one) for one in rows),
        evidence=evidence_of(row.evidence),
        station=str(row.station.number),
        comment=row.comment,
    )


def kept_decision(decision: LabDecision) -> dict[str, Any]:
    """A decision as data, without the words of the person who changed it."""
    reasons = [one for one in decision.reasons if one.because is not Because.CHANGED]
    return {
        "id": decision.id,
        "outcome": decision.outcome.value,
        "percent": str(decision.percent),
        "rule": decision.rule_version,
        "form": decision.form_version,
        "reasons": [
            {
                "because": one.because.value,
                "says": one.says,
                "holds_back": one.holds_back,
                "open": one.open,
                "step": one.step,
            }
            for one in reasons
        ],
    }


def decision_of(row: Decision) -> LabDecision:
    """The decision that a row keeps."""
    data = row.content
    kept = tuple(
        Reason(Because(one["because"]), one["says"], one["holds_back"], one["open"], one["step"])
        for one in data["reasons"]
    )
    passed = data["outcome"] == Outcome.PASSED.value
    said = (Reason(Because.CHANGED, f"{row.by.name}: {row.why}", holds_back=not passed),) if row.why else ()
    return LabDecision(
        id=data["id"],
        attempt=f"attempt-{row.attempt_id}",
        learner=ident(row.attempt.learner),
        skill=row.attempt.form.form_id,
        number=row.attempt.number,
        outcome=Outcome(data["outcome"]),
        reasons=said + kept,
        percent=Fraction(data["percent"]),
        rule_version=data["rule"],
        form_version=data["form"],
        at=row.at,
        by=row.by.username,
        supersedes=row.supersedes.content["id"] if row.supersedes is not None else "",
    )
