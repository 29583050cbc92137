"""What the files hold: one try with everything about it, one learner, one class. Gathered by whoever keeps the records; printed here.

People are named by ids; `names` says what each is called. Nothing is worked out here that the lab does not say.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, tzinfo

from drawndose.lab.attempts.attempt import Attempt
from drawndose.lab.cohort.rows import Action
from drawndose.lab.deciding.admit import Remediation
from drawndose.lab.deciding.decide import Decision, Outcome, current
from drawndose.lab.deciding.rule import Rule
from drawndose.lab.deciding.signoff import SignOff
from drawndose.lab.forms.form import Form
from drawndose.lab.reading import refused
from drawndose.lab.tasks.task import Item


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed:
    """That a learner has read and signed the result of a try."""

    attempt: str
    by: str
    at: datetime


@dataclass(frozen=True, kw_only=True)
class Records:
    """The records of a programme that a file is made of, of one learner or of many.

    forms and rules: every version that an attempt or a decision names. cards: what was set, by the attempt's id. names: what
    people are called. zone: in which moments are told; today: of the printing. waiting: ids of attempts that are open again,
    whatever was decided on them before. Refused where an attempt names a form, or a decision a rule, that is not there: a file
    without its forms cannot be defended.
    """

    forms: tuple[Form, ...]
    rules: tuple[Rule, ...]
    attempts: tuple[Attempt, ...]
    decisions: tuple[Decision, ...]
    zone: tzinfo
    today: date
    names: Mapping[str, str] = field(default_factory=dict)
    cards: Mapping[str, str] = field(default_factory=dict)
    remediation: tuple[Remediation, ...] = ()
    signoffs: tuple[SignOff, ...] = ()
    signed: tuple[Signed, ...] = ()
    actions: tuple[Action, ...] = ()
    supplies: tuple[Item, ...] = ()
    waiting: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        forms, rules = {one.version for one in self.forms}, {one.version for one in self.rules}
        missing = [f"form {one.form_version[:8]}" for one in self.attempts if one.form_version not in forms]
        missing += [f"rule {one.rule_version[:8]}" for one in self.decisions if one.rule_version not in rules]
        if missing:
            came = ", ".join(sorted(set(missing)))
            raise refused("file", "a version that the records name is missing", came, "every form and rule with them")

    @property
    def standing(self) -> tuple[Decision, ...]:
        """The decisions that are results: those that stand, decide something, and are not open again."""
        return tuple(
            one
            for one in current(self.decisions)
            if one.attempt not in self.waiting and one.outcome is not Outcome.OPEN
        )

    @property
    def decided(self) -> frozenset[str]:
        """The ids of the attempts that are decided. Of all others a file tells that they were, and nothing that was marked or measured."""
        return frozenset(one.attempt for one in self.standing)

    @property
    def results(self) -> tuple[Attempt, ...]:
        """The attempts that are decided."""
        decided = self.decided
        return tuple(one for one in self.attempts if one.id in decided)

    def called(self, ident: str) -> str:
        """A person's name, or the id where none is known."""
        return self.names.get(ident, ident)

    def form_of(self, attempt: Attempt) -> Form:
        """The version that the attempt was marked on."""
        return next(one for one in self.forms if one.version == attempt.form_version)

    def rule_of(self, decision: Decision) -> Rule:
        """The version that decided."""
        return next(one for one in self.rules if one.version == decision.rule_version)

    def at(self, moment: datetime | None) -> str:
        """A moment in words, "" for none."""
        return f"{moment.astimezone(self.zone):%d %b %Y %H:%M}" if moment is not None else ""

    def of(self, learner: str) -> Iterable[Attempt]:
        """The attempts of one learner by their start."""
        return sorted((one for one in self.attempts if one.learner == learner), key=lambda one: one.started)
