"""What a drawn volume owes to the instrument, the reading, the temperature and the person: the terms of a draw.

    V = V_read + e_cal + e_read + e_temp + e_operator - V_lost

The permissible error is a rectangle; fills of one instrument share it, because one instrument errs the same way each time.
Where an instrument has a calibration of its own, what it was found to deliver stands in the place of that error: its bias is
corrected, and only the uncertainty of the calibration counts. Each fill is read anew. A known loss is taken off the volume, not
folded into its uncertainty.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import inf
from typing import Final

from drawndose.bench.draws import Draw
from drawndose.reference import Instrument, Kind, Point
from drawndose.science.budget import Budget, Model, Shape, Term, Values, budget
from drawndose.science.ranges import Range, Valid, hold

TEMPERATURE: Final = "temperature"
OPERATOR: Final = "the person's spread"

VALID: Final[Valid] = {
    "away_degC": Range(0.0, 15.0, "degC", "distance from 20 degC"),
    "gamma_per_degC": Range(0.0, 0.001, "/degC", "cubic expansion"),
    "cv": Range(0.0, 0.5, "", "spread of a person's draws as a share"),
    "nu": Range(1.0, 10_000.0, "", "number of degrees of freedom"),
    "lost_mL": Range(-1.0, 1.0, "mL", "volume lost"),
    "half_width_mL": Range(0.0, 1.0, "mL", "limit of the volume lost"),
}


class Reading(Enum):
    """How finely a scale is read: to its nearest line (off by half a step at most), or to half of that."""

    NEAREST_LINE = 2
    HALF_LINE = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Operator:
    """How far one person's draws spread, as a share of the volume, and by how many degrees of freedom it is known.

    holds_reading: the spread was found by weighing draws, so it holds the reading already, and that is not counted again.
    """

    cv: float
    nu: float = inf
    holds_reading: bool = False

    def __post_init__(self) -> None:
        hold(VALID, cv=self.cv)
        if self.nu != inf:
            hold(VALID, nu=self.nu)


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """A known loss of one draw (a gain where negative): so many mL, known to within half_width_mL."""

    says: str
    lost_mL: float
    half_width_mL: float

    def __post_init__(self) -> None:
        hold(VALID, lost_mL=self.lost_mL, half_width_mL=self.half_width_mL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """Settings of the bench where the drawing is done, each with its default.

    reading: NEAREST_LINE. readings: 1 where the instrument is emptied to its stop, 2 where the volume is the difference of
    two marks. away_degC: how far the liquid may be from 20 degC, 5 by ISO 7886-1:1993, 3.2. gamma_per_degC: expansion of a
    watery liquid, 2.1e-4 (EURACHEM/CITAC QUAM, example A1). operator: None leaves the person out, and the answer says so.
    """

    reading: Reading = Reading.NEAREST_LINE
    readings: int = 1
    away_degC: float = 5.0
    gamma_per_degC: float = 2.1e-4
    operator: Operator | None = None

    def __post_init__(self) -> None:
        hold(VALID, away_degC=self.away_degC, gamma_per_degC=self.gamma_per_degC)
        if self.readings not in (1, 2):
            raise ValueError(f"a volume is read once or as the difference of two readings (got {self.readings!r})")


def reading_half_width(step_mL: float, reading: Reading) -> float:
    """How far a reading can be off [mL].

    Equation:  a = d / 2 to the nearest line, d / 4 to half a line; then u = a / sqrt(3), 0.289 d or 0.144 d
    Symbols:   d   step of the scale [mL]
    Source:    JCGM 100:2008, F.2.2.1 (0.29 of the step; clause number from memory); half a line is derived.
    Example:   a 3 mL syringe in steps of 0.1 mL can be misread by 0.05 mL.

    >>> reading_half_width(0.1, Reading.NEAREST_LINE), reading_half_width(0.1, Reading.HALF_LINE)
    (0.05, 0.025)
    """
    hold({"step_mL": Range(1e-4, 100.0, "mL", "step of a scale")}, step_mL=step_mL)
    return step_mL / reading.value


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One draw ready for the budget: its terms, and how its error in mL follows from their values.

    tag parts the readings of this draw from those of another one; shared errors (the instrument's, the temperature's) have the
    same names everywhere, which is what makes them shared. toward: +1 where more volume is more dose, -1 where it is less; an
    instrument's error is not counted on to cancel between the two.
    """

    tag: str
    instrument: Instrument
    fills: tuple[Fraction, ...]
    conditions: Conditions
    loss: Loss | None = None
    toward: int = 1

    @property
    def volume(self) -> float:
        """What is read off, mL."""
        return float(sum(self.fills, Fraction(0)))

    @property
    def calibration(self) -> str:
        """The name of the instrument's own error."""
        against = "" if self.toward > 0 else " (diluting)"
        return f"calibration of the {self.instrument.name}{against}"

    @property
    def points(self) -> tuple[Point, ...]:
        """What the instrument's own calibration found at every fill; empty where it has none or did not try one of them."""
        own = self.instrument.calibration
        found = [own.at(fill) for fill in self.fills] if own is not None else []
        return tuple(one for one in found if one is not None) if None not in found else ()

    @property
    def reads(self) -> bool:
        """False where the reading is part of another term: a dropper's limit holds it, and so may a person's spread."""
        operator = self.conditions.operator
        return self.instrument.kind is not Kind.DROPPER and not (operator is not None and operator.holds_reading)

    def terms(self) -> tuple[Term, ...]:
        """The terms. Shared ones are standardized: -1 to 1 of their limits, or one standard uncertainty."""
        shape = Shape.NORMAL if self.points else Shape.RECTANGULAR
        found = [Term(name=self.calibration, group=self.calibration, shape=shape, spread=1.0)]
        if self.conditions.away_degC and self.conditions.gamma_per_degC:
            found.append(Term(name=TEMPERATURE, group=TEMPERATURE, shape=Shape.RECTANGULAR, spread=1.0))
        for place in range(len(self.fills)):
            found += self._of_fill(place)
        if self.loss is not None and self.loss.half_width_mL:
            name = f"{self.loss.says}, {self.tag}"
            found.append(Term(name=name, group=self.loss.says, shape=Shape.RECTANGULAR, spread=self.loss.half_width_mL))
        return tuple(found)

    def _of_fill(self, place: int) -> list[Term]:
        found = []
        if self.reads:
            half = reading_half_width(float(self.instrument.step), self.conditions.reading)
            once = self.conditions.readings == 1
            shape = Shape.RECTANGULAR if once else Shape.TRIANGULAR
            group = f"reading the {self.instrument.name}"
            found.append(Term(name=self._name("reading", place), group=group, shape=shape, spread=half * (2 - once)))
        operator = self.conditions.operator
        if operator is not None and operator.cv:
            name = self._name("person", place)
            found.append(Term(name=name, group=OPERATOR, shape=Shape.NORMAL, spread=operator.cv, nu=operator.nu))
        return found

    def _name(self, what: str, place: int) -> str:
        return f"{what}, {self.tag}, fill {place + 1}"

    def error(self, values: Mapping[str, Values]) -> Values:
        """How far the delivered volume is from what was read off, mL."""
        if self.points:
            known = float(sum((one.bias for one in self.points), Fraction(0)))
            found = known + values[self.calibration] * float(sum((one.uncertainty for one in self.points), Fraction(0)))
        else:
            limit = sum((self.instrument.permissible_error(fill) for fill in self.fills), Fraction(0))
            found = values[self.calibration] * float(limit)
        if TEMPERATURE in values:
            found = found + values[TEMPERATURE] * (
                self.volume * self.conditions.gamma_per_degC * self.conditions.away_degC
            )
        for place, fill in enumerate(self.fills):
            if (read := values.get(self._name("reading", place))) is not None:
                found = found + read
            if (person := values.get(self._name("person", place))) is not None:
                found = found + person * float(fill)
        if self.loss is not None:
            found = found - self.loss.lost_mL + values.get(f"{self.loss.says}, {self.tag}", 0.0)
        return found


def measured(drawn: Draw, conditions: Conditions, *, tag: str = "draw", loss: Loss | None = None) -> Measured:
    """A draw of the bench, ready for the budget."""
    return Measured(tag=tag, instrument=drawn.instrument, fills=drawn.fills, conditions=conditions, loss=loss)


def volume_budget(one: Measured, level_percent: float = 95.0) -> Budget:
    """The budget of a delivered volume, mL.

    >>> from fractions import Fraction
    >>> from drawndose import load
    >>> syringe = load().instrument("syringe-1")
    >>> still = Conditions(away_degC=0.0)
    >>> half = Measured(tag="draw", instrument=syringe, fills=(Fraction(1, 2),), conditions=still)
    >>> found = volume_budget(half, 95.45)
    >>> round(found.u, 5), round(found.expanded, 4), found.dominant.name
    (0.01472, 0.0294, 'calibration of the 1 mL syringe, luer lock')
    """
    return budget(volume_model(one), level_percent)


def volume_model(one: Measured) -> Model:
    """A delivered volume, mL, as a function of its terms."""
    return Model(terms=one.terms(), answer=lambda values: one.volume + one.error(values))
