"""What is printed about breathing, gas and nebulized aerosol: patterns of breath, cylinders, heliox, and published studies."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import TypeVar

from drawndose.reference.provenance import How, Origin, take_origin
from drawndose.reference.span import Span, take_in, take_span
from drawndose.reference.table import Table

Made = TypeVar("Made")


class Side(Enum):
    """How a published figure is to be taken."""

    BOTH = "as printed"
    AT_MOST = "at most"
    AT_LEAST = "at least"


class Who(Enum):
    """Whose breath it is. Only for healthy adults is there a model of where droplets settle."""

    ADULT = "adult"
    CHILD = "child"
    INFANT = "infant"
    NEONATE = "neonate"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """A way of breathing. tidal: one breath, mL; rate: breaths a minute; duty: the share of a breath in which air goes in."""

    id: str
    name: str
    who: Who
    tidal: Span
    rate: Span
    duty: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder:
    """A size of gas cylinder and what it holds for each psi, L."""

    id: str
    litres_per_psi: Fraction
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Heliox:
    """A mixture of helium and oxygen, and what an oxygen flowmeter's reading is multiplied with."""

    id: str
    helium: Fraction
    factor: Fraction
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """One published figure that the ranges are held against.

    measure: what was measured, a name that `science.aerosol.studies` knows. setup: in the words of the command line, what was
    set up. value: as printed, a share or minutes; low and high: one standard deviation around it, or the printed range.
    fitted: a range of ours was made from this very figure, so that agreement proves nothing. unknown: what the text that was
    read does not say of the set-up, so that a range stands in for it. remark: what there is to say where it lies outside.
    """

    id: str
    says: str
    measure: str
    setup: tuple[str, ...]
    low: Fraction
    value: Fraction
    high: Fraction
    side: Side
    fitted: bool
    unknown: str
    remark: str
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What a text says of nebulizing, in our words, and what to do: the ground of a caution."""

    id: str
    says: str
    do: str
    origin: Origin


@dataclass(frozen=True, kw_only=True)
class AerosolBook:
    """Everything in the file, by its ids. fed_share: of what a pump feeds, how much was measured to leave a small jet."""

    patterns: dict[str, Pattern]
    cylinders: dict[str, Cylinder]
    heliox: dict[str, Heliox]
    studies: dict[str, Study]
    advice: dict[str, Advice]
    fed_share: Span

    def origins(self) -> Iterable[Origin]:
        """Every origin named here."""
        for pattern in self.patterns.values():
            yield from (one.origin for one in (pattern.tidal, pattern.rate, pattern.duty))
        yield from (one.origin for one in self.cylinders.values())
        yield from (one.origin for one in self.heliox.values())
        yield from (one.origin for one in self.studies.values())
        yield from (one.origin for one in self.advice.values())
        yield self.fed_share.origin


def take_aerosol(table: Table) -> AerosolBook:
    """The file of aerosol."""
    made = AerosolBook(
        patterns=_once(table, "pattern", [(one.id, one) for one in map(_pattern, table.tables("pattern"))]),
        cylinders=_once(table, "cylinder", [(one.id, one) for one in map(_cylinder, table.tables("cylinder"))]),
        heliox=_once(table, "heliox", [(one.id, one) for one in map(_heliox, table.tables("heliox"))]),
        studies=_once(table, "study", [(one.id, one) for one in map(_study, table.tables("study"))]),
        advice=_once(table, "advice", [(one.id, one) for one in map(_advice, table.tables("advice"))]),
        fed_share=_needed(table, "fed_share"),
    )
    table.done()
    return made


def _once(table: Table, key: str, several: list[tuple[str, Made]]) -> dict[str, Made]:
    names = [name for name, _ in several]
    for name in sorted({name for name in names if names.count(name) > 1}):
        table.fault(key, "an id stands once", name, "another id")
    return dict(several)


def _needed(table: Table, key: str, of_unit: str = "") -> Span:
    span = take_span(table, key, of_unit)
    if span is None and not table.has(key):
        table.fault(key, "a range is needed", "nothing", 'from = "...", to = "..."')
    if span is None:
        return Span(low=Fraction(1), high=Fraction(1), unit=of_unit, origin=Origin(source="", at="", how=How.MEMORY))
    return span


def _pattern(table: Table) -> Pattern:
    made = Pattern(
        id=table.text("id"),
        name=table.text("name"),
        who=table.choice("who", Who),
        tidal=_needed(table, "tidal", "mL"),
        rate=_needed(table, "rate"),
        duty=_needed(table, "duty"),
    )
    if not 0 < made.duty.low <= made.duty.high < 1:
        table.fault(
            "duty", "the share of a breath in which air goes in lies between 0 and 1", str(made.duty.high), "0.4"
        )
    table.done()
    return made


def _cylinder(table: Table) -> Cylinder:
    made = Cylinder(id=table.text("id"), litres_per_psi=take_in(table, "holds", "L/psi"), origin=take_origin(table))
    table.done()
    return made


def _heliox(table: Table) -> Heliox:
    made = Heliox(
        id=table.text("id"),
        helium=take_in(table, "helium", ""),
        factor=take_in(table, "factor", ""),
        origin=take_origin(table),
    )
    table.done()
    return made


def _study(table: Table) -> Study:
    value = take_in(table, "value", "")
    made = Study(
        id=table.text("id"),
        says=table.text("says"),
        measure=table.text("measure"),
        setup=table.texts("setup"),
        low=take_in(table, "from", "") if table.has("from") else value,
        value=value,
        high=take_in(table, "to", "") if table.has("to") else value,
        side=table.choice("side", Side, Side.BOTH),
        fitted=table.truth("fitted", False),
        unknown=table.text("unknown", ""),
        remark=table.text("remark", ""),
        origin=take_origin(table),
    )
    if not made.low <= made.value <= made.high:
        table.fault("value", "it lies in its own range", str(made.value), f"{made.low} to {made.high}")
    table.done()
    return made


def _advice(table: Table) -> Advice:
    made = Advice(id=table.text("id"), says=table.text("says"), do=table.text("do"), origin=take_origin(table))
    table.done()
    return made
