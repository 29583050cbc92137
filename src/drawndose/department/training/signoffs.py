"""Sign-offs: given with a pass, for as long as the rule says; ended with a reason; and who may prepare what today.

A sign-off rests on a decision. While that attempt is open again it does not count, which is read and never kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db import transaction
from django.db.models import Q, QuerySet

from drawndose.department.people.models import Person
from drawndose.department.training.change import begun, change, no, told
from drawndose.department.training.forms import titles
from drawndose.department.training.models import Attempt, Decision, Learner, SignOff
from drawndose.department.training.rules import rule_of
from drawndose.department.training.sealed import seal
from drawndose.department.training.states import DECIDED
from drawndose.lab.deciding.rule import LaterFailure
from drawndose.lab.deciding.signoff import Standing, months_after, standing_on

HELD = ("valid", "suspended")
"""The states of a sign-off that nothing has ended yet."""
OPEN_AGAIN = "rests on a decision that is open again"
LATER, CHANGED = "a later attempt was not passed", "the decision was changed"


def given(decision: Decision, *, by: Person, on: date) -> None:
    """The sign-off of a pass, in the place of the one before. In a transaction.

    None where a later attempt was decided already: that one says how it stands, and what rested on this one ends.
    """
    learner, skill = decision.attempt.learner, decision.attempt.skill
    if _after(decision.attempt).exists():
        _end_own(decision, by)
        return
    months = rule_of(decision.rule).valid_months
    until = months_after(on, months) if months else None
    for was in SignOff.objects.filter(learner=learner, skill=skill, state__in=HELD):
        change(was, "sign_off", "sign_off.replaced", by=by, version=was.version, content={"by": str(decision.pk)})
    row = SignOff(learner=learner, skill=skill, decision=decision, by=by, since=on, until=until)
    content = {
        "learner": str(learner.pk),
        "skill": skill,
        "decision": str(decision.pk),
        "since": on.isoformat(),
        "until": until.isoformat() if until is not None else "",
    }
    begun(row, "sign_off", "sign_off.given", by=by, content=content)


def not_passed(decision: Decision, *, by: Person) -> None:
    """What rests on this attempt ends; what rests on an earlier one ends or is suspended, as the rule of this one says. In a transaction."""
    _end_own(decision, by)
    attempt = decision.attempt
    ends = rule_of(decision.rule).later_failure is LaterFailure.ENDS
    event, states = ("sign_off.ended", HELD) if ends else ("sign_off.suspended", ("valid",))
    rows = SignOff.objects.filter(skill=attempt.skill, state__in=states)
    for one in rows.filter(_whose(attempt.learner, "learner"), _beside(attempt, "lt", "decision__attempt__")):
        content = {"by": str(decision.pk), "attempt": str(attempt.pk), "outcome": decision.outcome}
        change(one, "sign_off", event, by=by, version=one.version, content=content, why_ended=LATER)


def _end_own(decision: Decision, by: Person) -> None:
    for one in SignOff.objects.filter(decision__attempt=decision.attempt, state__in=HELD):
        content = {"by": str(decision.pk)}
        change(one, "sign_off", "sign_off.ended", by=by, version=one.version, content=content, why_ended=CHANGED)


def _after(attempt: Attempt) -> QuerySet[Decision]:
    """The decisions on later attempts of the same person and skill, also where one is open again."""
    made = Decision.objects.filter(attempt__skill=attempt.skill, state="stands")
    return made.filter(_whose(attempt.learner, "attempt__learner"), _beside(attempt, "gt", "attempt__"))


def _whose(learner: Learner, path: str) -> Q:
    """Of this learner, or of the same person in another class."""
    own = Q(**{path: learner})
    return own if learner.person_id is None else own | Q(**{f"{path}__person": learner.person_id})


def _beside(attempt: Attempt, side: str, path: str) -> Q:
    """Begun before (lt) or after (gt) this attempt; of attempts begun at one moment, by their keys."""
    at = attempt.started_at
    return Q(**{f"{path}started_at__{side}": at}) | Q(**{f"{path}started_at": at, f"{path}pk__{side}": attempt.pk})


def end(row: SignOff, *, by: Person, version: int, why: str, key: str | None = None) -> None:
    """End a sign-off before its time. Refused without a reason."""
    said = told(why, "reason", "why it ends before its day")
    content = {"why": seal(row.learner.salt, said)}
    with transaction.atomic():
        change(row, "sign_off", "sign_off.ended", by=by, version=version, key=key, content=content, why_ended=said)


def resume(row: SignOff, *, by: Person, version: int, why: str, key: str | None = None) -> None:
    """A suspended sign-off counts again. Refused without a reason, for the learner's own word, and where another one holds."""
    said = told(why, "reason", "who looked at it, and why it may count again")
    if row.learner.person_id == by.pk:
        raise no("by", "nobody decides on themselves", by.name, "another person than the learner")
    if SignOff.objects.filter(learner=row.learner, skill=row.skill, state="valid").exists():
        raise no("sign-off", "another one holds for this skill", row.learner.name, "the one that holds")
    content = {"why": seal(row.learner.salt, said)}
    with transaction.atomic():
        change(row, "sign_off", "sign_off.resumed", by=by, version=version, key=key, content=content, why_ended="")


@dataclass(frozen=True, slots=True, kw_only=True)
class May:
    """One line of the list: who, which skill, since and until when, and how it stands today: valid, due soon, or past."""

    row: SignOff
    title: str
    stands: str


def who_may(today: date) -> tuple[May, ...]:
    """Everyone who was signed off and not ended, by name and skill; one that does not count says why."""
    return _lines(SignOff.objects.filter(state__in=HELD), today)


def ended() -> tuple[May, ...]:
    """The sign-offs that ended before their day, where no other one of the skill took their place; each with its reason."""
    held = set(SignOff.objects.filter(state__in=HELD).values_list("learner_id", "skill"))
    last = {(one.learner_id, one.skill): one.pk for one in SignOff.objects.filter(state="ended").order_by("pk")}
    return _lines(SignOff.objects.filter(pk__in=[pk for key, pk in last.items() if key not in held]), date.min)


def _lines(rows: QuerySet[SignOff], today: date) -> tuple[May, ...]:
    words = titles()
    around = rows.select_related("learner__cohort", "learner__person", "by", "decision__attempt")
    found = [May(row=one, title=words.get(one.skill, one.skill), stands=stands(one, today)) for one in around]
    return tuple(sorted(found, key=lambda one: (one.row.learner.name, one.title)))


def stopped(row: SignOff) -> str:
    """Why a sign-off does not count, whatever the day; "" where it counts until its day."""
    if row.state == "replaced":
        return "replaced by a later one"
    if row.state != "valid":
        return f"{row.state}: {row.why_ended}"
    return "" if row.decision.attempt.state in DECIDED else OPEN_AGAIN


def counting(rows: QuerySet[SignOff]) -> QuerySet[SignOff]:
    """Those that count until their day."""
    return rows.filter(state="valid", decision__attempt__state__in=DECIDED)


def stands(row: SignOff, today: date) -> str:
    """valid, due soon, past its day, or why it does not count."""
    by_day = {Standing.VALID: "valid", Standing.DUE: "due soon", Standing.OVER: "past its day"}
    return stopped(row) or by_day[standing_on(row.until, today)]


def signed_off(person: Person, skill: str, today: date) -> bool:
    """True when this person has a sign-off of this skill that counts today."""
    return why_not(person, skill, today) is None


def why_not(person: Person, skill: str, today: date) -> str | None:
    """Why this person is not signed off today, "" where they never were; None where they are.

    A reason that somebody typed stays with the training records.
    """
    rows = SignOff.objects.filter(learner__person=person, skill=skill, since__lte=today)
    if any(one.until is None or one.until >= today for one in counting(rows)):
        return None
    last = rows.exclude(state="replaced").select_related("decision__attempt").order_by("-pk").first()
    return f"the sign-off {_says(last, today)}" if last is not None else ""


def _says(row: SignOff, today: date) -> str:
    said = row.state if row.state != "valid" and row.why_ended not in {LATER, CHANGED} else stands(row, today)
    return said if row.state == "ended" or said == OPEN_AGAIN else f"is {said}"
