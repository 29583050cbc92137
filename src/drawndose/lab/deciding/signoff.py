"""Sign-offs: who is signed off for which skill, until when, and who may prepare what today.

A sign-off stands on a decision. When that decision is changed by a new one, the sign-off stands no more; nothing is erased.
"""

from __future__ import annotations

import calendar
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum

from drawndose.lab.deciding.decide import Decision, current
from drawndose.lab.deciding.rule import Rule
from drawndose.lab.forms.form import Form
from drawndose.lab.reading import fault
from drawndose.quantities import gather
from drawndose.reference import Container

SOON = 30
"""Days before its end from which a sign-off is called due. A setting."""


class Standing(Enum):
    """How a sign-off stands on a day."""

    VALID = "valid"
    DUE = "due for re-evaluation"
    OVER = "over"


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOff:
    """A person is signed off for a skill. until: the last day on which it holds, None where the rule sets no end.

    stopped: why it does not count, whatever the day, "" where it does: it ended, is suspended, or its decision is open again.
    """

    person: str
    skill: str
    decision: str
    rule_version: str
    by: str
    on: date
    until: date | None
    stopped: str = ""

    def standing(self, today: date, soon: int = SOON) -> Standing:
        """How it stands today."""
        return standing_on(self.until, today, soon)


def standing_on(until: date | None, today: date, soon: int = SOON) -> Standing:
    """How a sign-off that holds until a day, or without an end, stands today."""
    if until is None:
        return Standing.VALID
    left = (until - today).days
    return Standing.OVER if left < 0 else (Standing.DUE if left <= soon else Standing.VALID)


def months_after(day: date, months: int) -> date:
    """The same day so many months later, or the last of that month where it has no such day.

    >>> months_after(date(2026, 8, 31), 6)
    datetime.date(2027, 2, 28)
    """
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def signed_off(decision: Decision, rule: Rule, *, by: str, on: date) -> SignOff:
    """The sign-off of a pass. Refused, with every fault, for no pass, another rule, no name, or the learner's own name."""
    faults = []
    if not decision.passed:
        faults.append(fault("decision", "only a pass is signed off", decision.outcome.value, "passed"))
    if decision.rule_version != rule.version:
        came = decision.rule_version[:8]
        faults.append(fault("rule", "the decision was taken by another rule", came, rule.version[:8]))
    if not by.strip() or by == decision.learner:
        faults.append(fault("by", "somebody else signs, by name", by, "a name"))
    if on < decision.at.date():
        faults.append(fault("on", "it lies before the decision", on, f"{decision.at.date()} or later"))
    gather(faults)
    until = months_after(on, rule.valid_months) if rule.valid_months else None
    return SignOff(
        person=decision.learner,
        skill=decision.skill,
        decision=decision.id,
        rule_version=rule.version,
        by=by,
        on=on,
        until=until,
    )


def standing(signoffs: Iterable[SignOff], decisions: Sequence[Decision]) -> dict[tuple[str, str], SignOff]:
    """The sign-off that holds for each person and skill: the latest that counts, whose decision still stands and is a pass."""
    passes = {one.id for one in current(decisions) if one.passed}
    kept = sorted((one for one in signoffs if one.decision in passes and not one.stopped), key=lambda one: one.on)
    return {(one.person, one.skill): one for one in kept}


@dataclass(frozen=True, slots=True, kw_only=True)
class May:
    """One row: a person, a skill, how the sign-off stands today, and its last day; None where there is none or no end."""

    person: str
    skill: str
    standing: Standing | None
    until: date | None

    @property
    def allowed(self) -> bool:
        """True when it holds today."""
        return self.standing in {Standing.VALID, Standing.DUE}


def who_may(
    people: Sequence[str],
    skills: Sequence[str],
    signoffs: Iterable[SignOff],
    decisions: Sequence[Decision],
    today: date,
    soon: int = SOON,
) -> tuple[May, ...]:
    """Who may do what today: each person with each skill, in the order in which they were named."""
    held = standing(signoffs, decisions)
    rows = []
    for person in people:
        for skill in skills:
            one = held.get((person, skill))
            how = one.standing(today, soon) if one is not None else None
            rows.append(May(person=person, skill=skill, standing=how, until=one.until if one is not None else None))
    return tuple(rows)


def needed_for(container: Container, forms: Iterable[Form]) -> tuple[Form, ...]:
    """The skills that a preparation from this container asks for: the form of its kind, and those for any kind."""
    return tuple(one for one in forms if one.container in {container, None})


def against_preparing(
    person: str,
    container: Container,
    forms: Iterable[Form],
    signoffs: Iterable[SignOff],
    decisions: Sequence[Decision],
    today: date,
) -> tuple[str, ...]:
    """Why this person may not prepare from this container today, in sentences; none where they may. For a department that asks."""
    held = standing(signoffs, decisions)
    found = []
    for form in needed_for(container, forms):
        one = held.get((person, form.id))
        if one is None:
            found.append(f"{person} is not signed off for: {form.title}.")
        elif one.standing(today) is Standing.OVER:
            found.append(f"The sign-off of {person} for {form.title} ended {one.until:%d %b %Y}; re-evaluation is due.")
    return tuple(found)
