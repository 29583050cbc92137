"""May a learner try a skill now: the rule of the lab's own storey, asked over the records."""

from __future__ import annotations

from dataclasses import replace

from drawndose.department.ledger.append import now
from drawndose.department.training.as_lab import attempt_of, decision_of
from drawndose.department.training.models import Attempt, Decision, Learner, Remediation, RuleVersion
from drawndose.department.training.rules import rule_of
from drawndose.lab.deciding.admit import Admission, admitted
from drawndose.lab.deciding.admit import Remediation as Practice


def admission(learner: Learner, skill: str, rule: RuleVersion) -> Admission:
    """What the rule says of a try now; a learner who is not enrolled begins none."""
    rows = (
        Attempt.objects.filter(learner=learner, skill=skill)
        .exclude(state="broken off")
        .select_related("learner__person", "form", "station")
        .order_by("number")
    )
    # A skill is one over all versions of its form, and the programme's own copy has an id of its own.
    tried = [replace(attempt_of(one), skill=skill) for one in rows]
    kept = Decision.objects.filter(attempt__in=rows).select_related(
        "attempt__learner__person", "attempt__form", "by", "supersedes"
    )
    practice = Remediation.objects.filter(attempt__in=rows).select_related("by", "done_by")
    found = admitted(
        tried,
        [decision_of(one) for one in kept],
        rule_of(rule),
        now=now(),
        remediations=[_practice(one) for one in practice],
    )
    if learner.state == "enrolled":
        return found
    return replace(found, reasons=(f"The learner is {learner.state}.", *found.reasons))


def _practice(row: Remediation) -> Practice:
    seen = row.done_by.username if row.done_by is not None else ""
    return Practice(
        attempt=f"attempt-{row.attempt_id}",
        reason="the decision",
        plan=row.plan,
        by=row.by.username,
        done=row.done_at,
        seen_by=seen,
    )
