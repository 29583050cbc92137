"""A decision on one attempt by a rule: the outcome with every reason, and what it rests on.

Safe bias, written down: a critical failure that either evaluator saw counts; of two percents the lower counts; what cannot be
told is not passed, and not failed either: it is looked at again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import Enum
from fractions import Fraction

from drawndose.lab.attempts.attempt import Attempt, attempt_faults
from drawndose.lab.attempts.evidence import Held
from drawndose.lab.attempts.scored import Score, score
from drawndose.lab.deciding.rule import Rule, VolumeBy
from drawndose.lab.forms.form import Form
from drawndose.lab.reading import fault, refused, zoned
from drawndose.quantities import Quantity, gather, show_about


class Outcome(Enum):
    """What is decided. REPEAT: not passed, and attempts are left. FAILED: not passed, and none is left."""

    PASSED = "passed"
    REPEAT = "repeat"
    FAILED = "failed"
    OPEN = "cannot be decided yet"


class Because(Enum):
    """What a reason is about."""

    CRITICAL = "critical step"
    PERCENT = "percent"
    VOLUME = "volume"
    SUM = "dose sum"
    LABEL = "label"
    STOP = "stopping"
    TIME = "time"
    INCOMPLETE = "not complete"
    SECOND = "second evaluator"
    MET = "all met"
    CHANGED = "changed by a person"


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason. holds_back: it keeps the attempt from passing. step: the form step that it is about, "" for none."""

    because: Because
    says: str
    holds_back: bool = True
    open: bool = False
    step: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What was decided on one attempt, by which rule and on which form. supersedes: the id of the decision it takes the place of."""

    id: str
    attempt: str
    learner: str
    skill: str
    number: int
    outcome: Outcome
    reasons: tuple[Reason, ...]
    percent: Fraction
    rule_version: str
    form_version: str
    at: datetime
    by: str
    supersedes: str = ""

    @property
    def passed(self) -> bool:
        """True when the outcome is a pass."""
        return self.outcome is Outcome.PASSED


def decide(attempt: Attempt, form: Form, rule: Rule, *, at: datetime, by: str, ident: str = "") -> Decision:
    """The decision on an attempt by a rule, on the form that the attempt was marked on.

    at: now, with its zone. by: who takes the decision. ident: the decision's id, the attempt's with the rule's version where
    none is given. Refused for an attempt that is not sound, and for one beyond the attempts allowed.
    """
    zoned(at, "the moment of a decision")
    gather(attempt_faults(attempt, form))
    if attempt.number > rule.attempts:
        raise refused("number", "the rule allows no further attempt", attempt.number, f"1 to {rule.attempts}")
    if by == attempt.learner:
        raise refused("by", "nobody decides on themselves", by, "another person than the learner")
    scores = [score(one, form) for one in attempt.sheets]
    reasons = tuple(_reasons(attempt, scores, rule))
    return Decision(
        id=ident or f"{attempt.id}.{rule.version[:8]}",
        attempt=attempt.id,
        learner=attempt.learner,
        skill=attempt.skill,
        number=attempt.number,
        outcome=_outcome(reasons, attempt.number < rule.attempts),
        reasons=reasons,
        percent=min(one.percent for one in scores),
        rule_version=rule.version,
        form_version=form.version,
        at=at,
        by=by,
    )


def changed(decision: Decision, outcome: Outcome, *, by: str, why: str, at: datetime, ident: str = "") -> Decision:
    """A new decision in the place of an old one, by a named person with a reason. The old one stays as it was.

    Refused without a name or a reason, for the learner's own name, where nothing changes, and for a pass in spite of a
    critical failure: the mark is what must be corrected then, by a new mark with its own note.
    """
    faults = []
    if not by.strip() or by == decision.learner:
        faults.append(fault("by", "a decision is changed by a named person, not the learner", by, "a name"))
    if not why.strip():
        faults.append(fault("why", "a decision is changed with a reason", why, "a sentence"))
    if outcome is decision.outcome:
        faults.append(fault("outcome", "nothing changes", outcome.value, "another outcome"))
    if zoned(at, "the moment of a decision") < decision.at:
        faults.append(fault("at", "it lies before the decision that it changes", at.isoformat(), "a later moment"))
    if outcome is Outcome.PASSED and any(one.because is Because.CRITICAL for one in decision.reasons):
        rule = "a critical failure never passes; if the mark is wrong, mark the step again and decide anew"
        faults.append(fault("outcome", rule, outcome.value, "repeat, failed"))
    gather(faults)
    said = Reason(Because.CHANGED, f"{by}: {why.strip()}", holds_back=outcome is not Outcome.PASSED)
    kept = tuple(one for one in decision.reasons if one.because is not Because.MET)
    new = ident or f"{decision.id}+"
    return replace(decision, id=new, outcome=outcome, reasons=(said, *kept), at=at, by=by, supersedes=decision.id)


def current(decisions: Sequence[Decision]) -> tuple[Decision, ...]:
    """The decisions that stand: those that no other one supersedes."""
    gone = {one.supersedes for one in decisions}
    return tuple(one for one in decisions if one.id not in gone)


def _outcome(reasons: Sequence[Reason], left: bool) -> Outcome:
    if any(one.holds_back and not one.open for one in reasons):
        return Outcome.REPEAT if left else Outcome.FAILED
    return Outcome.OPEN if any(one.open for one in reasons) else Outcome.PASSED


def _reasons(attempt: Attempt, scores: Sequence[Score], rule: Rule) -> list[Reason]:
    found = [*_by_marks(attempt, scores, rule), *_by_evidence(attempt, rule)]
    if any(one.holds_back for one in found):
        return found
    return [Reason(Because.MET, "Everything that the rule asks for is met.", holds_back=False), *found]


def _by_marks(attempt: Attempt, scores: Sequence[Score], rule: Rule) -> list[Reason]:
    found = []
    for one in scores:
        seen = f" ({one.evaluator})" if len(scores) > 1 else ""
        for step in one.critical_failures:
            found.append(Reason(Because.CRITICAL, f"Critical: {step.failure}.{seen}", step=step.id))
        for step in one.unmarked:
            says = f"Not marked: {step.says}{seen}"
            found.append(Reason(Because.INCOMPLETE, says, open=True, step=step.id))
    lowest = min(one.percent for one in scores)
    if lowest < rule.percent_floor and all(one.complete for one in scores):
        floor = percent_words(rule.percent_floor)
        found.append(Reason(Because.PERCENT, f"{percent_words(lowest)} of the form; the rule asks for {floor}."))
    if attempt.number == rule.attempts and rule.second_on_last and len(scores) < 2:
        says = "The last attempt is watched by two evaluators; one sheet is there."
        found.append(Reason(Because.SECOND, says, open=True))
    return found


def _by_evidence(attempt: Attempt, rule: Rule) -> list[Reason]:
    taken = attempt.evidence
    wrong = "It was not stopped, or not for the reason that was there."
    found = _shown(Because.STOP, taken.held("stopped"), "Whether it was stopped", wrong)
    if rule.sum_right:
        found += _shown(Because.SUM, taken.held("answer"), "The dose sum", "The dose sum is wrong.")
    if rule.volume is not VolumeBy.NOT_ASKED:
        what = "weighed" if rule.volume is VolumeBy.WEIGHED else "read"
        how = f"The volume, {rule.volume.value}"
        found += _shown(Because.VOLUME, taken.held(what), how, f"{how}, is outside its tolerance.")
    if rule.label_right:
        found += _shown(Because.LABEL, taken.held("label"), "The label", "The label is not as it must be.")
    if rule.within_minutes:
        late = taken.seconds is not None and taken.seconds > rule.within_minutes * 60
        held = Held.ABSENT if taken.seconds is None else (Held.NO if late else Held.YES)
        found += _shown(Because.TIME, held, "The time", f"It took longer than {rule.within_minutes} min.")
    return found


def _shown(because: Because, held: Held, what: str, wrong: str) -> list[Reason]:
    """The reason that one piece of evidence gives; none where it holds. what: it is about; wrong: said where it does not hold."""
    if held in {Held.YES, Held.NOT_ASKED}:
        return []
    open_ = {Held.DOUBT: f"{what}: it cannot be told; measure again.", Held.ABSENT: f"{what}: not taken yet."}
    return [Reason(because, open_.get(held, wrong), open=held is not Held.NO)]


def percent_words(percent: Fraction) -> str:
    """A percent for people: exact where a short decimal is, else "about"."""
    return show_about(Quantity.of_text(percent, "%"))
