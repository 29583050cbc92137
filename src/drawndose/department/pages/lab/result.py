"""A result in words: evidence, reasons, and what to practise. What the learner sees and signs, and what stands on the attempt's page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from drawndose.bench.draws import ml
from drawndose.department.training.as_lab import attempt_of
from drawndose.department.training.forms import form_of
from drawndose.department.training.kept_evidence import evidence_of
from drawndose.department.training.models import Attempt
from drawndose.lab.attempts.evidence import Evidence, Held, told
from drawndose.lab.attempts.marks import standing
from drawndose.lab.attempts.scored import score
from drawndose.lab.deciding.decide import Because, Decision

NAMES = {
    "answer": "Dose sum",
    "read": "Volume as read",
    "weighed": "Volume by weight",
    "label": "Label",
    "stopped": "Stopping",
}
ICONS = {Held.YES: "check", Held.NO: "octagon-x", Held.DOUBT: "triangle-alert", Held.ABSENT: "clock"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One piece of evidence, or one reason: its name, how it came out, and what is said of it."""

    name: str
    icon: str
    word: str
    says: str
    more: tuple[str, ...] = ()


def evidence_rows(row: Attempt) -> tuple[Row, ...]:
    """What was measured and said, piece by piece; what the card does not ask for is left out."""
    found = evidence_of(row.evidence)
    rows = []
    for name, title in NAMES.items():
        held = found.held(name)
        if held is not Held.NOT_ASKED:
            rows.append(
                Row(
                    name=title,
                    icon=ICONS[held],
                    word=told(name, held),
                    says=_says(found, name),
                    more=_doubts(found, name),
                )
            )
    if found.seconds is not None:
        minutes, seconds = divmod(found.seconds, 60)
        rows.append(Row(name="Time", icon="clock", word="", says=f"{minutes} min {seconds} s"))
    return tuple(rows)


def _says(found: Evidence, name: str) -> str:
    part: Any = getattr(found, name)
    if part is None:
        return ""
    if name == "answer":
        slip = f" This is the answer of a known slip: {part.slip}." if part.slip else ""
        return f"{part.typed}; right is {part.right}.{slip}"
    if name == "read":
        return f"{ml(part.mL)}; asked for {ml(part.target_mL)}, within {ml(part.tolerance_mL)} either way."
    if name == "weighed":
        return f"{part.says} Readings {', '.join(part.readings)} g at {part.t_degC} °C."
    if name == "label":
        missing = f"Missing: {', '.join(part.missing)}. " if part.missing else ""
        wrong = (
            "Otherwise than it must be: " + ", ".join(f"{one} ({stood})" for one, stood in part.wrong) + "."
            if part.wrong
            else ""
        )
        return (missing + wrong).strip() or "Every line is there and right."
    return (part.said and f"Said: {part.said}") or "The learner did not stop."


def _doubts(found: Evidence, name: str) -> tuple[str, ...]:
    return found.weighed.doubts if name == "weighed" and found.weighed is not None else ()


def reason_rows(decision: Decision) -> tuple[Row, ...]:
    """The reasons of a decision; steps that nobody marked are told together."""
    bare = [one.says for one in decision.reasons if one.because is Because.INCOMPLETE]
    told_apart = [one for one in decision.reasons if one.because is not Because.INCOMPLETE or len(bare) == 1]
    rows = tuple(
        Row(
            name=one.because.value,
            icon="clock" if one.open else "octagon-x" if one.holds_back else "check",
            word="open" if one.open else "holds it back" if one.holds_back else "",
            says=one.says,
        )
        for one in told_apart
    )
    if len(bare) < 2:
        return rows
    says = f"{len(bare)} marks are missing."
    more = tuple(one.removeprefix("Not marked: ") for one in bare)
    return (*rows, Row(name=Because.INCOMPLETE.value, icon="clock", word="open", says=says, more=more))


@dataclass(frozen=True, slots=True, kw_only=True)
class ToPractise:
    """A step that an evaluator saw done otherwise: what is done well, and what was noted."""

    says: str
    critical: bool
    notes: tuple[str, ...]


def steps_to_practise(row: Attempt) -> tuple[ToPractise, ...]:
    """The steps that earned less than their whole weight on any sheet: critical ones first."""
    form, seen = form_of(row.form), attempt_of(row)
    scores = [score(one, form) for one in seen.sheets]
    failed = {step.id for one in scores for step in one.failed}
    found = []
    for step in form.shown:
        if step.id in failed:
            marks = [standing(one.marks).get(step.id) for one in seen.sheets]
            notes = tuple(one.note for one in marks if one is not None and one.note)
            found.append(ToPractise(says=step.says, critical=step.critical, notes=notes))
    return tuple(sorted(found, key=lambda one: not one.critical))
