"""Cautions of a plan: each is answered once, with one of a few reasons. The answers are events; nothing answered is asked again.

An answer belongs to the words of its caution, which hold its numbers: when a fact behind it changes, it is asked anew.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from drawndose.bench.findings import Finding, Level
from drawndose.bench.plans import Plan
from drawndose.department.ledger.append import append
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.work.models import Preparation
from drawndose.quantities import Fault, Refused

NAME = "caution.answered"
BY_SECOND = "second-check-needed"
"""The caution that a second reading answers, and no reason."""
COMMON = ("I looked again, and it stands", "nothing else is at hand", "prescriber or pharmacy was asked")
OF_RULE = {
    "off-label": ("the prescriber knows and wants it", "written policy here allows it", "pharmacy was asked"),
    "own-device": ("its own device is used", "the prescriber knows and wants it", "pharmacy was asked"),
    "fill-under-cup": ("the order says this fill", "this cup works with it", "nothing else is at hand"),
    "preservative-carried": (
        "the prescriber knows and wants it",
        "none without it is at hand",
        "given to this person before",
    ),
    "owner-not-said": ("it is this person's, and is marked now", "I take another one"),
    "many-containers": ("counted aloud, and it stands", "pharmacy was asked", "no other strength is at hand"),
}
"""What may be answered, by rule; any other rule is answered out of COMMON. Words of this house."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """A caution with its answer: who said what, and when."""

    rule: str
    says: str
    said: str
    by: str
    at: datetime


def mark_of(found: Finding) -> str:
    """A short mark of a caution, by which a form names it."""
    return hashlib.sha256(f"{found.rule}\n{found.says}".encode()).hexdigest()[:12]


def reasons(found: Finding) -> tuple[str, ...]:
    """Two to four answers to a caution."""
    return OF_RULE.get(found.rule, COMMON)


def answered(made: Preparation) -> tuple[Answered, ...]:
    """Every answer that was given on this sheet, the first first."""
    events = Event.objects.filter(subject_kind="steps", subject=str(made.pk), name=NAME).order_by("number")
    return tuple(
        Answered(rule=one.content["rule"], says=one.content["says"], said=one.reason, by=one.actor, at=one.at)
        for one in events
    )


def to_answer(plan: Plan, known: Iterable[Answered]) -> tuple[Finding, ...]:
    """The cautions of a plan that nobody has answered yet."""
    done = {(one.rule, one.says) for one in known}
    return tuple(
        one
        for one in plan.findings
        if one.level is Level.CAUTION and one.rule != BY_SECOND and (one.rule, one.says) not in done
    )


def answer(made: Preparation, plan: Plan, mark: str, said: str, *, by: Person, key: str | None = None) -> None:
    """Answer a caution of the plan. Refused for one that does not stand there, or that is answered, and for no reason."""
    asked = next((one for one in to_answer(plan, answered(made)) if mark_of(one) == mark), None)
    if asked is None:
        rule = "this caution does not stand on the sheet any more, or is answered"
        raise Refused([Fault(field="caution", rule=rule, came=said, accepted="a caution that is open")])
    if not said.strip():
        accepted = "; ".join(reasons(asked))
        raise Refused(
            [Fault(field="caution", rule="a caution is answered with a reason", came="nothing", accepted=accepted)]
        )
    with transaction.atomic():
        content = {"rule": asked.rule, "says": asked.says}
        append(NAME, "steps", str(made.pk), actor=by.username, reason=said.strip(), key=key, content=content)
