"""What the prescriber wrote, as exact values: drugs with their doses, the fill, how and when, and the patient's facts."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum

from drawndose.quantities import Quantity, Strength
from drawndose.reference import Drug


class FillRule(Enum):
    """What a volume in the order means. Dilute TO a total and ADD a volume are not the same."""

    TO_TOTAL = "to a total"
    ADD = "add"
    UNDILUTED = "undiluted"
    UNCLEAR = "unclear"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """The fill as ordered. volume is None when undiluted; diluent is "" when the order names none."""

    rule: FillRule
    volume: Quantity | None
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose:
    """One dose as written: an amount, a volume of a named strength, a dose per kg or per hour; a range when upper is set.

    amount: mg, units, mL, mg/kg, mL/kg, mg/h, mg/kg/h, mg/kg/day ...; also: the same dose said a second way (a volume
    beside an amount); strength: the strength that the order names; minimum and maximum: limits of a dose per kg.
    """

    amount: Quantity | None
    upper: Quantity | None = None
    also: Quantity | None = None
    strength: Strength | None = None
    minimum: Quantity | None = None
    maximum: Quantity | None = None
    divided_by: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DrugLine:
    """One drug of the order. moiety is None when the order says only the drug's own name."""

    drug: Drug
    moiety: str | None
    as_written: str
    dose: Dose


@dataclass(frozen=True, slots=True, kw_only=True)
class Frequency:
    """How often, as text and, where it has one, the interval between doses, the number in a day, and after how many it ends.

    days: for how many days; count and days are never both said.
    """

    says: str
    interval: Quantity | None = None
    in_a_day: int | None = None
    count: int | None = None
    days: int | None = None
    unclear: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Patient:
    """What of the patient a sum or a safeguard needs: weight in kg, age, and what the patient does not tolerate.

    allergies: drugs and excipients by their ids in the catalogue; what it does not know as it was written.
    """

    weight: Quantity | None = None
    age: Quantity | None = None
    allergies: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Something missing or unclear, asked for by name. No plan is made while a blocking question is open."""

    field: str
    asks: str
    options: tuple[str, ...] = ()
    blocking: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """One piece of the order's text and what it was read as."""

    start: int
    end: int
    field: str
    reading: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """An order as understood, with the questions that its own text leaves open.

    last_dose: when the last dose was given, by the clock of the place, where the order says it.
    """

    lines: tuple[DrugLine, ...]
    fill: Fill | None = None
    diluent: str = ""
    route: str = ""
    device: str = ""
    cup: Quantity | None = None
    frequency: Frequency | None = None
    as_needed: str = ""
    duration: Quantity | None = None
    output: Quantity | None = None
    patient: Patient = Patient()
    last_dose: datetime | None = None
    questions: tuple[Question, ...] = ()
    text: str = ""
    spans: tuple[Span, ...] = ()

    @property
    def continuous(self) -> bool:
        """True when a dose is a rate: so much in an hour."""
        return any(line.dose.amount is not None and is_rate(line.dose.amount) for line in self.lines)

    @property
    def blocking(self) -> tuple[Question, ...]:
        """The questions that must be answered before any plan."""
        return tuple(question for question in self.questions if question.blocking)


def is_rate(amount: Quantity) -> bool:
    """True for a dose per hour or minute, which runs; a dose per day is divided into single doses."""
    return any(symbol in {"h", "min", "s"} and power < 0 for symbol, power in amount.unit.parts)
