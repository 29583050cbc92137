"""May a learner try a skill now: attempts used, days between, the plan of remediation. By the rule in use, over the records."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from drawndose.department.ledger.append import now
from drawndose.department.training.models import Attempt, Decision, Learner, Remediation, RuleVersion
from drawndose.department.training.rules import rule_of
from drawndose.lab.deciding.decide import Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class Admission:
    """number: which try this would be. last: it is the last. reasons: what holds it back; none where it is allowed."""

    number: int
    last: bool
    reasons: tuple[str, ...]


def tries(learner: Learner, skill: str) -> list[Attempt]:
    """The tries that count since the last pass, in their order. A pass begins a new series: what follows is re-evaluation."""
    rows = Attempt.objects.filter(learner=learner, skill=skill).exclude(state="broken off").order_by("number")
    found: list[Attempt] = []
    passed = set(
        Decision.objects.filter(attempt__in=rows, state="stands", outcome=Outcome.PASSED.value).values_list(
            "attempt_id", flat=True
        )
    )
    for row in rows:
        found = [] if row.pk in passed else [*found, row]
    return found


def admission(learner: Learner, skill: str, rule_row: RuleVersion) -> Admission:
    """What the rule says of a try now."""
    rule, past = rule_of(rule_row), tries(learner, skill)
    number = len(past) + 1
    reasons = []
    if learner.state != "enrolled":
        reasons.append(f"The learner is {learner.state}.")
    if number > rule.attempts:
        reasons.append(f"All {rule.attempts} attempts are used.")
    if past:
        reasons += _after(past[-1], rule.days_between, rule.remediation)
    return Admission(number=number, last=number == rule.attempts, reasons=tuple(reasons))


def _after(last: Attempt, days: int, remediation: bool) -> list[str]:
    if last.state in {"begun", "sent"}:
        return [f"Attempt {last.number} is not decided yet."]
    found = []
    ended = last.ended_at or last.started_at
    if days and now() < ended + timedelta(days=days):
        found.append(
            f"The rule asks for {days} full day{'s' if days > 1 else ''} after the last attempt ({ended:%d %b %Y})."
        )
    if remediation and not Remediation.objects.filter(attempt=last, state="done").exists():
        found.append("The plan of practice after the last attempt is not done yet.")
    return found
