"""Sign-offs: given with a pass, for as long as the rule says; ended with a reason; and who may prepare what today."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db import transaction

from drawndose.department.people.models import Person
from drawndose.department.training.change import begun, change, told
from drawndose.department.training.forms import titles
from drawndose.department.training.models import Decision, SignOff
from drawndose.department.training.rules import rule_of
from drawndose.department.training.sealed import seal
from drawndose.lab.deciding.signoff import Standing, months_after, standing_on


def given(decision: Decision, *, by: Person, on: date) -> SignOff:
    """The sign-off of a pass, in the place of the one before. In a transaction."""
    learner, skill = decision.attempt.learner, decision.attempt.skill
    months = rule_of(decision.rule).valid_months
    until = months_after(on, months) if months else None
    for was in SignOff.objects.filter(learner=learner, skill=skill, state="valid"):
        change(was, "sign_off", "sign_off.replaced", by=by, version=was.version, content={"by": str(decision.pk)})
    row = SignOff(learner=learner, skill=skill, decision=decision, by=by, since=on, until=until)
    content = {
        "learner": str(learner.pk),
        "skill": skill,
        "decision": str(decision.pk),
        "since": on.isoformat(),
        "until": until.isoformat() if until is not None else "",
    }
    return begun(row, "sign_off", "sign_off.given", by=by, content=content)


def end(row: SignOff, *, by: Person, version: int, why: str, key: str | None = None) -> None:
    """End a sign-off before its time. Refused without a reason."""
    said = told(why, "reason", "why it ends before its day")
    content = {"why": seal(row.learner.salt, said)}
    with transaction.atomic():
        change(row, "sign_off", "sign_off.ended", by=by, version=version, key=key, content=content, why_ended=said)


@dataclass(frozen=True, slots=True, kw_only=True)
class May:
    """One line of the list: who, which skill, since and until when, and how it stands today: valid, due soon, or past."""

    row: SignOff
    title: str
    stands: str


def who_may(today: date) -> tuple[May, ...]:
    """Everyone who was signed off and not ended, by name and skill."""
    words = titles()
    rows = SignOff.objects.filter(state="valid").select_related("learner__cohort", "learner__person", "by")
    found = [May(row=one, title=words.get(one.skill, one.skill), stands=stands(one, today)) for one in rows]
    return tuple(sorted(found, key=lambda one: (one.row.learner.name, one.title)))


def stands(row: SignOff, today: date) -> str:
    """valid, due soon, or past its day."""
    return {Standing.VALID: "valid", Standing.DUE: "due soon", Standing.OVER: "past its day"}[
        standing_on(row.until, today)
    ]


def signed_off(person: Person, skill: str, today: date) -> bool:
    """True when this person has a sign-off of this skill that is valid today."""
    rows = SignOff.objects.filter(learner__person=person, skill=skill, state="valid", since__lte=today)
    return any(one.until is None or one.until >= today for one in rows)
