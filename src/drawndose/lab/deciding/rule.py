"""The rule by which attempts are decided, as data with a version made of its content.

What real programmes do differs (percent floors of 75 and 80, two or three attempts, days between them, a plan of remediation
before the next, two evaluators on the last), and no source was read that joins all critical steps and a percent floor in one
rule; so each part is a setting, and the defaults are ours.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cached_property

from drawndose.lab.reading import Data, fault, share, text_or_none, version_of, whole
from drawndose.quantities import Fault, gather, show_number
from drawndose.reference.table import Table

MOST_ATTEMPTS, MOST_DAYS, MOST_MONTHS, MOST_MINUTES = 20, 365, 120, 240
SCHEMA = "drawndose.rule/1"


class VolumeBy(Enum):
    """How the measured volume must be shown to be inside the task's tolerance."""

    NOT_ASKED = "not asked"
    READ = "as the evaluator reads it"
    WEIGHED = "by weight"


class LaterFailure(Enum):
    """What becomes of a sign-off when a later attempt of the same person and skill is not passed."""

    ENDS = "the sign-off ends"
    SUSPENDED = "the sign-off is suspended"


@dataclass(frozen=True, kw_only=True)
class Rule:
    """When a learner passes, how often they may try, and for how long a pass lasts.

    all_critical: no critical step may fail; it must be true: a step that may be failed loses its mark on the form.
    percent_floor: the least percent that passes, reached or above. volume: how the volume is shown. sum_right, label_right:
    the dose sum and the label must be right. within_minutes: the longest time, 0 for none. attempts: how many there are.
    days_between: full days from one attempt to the next. remediation: after a failed attempt its plan is done before the
    next. second_on_last: two evaluators watch the last attempt. valid_months: until re-evaluation, 0 for no end (12 is common
    practice, from memory; no interval was read in a standard). later_failure: what a later attempt that is not passed does to an
    earlier sign-off; that it ends is common practice, from memory, and local policy goes before it. A rule written before there was
    this choice says that it ends, and keeps its version.
    """

    id: str
    title: str
    all_critical: bool = True
    percent_floor: Fraction = Fraction(80)
    volume: VolumeBy = VolumeBy.WEIGHED
    sum_right: bool = True
    label_right: bool = True
    within_minutes: int = 0
    attempts: int = 3
    days_between: int = 1
    remediation: bool = True
    second_on_last: bool = True
    valid_months: int = 12
    later_failure: LaterFailure = LaterFailure.ENDS
    edition: int = 1
    replaces: str = ""

    def __post_init__(self) -> None:
        gather(rule_faults(self))

    @cached_property
    def version(self) -> str:
        """Its content's SHA-256: 64 hexadecimal digits."""
        return version_of(rule_data(self))

    @property
    def name(self) -> str:
        """Title and edition with the beginning of the version."""
        return f"{self.title}, edition {self.edition} ({self.version[:8]})"


def rule_faults(rule: Rule) -> list[Fault]:
    """What cannot be in a rule."""
    found = []
    if not rule.all_critical:
        rule_says = "a critical step that may be failed is not critical"
        accepted = "true; or take the mark off the step, on your copy of the form"
        found.append(fault("all_critical", rule_says, "false", accepted))
    if not 0 <= rule.percent_floor <= 100:
        found.append(fault("percent_floor", "a percent is wanted", show_number(abs(rule.percent_floor)), "0 to 100"))
    bounds = {
        "attempts": (1, MOST_ATTEMPTS),
        "days_between": (0, MOST_DAYS),
        "valid_months": (0, MOST_MONTHS),
        "within_minutes": (0, MOST_MINUTES),
        "edition": (1, 10_000),
    }
    for name, (low, high) in bounds.items():
        if not low <= getattr(rule, name) <= high:
            found.append(fault(name, "a whole number is wanted", getattr(rule, name), f"{low} to {high}"))
    return found


def rule_data(rule: Rule) -> Data:
    """A rule as plain data; `read_rule` is the way back."""
    chosen = {} if rule.later_failure is LaterFailure.ENDS else {"later_failure": rule.later_failure.value}
    return {
        "schema": SCHEMA,
        "id": rule.id,
        "title": rule.title,
        "all_critical": rule.all_critical,
        "percent_floor": str(rule.percent_floor),
        "volume": rule.volume.value,
        "sum_right": rule.sum_right,
        "label_right": rule.label_right,
        "within_minutes": rule.within_minutes,
        "attempts": rule.attempts,
        "days_between": rule.days_between,
        "remediation": rule.remediation,
        "second_on_last": rule.second_on_last,
        "valid_months": rule.valid_months,
        "edition": rule.edition,
        "replaces": rule.replaces,
        **chosen,
    }


def read_rule(data: object) -> Rule:
    """The rule that data say. Refused, with every fault, for what is none."""
    faults: list[Fault] = []
    table = Table(data, "rule", faults)
    if (schema := table.text("schema", SCHEMA)) != SCHEMA:
        table.fault("schema", "the schema is not known here", schema, SCHEMA)
    parts = {
        "id": table.text("id"),
        "title": table.text("title"),
        "all_critical": table.truth("all_critical", True),
        "percent_floor": share(table, "percent_floor"),
        "volume": table.choice("volume", VolumeBy),
        "sum_right": table.truth("sum_right", True),
        "label_right": table.truth("label_right", True),
        "within_minutes": whole(table, "within_minutes", 0, MOST_MINUTES, 0),
        "attempts": whole(table, "attempts", 1, MOST_ATTEMPTS),
        "days_between": whole(table, "days_between", 0, MOST_DAYS),
        "remediation": table.truth("remediation", True),
        "second_on_last": table.truth("second_on_last", True),
        "valid_months": whole(table, "valid_months", 0, MOST_MONTHS),
        "later_failure": table.choice("later_failure", LaterFailure, LaterFailure.ENDS),
        "edition": whole(table, "edition", 1, 10_000, 1),
        "replaces": text_or_none(table, "replaces"),
    }
    table.done()
    gather(faults)
    return Rule(**parts)  # type: ignore[arg-type]
