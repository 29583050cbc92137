"""What measures on the bench (calibrated droppers, syringes) and what holds the fill (cups).

A cup is not a measure. A dropper shows its marks and nothing between; a syringe shows its lines. Volumes here are
Fractions of a millilitre, since the search over instruments asks thousands of times.

Sources: ISO 7886-1:1993, Table 1 (tolerance on graduated capacity) and 3.2 (read at the fiducial line), by the testing
laboratory's note named in the data; USP 32 <1101> (calibrated dropper). Values from memory are marked in the data.
"""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cached_property

from drawndose.quantities import Quantity
from drawndose.reference.needle import Excess, Needle, take_excess, take_needle
from drawndose.reference.provenance import How, Origin, Source, take_origin, take_source
from drawndose.reference.table import Table


class Kind(Enum):
    """What sort of measure."""

    DROPPER = "dropper"
    SYRINGE = "syringe"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """Permissible error as shares: below half capacity of the capacity plus of the volume, from half up of the volume.

    capacities: from and below which capacity, mL, the rule holds for every syringe; None for the rule of one instrument.
    """

    id: str
    below_half_of_capacity: Fraction
    below_half_of_volume: Fraction
    from_half_of_volume: Fraction
    origin: Origin
    capacities: tuple[Fraction, Fraction | None] | None = None


@dataclass(frozen=True, kw_only=True)
class Instrument:
    """One measure with its scale. capacity, step, numbered and marks are in mL."""

    id: str
    name: str
    kind: Kind
    tip: str
    capacity: Fraction
    step: Fraction
    numbered: Fraction
    marks: tuple[Fraction, ...]
    tolerance: Tolerance
    origin: Origin

    def shows(self, volume: Fraction) -> bool:
        """True when the volume has its own mark or line."""
        if not 0 < volume <= self.capacity:
            return False
        return volume in self.marks if self.kind is Kind.DROPPER else (volume / self.step).denominator == 1

    def lines_around(self, volume: Fraction) -> tuple[Fraction, Fraction] | None:
        """The two lines that the volume lies between; None where it has its own line or lies off the scale."""
        if self.shows(volume) or not 0 < volume < self.capacity:
            return None
        if self.kind is Kind.DROPPER:
            below = max((mark for mark in self.marks if mark < volume), default=Fraction(0))
            return (below, min(mark for mark in self.marks if mark > volume))
        steps = volume // self.step
        return (steps * self.step, (steps + 1) * self.step)

    def permissible_error(self, volume: Fraction) -> Fraction:
        """The largest error that the rule permits at this volume, mL, either way."""
        if volume < self._half:
            return self._fixed + self.tolerance.below_half_of_volume * volume
        return self.tolerance.from_half_of_volume * volume

    @cached_property
    def _half(self) -> Fraction:
        return self.capacity / 2

    @cached_property
    def _fixed(self) -> Fraction:
        """The share of the capacity that is permitted below half of it, mL."""
        return self.tolerance.below_half_of_capacity * self.capacity

    def smallest_for(self, share: Fraction) -> Fraction:
        """The smallest volume, mL, whose permissible error is at most this share of it; the capacity's rule, not a line.

        >>> from drawndose.reference import load
        >>> load().instrument("syringe-3").smallest_for(Fraction(1, 10))
        Fraction(9, 16)
        """
        rule = self.tolerance
        if share < rule.from_half_of_volume:
            raise ValueError(f"{self.name} never measures within {share} of the volume")
        if share <= rule.below_half_of_volume:
            return Fraction(0) if not rule.below_half_of_capacity else self.capacity / 2
        return min(rule.below_half_of_capacity * self.capacity / (share - rule.below_half_of_volume), self.capacity / 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cup:
    """What holds the fill: how much it holds and how much it needs to work, mL. Never a measure."""

    id: str
    name: str
    holds: Quantity
    needs: Quantity
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Instruments:
    """The instruments file: measures, their rules, cups, and the sources that it names."""

    measures: tuple[Instrument, ...]
    tolerances: tuple[Tolerance, ...]
    cups: tuple[Cup, ...]
    needles: tuple[Needle, ...]
    excess: tuple[Excess, ...]
    sources: tuple[Source, ...]


def take_instruments(table: Table) -> Instruments:
    """Build the whole instruments file."""
    sources = tuple(take_source(one) for one in table.tables("source"))
    tolerances = {made.id: made for made in (_tolerance(one) for one in table.tables("tolerance"))}
    droppers = [_dropper(one, tolerances) for one in table.tables("dropper")]
    syringes = [made for one in table.tables("syringe") for made in _syringes(one, tolerances)]
    cups = tuple(_cup(one) for one in table.tables("cup"))
    needles = tuple(take_needle(one) for one in table.tables("needle"))
    excess = tuple(take_excess(one) for one in table.tables("excess"))
    table.done()
    rules = tuple(tolerances.values())
    return Instruments(
        measures=(*droppers, *syringes), tolerances=rules, cups=cups, needles=needles, excess=excess, sources=sources
    )


def _share(table: Table, key: str) -> Fraction:
    quantity = table.quantity(key, "")
    return quantity.base if quantity is not None else Fraction(0)


def _tolerance(table: Table) -> Tolerance:
    made = Tolerance(
        id=table.text("id"),
        below_half_of_capacity=_share(table, "below_half_of_capacity"),
        below_half_of_volume=_share(table, "below_half_of_volume"),
        from_half_of_volume=_share(table, "from_half_of_volume"),
        origin=take_origin(table),
        capacities=_capacities(table),
    )
    table.done()
    return made


def _capacities(table: Table) -> tuple[Fraction, Fraction | None] | None:
    low = _ml(table, "capacity_from") if table.has("capacity_from") else None
    below = _ml(table, "capacity_below") if table.has("capacity_below") else None
    return None if low is None and below is None else (low or Fraction(0), below)


def _ml(table: Table, key: str) -> Fraction:
    quantity = table.quantity(key, "volume")
    if quantity is None:
        table.fault(key, "a volume is needed", "", "0.5 mL")
    if quantity is None or quantity.dimension != (("volume", 1),):
        return Fraction(1)  # stands in only while the loader gathers the remaining faults
    return quantity.to("mL").value


def _tolerance_of(table: Table, tolerances: dict[str, Tolerance]) -> Tolerance:
    name = table.text("tolerance")
    if name not in tolerances:
        table.fault("tolerance", "the tolerance is not in this file", name, ", ".join(tolerances) or "a [[tolerance]]")
        return Tolerance(
            id=name,
            below_half_of_capacity=Fraction(0),
            below_half_of_volume=Fraction(0),
            from_half_of_volume=Fraction(0),
            origin=Origin(source="", at="", how=How.MEMORY),
        )
    return tolerances[name]


def _dropper(table: Table, tolerances: dict[str, Tolerance]) -> Instrument:
    ident, name, marks = table.text("id"), table.text("name"), []
    for place, text in enumerate(table.texts("marks")):
        marks.append(_ml(Table({"mark": text}, f"{table.where}.marks[{place}]", table.faults), "mark"))
    made = Instrument(
        id=ident,
        name=name,
        kind=Kind.DROPPER,
        tip="dropper",
        capacity=_ml(table, "capacity"),
        step=min(marks, default=Fraction(1)),
        numbered=min(marks, default=Fraction(1)),
        marks=tuple(sorted(marks)),
        tolerance=_tolerance_of(table, tolerances),
        origin=take_origin(table),
    )
    table.done()
    return made


def _syringes(table: Table, tolerances: dict[str, Tolerance]) -> list[Instrument]:
    """One instrument for each tip: a luer tip takes a needle, an oral tip can never reach a vein."""
    ident, name, tips = table.text("id"), table.text("name"), table.texts("tips")
    capacity, step, numbered = _ml(table, "capacity"), _ml(table, "step"), _ml(table, "numbered")
    tolerance, origin = _tolerance_of(table, tolerances), take_origin(table)
    table.done()
    return [
        Instrument(
            id=ident if tip == "luer" else f"{ident}-{tip}",
            name=f"{name}, {tip} tip" if tip == "oral" else f"{name}, luer lock",
            kind=Kind.SYRINGE,
            tip=tip,
            capacity=capacity,
            step=step,
            numbered=numbered,
            marks=(),
            tolerance=tolerance,
            origin=origin,
        )
        for tip in tips
    ]


def _cup(table: Table) -> Cup:
    made = Cup(
        id=table.text("id"),
        name=table.text("name"),
        holds=Quantity(_ml(table, "holds"), _UNIT_ML),
        needs=Quantity(_ml(table, "needs"), _UNIT_ML),
        origin=take_origin(table),
    )
    table.done()
    return made


_UNIT_ML = Quantity.of_text(1, "mL").unit
