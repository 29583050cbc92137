"""Decisions: taken by the rule, changed only by another one with a name and a reason; practice before the next try; the learner signs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from zoneinfo import ZoneInfo

from django.db import transaction

from drawndose.department.ledger.append import Replayed, now
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.training import signoffs
from drawndose.department.training.as_lab import attempt_of, decision_of, kept_decision
from drawndose.department.training.change import begun, change, no, told
from drawndose.department.training.cohort import ident
from drawndose.department.training.forms import form_of
from drawndose.department.training.models import Attempt, Decision, Remediation
from drawndose.department.training.rules import rule_of
from drawndose.department.training.sealed import seal
from drawndose.department.work.change import Moved
from drawndose.lab.attempts.attempt import Attempt as LabAttempt
from drawndose.lab.deciding.decide import Decision as LabDecision
from drawndose.lab.deciding.decide import Outcome, changed
from drawndose.lab.deciding.decide import decide as by_rule
from drawndose.quantities import Fault, gather


def looked(attempt: Attempt, *, by: Person) -> LabDecision:
    """What the rule says of a try as it stands; nothing is kept. Refused for one that cannot be judged."""
    form, rule = form_of(attempt.form), rule_of(attempt.station.day.rule)
    count = Decision.objects.filter(attempt=attempt).count()
    name = f"attempt-{attempt.pk}.{count + 1}"
    return by_rule(_in_series(attempt), form, rule, at=now(), by=by.username, ident=name)


def _in_series(attempt: Attempt) -> LabAttempt:
    """The try with its number since the last pass: the rule counts those."""
    passed = Decision.objects.filter(
        attempt__learner=attempt.learner,
        attempt__skill=attempt.skill,
        attempt__number__lt=attempt.number,
        state="stands",
        outcome=Outcome.PASSED.value,
    )
    last = passed.order_by("-attempt__number").values_list("attempt__number", flat=True).first() or 0
    seen = attempt_of(attempt)
    between = Attempt.objects.filter(
        learner=attempt.learner, skill=attempt.skill, number__gt=last, number__lt=attempt.number
    ).exclude(state="broken off")
    return replace(seen, number=between.count() + 1)


def standing(attempt: Attempt) -> Decision | None:
    """The decision that stands; None where it was never decided."""
    return Decision.objects.filter(attempt=attempt, state="stands").select_related("by", "rule").first()


def take(attempt: Attempt, *, by: Person, version: int, why: str = "", key: str | None = None) -> Decision:
    """Decide a try that was sent, by the rule of its day. Refused with everything that is still open.

    why: needed where an earlier decision stands: a mark was corrected, or evidence came.
    """
    _once(key)
    if attempt.state != "sent":
        raise no("attempt", f"it is {attempt.state}", "a decision", "a try that was handed in")
    found = looked(attempt, by=by)
    if found.outcome is Outcome.OPEN:
        gather(
            Fault(
                field=one.because.value, rule=one.says.rstrip("."), came="not there yet", accepted="add it, then decide"
            )
            for one in found.reasons
            if one.open
        )
    was = standing(attempt)
    said = told(why, "reason", "what was corrected") if was is not None else ""
    with transaction.atomic():
        row = _kept(attempt, found, by=by, was=was, why=said, key=key)
        content = {"decision": str(row.pk), "outcome": row.outcome}
        change(attempt, "attempt", "attempt.decided", by=by, version=version, content=content)
        _follows(row, by)
    return row


def alter(
    attempt: Attempt, outcome: Outcome, *, by: Person, version: int, why: str, key: str | None = None
) -> Decision:
    """Another decision in the place of the one that stands. Refused without a reason, and for a pass over a critical failure."""
    _once(key)
    was = standing(attempt)
    if was is None or attempt.state not in {"decided", "signed"}:
        raise no("attempt", f"it is {attempt.state}", "a changed decision", "a try that was decided")
    found = changed(
        decision_of(was),
        outcome,
        by=by.username,
        why=why,
        at=now(),
        ident=f"attempt-{attempt.pk}.{_count(attempt) + 1}",
    )
    if by.username == ident(attempt.learner):
        raise no("by", "nobody decides on themselves", by.name, "another person than the learner")
    with transaction.atomic():
        row = _kept(attempt, found, by=by, was=was, why=why.strip(), key=key)
        change(attempt, "attempt", "attempt.reopened", by=by, version=version, content={"by": str(row.pk)})
        content = {"decision": str(row.pk), "outcome": row.outcome}
        change(attempt, "attempt", "attempt.decided", by=by, version=attempt.version, content=content)
        _follows(row, by)
    return row


def _count(attempt: Attempt) -> int:
    return Decision.objects.filter(attempt=attempt).count()


def _once(key: str | None) -> None:
    if key is not None and (done := Event.objects.filter(key=key).first()) is not None:
        raise Replayed(done)


def _kept(
    attempt: Attempt, found: LabDecision, *, by: Person, was: Decision | None, why: str, key: str | None
) -> Decision:
    if was is not None:
        change(was, "decision", "decision.superseded", by=by, version=was.version, content={"by": found.id})
    content = kept_decision(found)
    row = Decision(
        attempt=attempt,
        outcome=found.outcome.value,
        content=content,
        why=why,
        rule=attempt.station.day.rule,
        by=by,
        at=found.at,
        supersedes=was,
    )
    told_of = content | {"attempt": str(attempt.pk), "why": seal(attempt.salt, why)}
    return begun(row, "decision", "decision.taken", by=by, key=key, content=told_of)


def _follows(row: Decision, by: Person) -> None:
    """A pass gives a sign-off; what is no pass takes its own away, and by the rule those of earlier attempts."""
    if row.outcome == Outcome.PASSED.value:
        signoffs.given(row, by=by, on=_day(row))
    else:
        signoffs.not_passed(row, by=by)


def _day(row: Decision) -> date:
    """The day of the try by the clock of the place."""
    at = row.attempt.ended_at or row.attempt.started_at
    return at.astimezone(ZoneInfo(row.attempt.station.day.zone)).date()


def plan_practice(attempt: Attempt, plan: str, *, by: Person, key: str | None = None) -> Remediation:
    """What the learner practises before the next try. Refused where the last decision was a pass, or a plan is there."""
    said = told(plan, "plan", "which steps, how often, with whom")
    was = standing(attempt)
    if was is None or was.outcome == Outcome.PASSED.value:
        raise no(
            "plan",
            "there is nothing to make up for",
            was.outcome if was else "no decision",
            "a try that was not passed",
        )
    if Remediation.objects.filter(attempt=attempt).exists():
        raise no("plan", "a plan was made for this try", said, "carry it out")
    row = Remediation(attempt=attempt, plan=said, by=by, at=now())
    content = {"attempt": str(attempt.pk), "plan": seal(attempt.salt, said)}
    with transaction.atomic():
        return begun(row, "remediation", "remediation.planned", by=by, key=key, content=content)


def practised(row: Remediation, *, by: Person, version: int, key: str | None = None) -> None:
    """The plan was carried out, seen by an evaluator. Refused for the learner's own word."""
    if by.username == ident(row.attempt.learner):
        raise no("by", "an evaluator has seen it done", by.name, "another person than the learner")
    with transaction.atomic():
        change(row, "remediation", "remediation.done", by=by, version=version, key=key, done_by=by, done_at=now())


def sign(attempt: Attempt, *, by: Person, version: int, comment: str = "", key: str | None = None) -> None:
    """The learner has seen the result, and may say something to it. Refused for anyone else."""
    _once(key)
    if attempt.version != version:
        raise Moved(attempt)
    if attempt.learner.person_id != by.pk:
        raise no("signature", "the learner signs for themselves", by.name, attempt.learner.name)
    if len(comment) > 2000:
        raise no("comment", "the comment is too long", f"{len(comment):,} characters", "2,000 characters at most")
    said = comment.strip()
    content = {"comment": seal(attempt.salt, said)}
    values = {"comment": said, "signed_by": by, "signed_at": now()}
    with transaction.atomic():
        change(attempt, "attempt", "attempt.signed", by=by, version=version, key=key, content=content, **values)
