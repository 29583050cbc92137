"""A balance, named by its class: the step of its display, and how far repeated readings scatter. Masses in grams."""

from dataclasses import dataclass
from fractions import Fraction

from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """readability_g: the step of the display, or the least mass that moves a pointer.

    repeatability_g: standard deviation of repeated readings; None where no figure is known: a setting without a default.
    """

    id: str
    name: str
    readability_g: Fraction
    origin: Origin
    repeatability_g: Fraction | None = None
    repeatability_origin: Origin | None = None


def take_balance(table: Table) -> Balance:
    """One balance of the instruments file."""
    repeatability, origin = _repeatability(table)
    made = Balance(
        id=table.text("id"),
        name=table.text("name"),
        readability_g=_grams(table, "readability"),
        origin=take_origin(table),
        repeatability_g=repeatability,
        repeatability_origin=origin,
    )
    table.done()
    return made


def _repeatability(table: Table) -> tuple[Fraction | None, Origin | None]:
    inner = table.table("repeatability")
    if inner is None:
        return None, None
    found = _grams(inner, "is"), take_origin(inner)
    inner.done()
    return found


def _grams(table: Table, key: str) -> Fraction:
    quantity = table.quantity(key, "mass")
    if quantity is None and not table.has(key):
        table.fault(key, "a mass is needed", "", "0.1 mg")
    if quantity is not None and not quantity.value:
        table.fault(key, "a mass of more than 0 is needed", table.text(key), "0.1 mg")
    if quantity is None or quantity.dimension != (("mass", 1),):
        return Fraction(1)  # stands in only while the loader gathers the remaining faults
    return quantity.to("g").value
