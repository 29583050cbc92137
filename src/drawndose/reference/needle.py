"""Needles by what stays in them, and how much more than its label a container is recommended to hold."""

from dataclasses import dataclass
from fractions import Fraction

from drawndose.quantities import Quantity
from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Needle:
    """A needle. keeps: what stays in hub and lumen, mL; None where no figure was found and it must be weighed."""

    id: str
    name: str
    gauge: int
    keeps: Fraction | None
    filters: bool
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Excess:
    """The recommended excess of one labelled volume, for mobile and for viscous liquids, mL."""

    labelled: Fraction
    mobile: Fraction
    viscous: Fraction
    origin: Origin


def take_needle(table: Table) -> Needle:
    """One needle of the instruments file."""
    gauge = table.raw("gauge")
    if isinstance(gauge, bool) or not isinstance(gauge, int) or not 10 <= gauge <= 34:
        table.fault("gauge", "a gauge is a whole number from 10 to 34", repr(gauge), "21")
        gauge = 21
    keeps = table.quantity("keeps", "volume")
    made = Needle(
        id=table.text("id"),
        name=table.text("name"),
        gauge=gauge,
        keeps=_ml(keeps) if keeps is not None else None,
        filters=table.truth("filter", False),
        origin=take_origin(table),
    )
    table.done()
    return made


def take_excess(table: Table) -> Excess:
    """One row of the recommended excess."""
    labelled, mobile, viscous = (_needed(table, key) for key in ("labelled", "mobile", "viscous"))
    made = Excess(labelled=labelled, mobile=mobile, viscous=viscous, origin=take_origin(table))
    table.done()
    return made


def _needed(table: Table, key: str) -> Fraction:
    quantity = table.quantity(key, "volume")
    if quantity is None:
        table.fault(key, "a volume is needed", "", "0.5 mL")
        return Fraction(1)
    return _ml(quantity)


def _ml(quantity: Quantity) -> Fraction:
    """In mL; another dimension is a fault already, and its value is never used."""
    return quantity.to("mL").value if quantity.dimension == (("volume", 1),) else Fraction(1)
