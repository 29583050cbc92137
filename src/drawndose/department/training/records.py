"""The records as the lab's papers print them: out of the rows, of one learner or of a class."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from zoneinfo import ZoneInfo

from drawndose.department.people.models import Person
from drawndose.department.training.as_lab import attempt_of, decision_of
from drawndose.department.training.cohort import ident
from drawndose.department.training.forms import form_of
from drawndose.department.training.models import (
    Action,
    Attempt,
    Cohort,
    Decision,
    FormVersion,
    LabDay,
    Learner,
    Remediation,
    RuleVersion,
    SignOff,
)
from drawndose.department.training.rules import rule_of
from drawndose.department.training.signoffs import stopped
from drawndose.department.training.states import DECIDED
from drawndose.lab.cohort.rows import Action as LabAction
from drawndose.lab.deciding.admit import Remediation as Practice
from drawndose.lab.deciding.signoff import SignOff as LabSignOff
from drawndose.lab.papers.file import Records, Signed
from drawndose.lab.tasks.task import Item


def records_of_class(cohort: Cohort, zone: str, today: date) -> Records:
    """Everything of a class."""
    learners = list(cohort.learner_set.select_related("person").order_by("number"))
    return _records(cohort, learners, zone, today, actions=_actions(cohort))


def records_of_learner(learner: Learner, zone: str, today: date) -> Records:
    """Everything of one learner; nobody else is in it."""
    return _records(learner.cohort, [learner], zone, today)


def _records(
    cohort: Cohort, learners: Sequence[Learner], zone: str, today: date, actions: tuple[LabAction, ...] = ()
) -> Records:
    rows = list(
        Attempt.objects.filter(learner__in=learners)
        .exclude(state__in=["broken off", "begun"])
        .select_related("learner__person", "station__day", "form", "signed_by")
        .order_by("started_at")
    )
    made = Decision.objects.filter(attempt__in=rows).select_related(
        "attempt__learner__person", "attempt__form", "by", "supersedes", "rule"
    )
    practice = Remediation.objects.filter(attempt__in=rows).select_related("by", "done_by", "attempt")
    offs = SignOff.objects.filter(learner__in=learners).select_related(
        "by", "decision__rule", "decision__attempt__form", "learner__person"
    )
    names = dict(Person.objects.values_list("username", "name")) | {ident(one): one.name for one in learners}
    return Records(
        forms=tuple(form_of(one) for one in FormVersion.objects.filter(pk__in={row.form_id for row in rows})),
        rules=tuple(rule_of(one) for one in RuleVersion.objects.filter(pk__in={one.rule_id for one in made})),
        attempts=tuple(attempt_of(one) for one in rows),
        decisions=tuple(decision_of(one) for one in made.order_by("pk")),
        zone=ZoneInfo(zone),
        today=today,
        names=names,
        cards={f"attempt-{one.pk}": str(one.card.get("order", "")) for one in rows},
        remediation=tuple(_practice(one) for one in practice.order_by("pk")),
        signoffs=tuple(_sign_off(one) for one in offs.order_by("pk")),
        signed=tuple(
            Signed(attempt=f"attempt-{one.pk}", by=one.learner.name, at=one.signed_at) for one in rows if one.signed_at
        ),
        actions=actions,
        supplies=_supplies(cohort),
        waiting=frozenset(f"attempt-{one.pk}" for one in rows if one.state not in DECIDED),
    )


def _practice(row: Remediation) -> Practice:
    return Practice(
        attempt=f"attempt-{row.attempt_id}",
        reason="it was not passed",
        plan=row.plan,
        by=row.by.username,
        done=row.done_at,
        seen_by=row.done_by.username if row.done_by is not None else "",
    )


def _sign_off(row: SignOff) -> LabSignOff:
    return LabSignOff(
        person=ident(row.learner),
        skill=row.decision.attempt.form.form_id,
        decision=row.decision.content["id"],
        rule_version=row.decision.rule.digest,
        by=row.by.username,
        on=row.since,
        until=row.until,
        stopped=stopped(row),
    )


def _actions(cohort: Cohort) -> tuple[LabAction, ...]:
    rows = Action.objects.filter(cohort=cohort).select_related("by").order_by("pk")
    found = []
    for one in rows:
        first, _, second = one.skill.partition(" and ")
        on = f"{one.at:%d %b %Y}"
        found.append(
            LabAction(
                first=first, second=second, found=str(one.found.get("says", "")), done=one.says, by=one.by.name, on=on
            )
        )
    return tuple(found)


def _supplies(cohort: Cohort) -> tuple[Item, ...]:
    """What all days of the class needed together."""
    count: dict[tuple[str, str], int] = {}
    for day in LabDay.objects.filter(cohort=cohort).exclude(state="dropped"):
        for one in day.supplies:
            key = (one["what"], one["simulated"])
            count[key] = count.get(key, 0) + one["count"]
    return tuple(Item(what=what, count=number, simulated=by) for (what, by), number in count.items())
