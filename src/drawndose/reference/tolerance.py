"""Permissible error of a measure as two linear branches that part at half of its capacity.

Sources: ISO 7886-1:1993, Table 1 (syringes), by the testing laboratory's note named in the data; USP 32 <1101> (calibrated
dropper). A cylinder's error is one volume over its whole scale. Values from memory are marked in the data.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from drawndose.reference.provenance import How, Origin, take_origin
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """Permissible error as shares: of the capacity plus of the volume, one pair below half capacity, one from half up.

    capacities: from and below which capacity, mL, the rule holds for every syringe; None for the rule of one instrument.
    """

    id: str
    below_half_of_capacity: Fraction
    below_half_of_volume: Fraction
    from_half_of_volume: Fraction
    origin: Origin
    from_half_of_capacity: Fraction = Fraction(0)
    capacities: tuple[Fraction, Fraction | None] | None = None

    @property
    def least_share(self) -> Fraction:
        """The smallest share of the volume that the rule ever reaches: that of a full measure."""
        return self.from_half_of_capacity + self.from_half_of_volume

    def smallest(self, capacity: Fraction, share: Fraction) -> Fraction | None:
        """The smallest volume, mL, from which the permissible error is at most this share of it; None where it never is."""
        if share < self.least_share:
            return None
        below = _meets(self.below_half_of_capacity * capacity, self.below_half_of_volume, share)
        if below is not None and below < capacity / 2:
            return below
        above = _meets(self.from_half_of_capacity * capacity, self.from_half_of_volume, share)
        return max(above or Fraction(0), capacity / 2)


def _meets(fixed: Fraction, slope: Fraction, share: Fraction) -> Fraction | None:
    """From which volume on a fixed part and a share of the volume together are within a share of it."""
    if not fixed:
        return Fraction(0) if slope <= share else None
    return fixed / (share - slope) if slope < share else None


def take_tolerance(table: Table) -> Tolerance:
    """One rule of the instruments file."""
    before = len(table.faults)
    made = Tolerance(
        id=table.text("id"),
        below_half_of_capacity=_share(table, "below_half_of_capacity"),
        below_half_of_volume=_share(table, "below_half_of_volume"),
        from_half_of_capacity=_share(table, "from_half_of_capacity"),
        from_half_of_volume=_share(table, "from_half_of_volume"),
        origin=take_origin(table),
        capacities=_capacities(table),
    )
    if not made.least_share and len(table.faults) == before:
        table.fault("from_half_of_volume", "a measure without any error is not believed", "0", "5 %")
    table.done()
    return made


def _share(table: Table, key: str) -> Fraction:
    quantity = table.quantity(key, "")
    if quantity is None:
        return Fraction(0)
    if quantity.dimension or quantity.base >= 1:
        table.fault(key, "a share of less than the whole is wanted", table.text(key), "5 %")
        return Fraction(0)
    return quantity.base


def _capacities(table: Table) -> tuple[Fraction, Fraction | None] | None:
    low, below = table.ml("capacity_from"), table.ml("capacity_below")
    return None if low is None and below is None else (low or Fraction(0), below)


def named_tolerance(table: Table, known: Mapping[str, Tolerance]) -> Tolerance:
    """The rule that a measure names; a stand-in, with its fault kept, where the name is not known."""
    name = table.text("tolerance")
    if name not in known:
        table.fault("tolerance", "the tolerance is not in this file", name, ", ".join(known) or "a [[tolerance]]")
    unknown = Tolerance(
        id=name,
        below_half_of_capacity=Fraction(0),
        below_half_of_volume=Fraction(0),
        from_half_of_volume=Fraction(0),
        origin=Origin(source="", at="", how=How.MEMORY),
    )
    return known.get(name, unknown)
