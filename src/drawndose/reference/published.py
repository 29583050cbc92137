"""A published dose: for whom, for what, and its exact values. Shown with its source and compared with, never advice."""

from __future__ import annotations

from dataclasses import dataclass

from drawndose.quantities import Quantity, Unlike
from drawndose.quantities.units import Parts
from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table

AMOUNTS = {"mass", "volume", "units", "USP units", "substance"}
KG, TIME = ("body mass", -1), ("time", -1)

OF_A_DOSE = ("each", "from", "to", "per_kg", "minimum", "maximum", "per_hour", "per_kg_hour", "most_in_a_day")
"""Values that are an amount. each, per_kg, per_hour, per_kg_hour: one figure; from and to: the ends of a range;
minimum and maximum: what the dose is never below or above, whatever the weight; most_in_a_day: the most in 24 h."""
VALUES_OF_A_DOSE = (*OF_A_DOSE, "least_interval", "most_often", "course")
"""With the shortest time from dose to dose, how often in a day at most ("4 doses/day"), and after how many doses the text
ends ("3 doses"): an interval with a course is no rate for a whole day."""

_MUST = {"per_kg": (KG,), "per_hour": (TIME,), "per_kg_hour": (KG, TIME)}
_PLAIN = {"minimum", "maximum", "most_in_a_day"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """A span of ages or of weights. at_least and at_most count in, above and below do not; None where it is open."""

    at_least: Quantity | None = None
    above: Quantity | None = None
    at_most: Quantity | None = None
    below: Quantity | None = None

    @property
    def ends(self) -> tuple[Quantity, ...]:
        """Every end that the span has; none when it is open on both sides."""
        return tuple(one for one in (self.at_least, self.above, self.at_most, self.below) if one is not None)

    def admit(self, value: Quantity) -> bool:
        """True when the value lies in the span. Unlike for a value of another dimension."""
        return (
            (self.at_least is None or value >= self.at_least)
            and (self.above is None or value > self.above)
            and (self.at_most is None or value <= self.at_most)
            and (self.below is None or value < self.below)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedDose:
    """A published dose for a population.

    age, weight: whom it is for, as bounds. values: the exact values that the text gives, by key (see VALUES_OF_A_DOSE).
    delivered: it counts what the device delivers, not what the cup holds. no_dose: the text says that it has none for
    this population.
    """

    population: str
    purpose: str
    says: str
    age: Bounds
    weight: Bounds
    values: tuple[tuple[str, Quantity], ...]
    delivered: bool
    no_dose: bool
    origin: Origin

    def value(self, *keys: str) -> Quantity | None:
        """The value of the first of these keys that the text gives, or None."""
        found = dict(self.values)
        return next((found[key] for key in keys if key in found), None)


def take_dose(table: Table, moiety: str) -> PublishedDose:
    """One `[[presentation.dose]]`. moiety: what its amounts count unless the table says otherwise under `of`."""
    of = table.text("of", moiety) if moiety else None
    read = ((key, table.quantity(key, "", of)) for key in VALUES_OF_A_DOSE)
    values = tuple((key, value) for key, value in read if value is not None)
    made = PublishedDose(
        population=table.text("population"),
        purpose=table.text("purpose"),
        says=table.text("says"),
        age=_bounds(table, "age", "time"),
        weight=_bounds(table, "weight", "body mass"),
        values=values,
        delivered=table.truth("delivered", False),
        no_dose=table.truth("no_dose", False),
        origin=take_origin(table),
    )
    _hold(table, dict(values), made.no_dose)
    table.done()
    return made


def _bounds(table: Table, what: str, dimension: str) -> Bounds:
    return Bounds(
        at_least=table.quantity(f"{what}_from", dimension),
        above=table.quantity(f"{what}_above", dimension),
        at_most=table.quantity(f"{what}_to", dimension),
        below=table.quantity(f"{what}_below", dimension),
    )


def _hold(table: Table, values: dict[str, Quantity], no_dose: bool) -> None:
    """The kind of each value, and what the values must be to one another."""
    for key, value in values.items():
        if not _right_kind(key, value.dimension):
            table.fault(key, "a value of another kind is wanted", table.text(key), _accepted(key))
    if no_dose and values:
        table.fault("no_dose", "a text that gives no dose has no values", ", ".join(values), "no_dose, or values")
    for low, high in (("from", "to"), ("minimum", "maximum")):
        if low in values and high in values and not _in_order(values[low], values[high]):
            table.fault(high, f"it is not above {low}, or of another kind", table.text(high), f"more than {low}")


def _right_kind(key: str, dimension: Parts) -> bool:
    if key == "least_interval":
        return dimension == (("time", 1),)
    if key == "most_often":
        return dimension == (("doses", 1), ("time", -1))
    if key == "course":
        return dimension == (("doses", 1),)
    amounts = [part for part in dimension if part not in {KG, TIME}]
    rest = tuple(part for part in dimension if part in {KG, TIME})
    alone = len(amounts) == 1 and amounts[0][0] in AMOUNTS and amounts[0][1] == 1
    return alone and (rest == _MUST[key] if key in _MUST else key not in _PLAIN or KG not in rest)


def _accepted(key: str) -> str:
    return {
        "least_interval": "4 h",
        "most_often": "4 doses/day",
        "course": "3 doses",
        "per_kg": "0.15 mg/kg",
        "per_hour": "10 mg/h",
        "per_kg_hour": "0.5 mg/kg/h",
    }.get(key, "2.5 mg, 0.5 mL")


def _in_order(low: Quantity, high: Quantity) -> bool:
    try:
        return low <= high
    except Unlike:
        return False
