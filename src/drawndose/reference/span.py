"""A value that is known as a range: from low to high, in the unit of its key, with where it is printed."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from drawndose.quantities import Quantity, Refused, read_number, read_quantity, unit
from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """From low to high, both included, in `unit` ("" for a bare number)."""

    low: Fraction
    high: Fraction
    unit: str
    origin: Origin


def take_span(table: Table, key: str, of_unit: str) -> Span | None:
    """The span under a key: `key = { from = "0.8 mL", to = "2 mL", source = ..., at = ..., how = ... }`, or None.

    of_unit: into which the ends are converted; "" for bare numbers and shares. Without `to` it is one value. None too where
    an end cannot be read: its fault is kept.
    """
    inner = table.table(key)
    if inner is None:
        return None
    before = len(table.faults)
    low = take_in(inner, "from", of_unit)
    high = take_in(inner, "to", of_unit) if inner.has("to") else low
    if low > high and len(table.faults) == before:
        example = f"from = {inner.text('to')}, to = {inner.text('from')}"
        inner.fault("to", "a range goes up", f"{inner.text('from')} to {inner.text('to')}", example)
    made = Span(low=low, high=high, unit=of_unit, origin=take_origin(inner))
    inner.done()
    return made if len(table.faults) == before else None


def take_in(table: Table, key: str, of_unit: str) -> Fraction:
    """A number in a unit, written as text with its unit; a bare number, or a percent, where the unit is "".

    0 stands in while the remaining faults are gathered.
    """
    text, field = table.text(key), f"{table.where}.{key}"
    if not text:
        return Fraction(0)
    try:
        quantity = _read(text, field, of_unit)
    except Refused as refused:
        table.faults += refused.faults
        return Fraction(0)
    wanted = unit(of_unit)
    if quantity.dimension != wanted.dimension:
        table.fault(
            key, f"a value in {of_unit} is wanted" if of_unit else "a bare number is wanted", text, of_unit or "2"
        )
        return Fraction(0)
    return quantity.to(of_unit).value if of_unit else quantity.base


def _read(text: str, field: str, of_unit: str) -> Quantity:
    if of_unit or any(sign.isalpha() or sign == "%" for sign in text):
        return read_quantity(text, field=field)
    return Quantity(read_number(text, field=field), unit(""))
