"""May a learner try a skill now: attempts left, days between, the plan of remediation done. Asked before the bell, not after it.

A pass begins a new series: what follows it is re-evaluation, and counts from 1 again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from drawndose.lab.attempts.attempt import Attempt
from drawndose.lab.deciding.decide import Decision, Outcome, current
from drawndose.lab.deciding.rule import Rule
from drawndose.lab.reading import fault, zoned
from drawndose.quantities import gather


@dataclass(frozen=True, slots=True, kw_only=True)
class Remediation:
    """What is practised after a failed attempt: why, what, who planned it, and when it was done and seen by whom."""

    attempt: str
    reason: str
    plan: str
    by: str
    done: datetime | None = None
    seen_by: str = ""

    def __post_init__(self) -> None:
        empty = [name for name in ("attempt", "reason", "plan", "by") if not getattr(self, name).strip()]
        faults = [fault(name, "a plan of practice says it", "", "a few words") for name in empty]
        if self.done is not None and not self.seen_by.strip():
            faults.append(fault("seen_by", "somebody saw that it was done", "", "a name"))
        gather(faults)


@dataclass(frozen=True, slots=True, kw_only=True)
class Admission:
    """number: which attempt this would be. last: there is none after it. two: two evaluators watch it. reasons: what holds it back."""

    number: int
    last: bool
    two: bool
    reasons: tuple[str, ...]

    @property
    def allowed(self) -> bool:
        """True when nothing holds it back."""
        return not self.reasons


def series(attempts: Iterable[Attempt], decisions: Sequence[Decision]) -> tuple[Attempt, ...]:
    """The attempts that count: those after the last pass, by their start."""
    passed = {one.attempt for one in current(decisions) if one.passed}
    found: list[Attempt] = []
    for one in sorted(attempts, key=lambda one: one.started):
        found = [] if one.id in passed else [*found, one]
    return tuple(found)


def admitted(
    attempts: Iterable[Attempt],
    decisions: Sequence[Decision],
    rule: Rule,
    *,
    now: datetime,
    remediations: Iterable[Remediation] = (),
) -> Admission:
    """What the rule says of one more attempt now. attempts and decisions: of one learner and one skill.

    Refused where they are of several. ValueError for a moment without a zone.
    """
    zoned(now, "the moment of an attempt")
    tried = tuple(attempts)
    whose = sorted({f"{one.learner}, {one.skill}" for one in tried})
    gather(
        [fault("attempts", "one learner and one skill at a time", "; ".join(whose), whose[0])] if len(whose) > 1 else []
    )
    past = series(tried, decisions)
    number = len(past) + 1
    reasons = []
    if number > rule.attempts:
        reasons.append(f"All {rule.attempts} attempts are used.")
    if past:
        reasons += _after(past[-1], decisions, rule, now, remediations)
    last = number == rule.attempts
    return Admission(number=number, last=last, two=last and rule.second_on_last, reasons=tuple(reasons))


def _after(
    before: Attempt, decisions: Sequence[Decision], rule: Rule, now: datetime, remediations: Iterable[Remediation]
) -> list[str]:
    """What the attempt before asks for."""
    decided = [one for one in current(decisions) if one.attempt == before.id and one.outcome is not Outcome.OPEN]
    if not decided:
        return [f"Attempt {before.number} is not decided yet."]
    found = []
    ended = before.ended or before.started
    if now < ended + timedelta(days=rule.days_between):
        days = f"{rule.days_between} full day{'s' if rule.days_between > 1 else ''}"
        found.append(f"The rule asks for {days} after the last attempt, which ended {ended:%d %b %Y %H:%M}.")
    done = {one.attempt for one in remediations if one.done is not None}
    if rule.remediation and before.id not in done:
        found.append("The plan of practice after the last attempt is not done yet.")
    return found
