"""The instruments file, the catalogue's own or a department's: everything in it is read before any fault is told.

A department's file may name the catalogue's tolerances and bores; its ids must be its own.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from drawndose.reference.balance import Balance, take_balance
from drawndose.reference.contents import Excess, UnitDose, take_excess, take_unit_dose
from drawndose.reference.cup import Cup, take_cup
from drawndose.reference.instrument import Instrument
from drawndose.reference.measures import take_cylinder, take_dropper, take_syringes
from drawndose.reference.nebulizer import Nebulizer, take_nebulizer
from drawndose.reference.needle import Bore, Needle, take_bore, take_needle
from drawndose.reference.provenance import Source, take_source
from drawndose.reference.table import Table
from drawndose.reference.tolerance import Tolerance, take_tolerance


@dataclass(frozen=True, slots=True, kw_only=True)
class Instruments:
    """The instruments file: measures, their rules, cups, needles, contents, balances, and the sources that it names.

    nebulizers: a department's own; the kinds stand in a file of their own.
    """

    measures: tuple[Instrument, ...] = ()
    tolerances: tuple[Tolerance, ...] = ()
    cups: tuple[Cup, ...] = ()
    bores: tuple[Bore, ...] = ()
    needles: tuple[Needle, ...] = ()
    excess: tuple[Excess, ...] = ()
    unit_doses: tuple[UnitDose, ...] = ()
    balances: tuple[Balance, ...] = ()
    nebulizers: tuple[Nebulizer, ...] = ()
    sources: tuple[Source, ...] = ()

    @property
    def ids(self) -> tuple[str, ...]:
        """The id of everything that can stand on a bench."""
        several = (self.measures, self.cups, self.needles, self.unit_doses, self.balances, self.nebulizers)
        return tuple(one.id for many in several for one in many)


def take_instruments(table: Table, base: Instruments | None = None) -> Instruments:
    """Build the whole file. base: the catalogue's own, whose rules and bores a department's file may name."""
    known = base or Instruments()
    sources = tuple(take_source(one) for one in table.tables("source"))
    tolerances = tuple(take_tolerance(one) for one in table.tables("tolerance"))
    rules = {one.id: one for one in (*known.tolerances, *tolerances)}
    bores = tuple(take_bore(one) for one in table.tables("bore"))
    by_gauge = {one.gauge: one for one in (*known.bores, *bores)}
    droppers = (take_dropper(one, rules) for one in table.tables("dropper"))
    syringes = (made for one in table.tables("syringe") for made in take_syringes(one, rules))
    cylinders = (take_cylinder(one, rules) for one in table.tables("cylinder"))
    made = Instruments(
        measures=(*droppers, *syringes, *cylinders),
        tolerances=tolerances,
        cups=tuple(take_cup(one) for one in table.tables("cup")),
        bores=bores,
        needles=tuple(take_needle(one, by_gauge) for one in table.tables("needle")),
        excess=tuple(take_excess(one) for one in table.tables("excess")),
        unit_doses=tuple(take_unit_dose(one) for one in table.tables("unit_dose")),
        balances=tuple(take_balance(one) for one in table.tables("balance")),
        nebulizers=tuple(take_nebulizer(one) for one in table.tables("nebulizer")),
        sources=sources,
    )
    table.done()
    _once(table, "id", known.ids, made.ids)
    _once(table, "tolerance", [one.id for one in known.tolerances], [one.id for one in tolerances])
    return made


def _once(table: Table, key: str, taken: Sequence[str], own: Sequence[str]) -> None:
    """An id that stands twice would let one record pass for another."""
    for ident, count in Counter((*taken, *own)).items():
        if ident and count > 1:
            table.fault(key, "an id stands once, here and in the catalogue", ident, "another id")
