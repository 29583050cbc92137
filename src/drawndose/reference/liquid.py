"""What a liquid is as it stands in its container: osmolarity and pH, printed or measured; and what airways answer to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from drawndose.quantities import Refused, read_number
from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table

OSMOLARITY = (("osmoles", 1), ("volume", -1))


@dataclass(frozen=True, slots=True, kw_only=True)
class Osmotic:
    """The osmolarity of one presentation's own liquid (of a powder, made up by its label), from low to high, mOsm per L."""

    of: str
    low: Fraction
    high: Fraction
    says: str
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Acidity:
    """The pH of one presentation's own liquid, from low to high."""

    of: str
    low: Fraction
    high: Fraction
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A liquid that airways were seen to answer to. value: its osmolarity, mOsm per L, or its pH."""

    id: str
    value: Fraction
    says: str
    origin: Origin


@dataclass(frozen=True, kw_only=True)
class Liquids:
    """Osmolarity and pH by the id of a presentation; the answers by their own ids."""

    osmotic: dict[str, Osmotic]
    acidity: dict[str, Acidity]
    answers: dict[str, Answer]

    def origins(self) -> Iterable[Origin]:
        """Every origin named here."""
        for several in (self.osmotic, self.acidity, self.answers):
            yield from (one.origin for one in several.values())


def take_liquids(table: Table) -> Liquids:
    """The file of liquids."""
    osmotic = tuple(_osmotic(one) for one in table.tables("osmolarity"))
    acidity = tuple(_acidity(one) for one in table.tables("ph"))
    answers = tuple(_answer(one) for one in table.tables("answer"))
    for key, names in (
        ("osmolarity", [one.of for one in osmotic]),
        ("ph", [one.of for one in acidity]),
        ("answer", [one.id for one in answers]),
    ):
        for name in sorted({name for name in names if names.count(name) > 1}):
            table.fault(key, "each stands once", name, "another id")
    table.done()
    return Liquids(
        osmotic={one.of: one for one in osmotic},
        acidity={one.of: one for one in acidity},
        answers={one.id: one for one in answers},
    )


def _osmotic(table: Table) -> Osmotic:
    made = Osmotic(
        of=table.text("of"),
        low=_osmolarity(table, "from"),
        high=_osmolarity(table, "to"),
        says=table.text("says"),
        origin=take_origin(table),
    )
    if made.low > made.high:
        table.fault("to", "a range goes up", f"{made.low} to {made.high}", 'from = "60 mOsm/L", to = "100 mOsm/L"')
    table.done()
    return made


def _acidity(table: Table) -> Acidity:
    made = Acidity(of=table.text("of"), low=_ph(table, "from"), high=_ph(table, "to"), origin=take_origin(table))
    if made.low > made.high:
        table.fault("to", "a range goes up", f"{made.low} to {made.high}", 'from = "3.5", to = "4.2"')
    table.done()
    return made


def _answer(table: Table) -> Answer:
    made = Answer(
        id=table.text("id"),
        value=_ph(table, "ph") if table.has("ph") else _osmolarity(table, "osmolarity"),
        says=table.text("says"),
        origin=take_origin(table),
    )
    table.done()
    return made


def _osmolarity(table: Table, key: str) -> Fraction:
    value = table.quantity(key, "")
    if value is None or value.dimension != OSMOLARITY:
        table.fault(key, "an osmolarity is needed", str(value), "308 mOsm/L")
        return Fraction(0)
    return value.to("mOsm/L").value


def _ph(table: Table, key: str) -> Fraction:
    text = table.text(key)
    try:
        value = read_number(text, field=f"{table.where}.{key}")
    except Refused as refused:
        table.faults += refused.faults
        return Fraction(0)
    if value > 14:
        table.fault(key, "a pH is at most 14", text, "3.5")
    return value
