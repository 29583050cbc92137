"""How much more than its label a container is filled with, and what stays behind in it. Volumes in mL.

Source: the pharmacopoeia's recommended excess for injections, read in a copy. For a squeezed plastic unit no figure was
found: excess and rest are settings without a default, to be weighed.
"""

from dataclasses import dataclass
from fractions import Fraction

from drawndose.reference.provenance import Origin, take_origin
from drawndose.reference.table import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Excess:
    """The recommended excess of one labelled volume, for mobile and for viscous liquids: mL, or, and_up, shares of the volume.

    and_up: the row holds from its labelled volume up.
    """

    labelled: Fraction
    mobile: Fraction
    viscous: Fraction
    origin: Origin
    and_up: bool = False

    def of(self, volume: Fraction, *, viscous: bool = False) -> Fraction | None:
        """The excess of this labelled volume, mL; None where the row does not speak of it."""
        found = self.viscous if viscous else self.mobile
        if self.and_up:
            return found * volume if volume >= self.labelled else None
        return found if volume == self.labelled else None


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitDose:
    """A plastic unit dose emptied by squeezing: its nominal volume, its usual excess, and what stays behind.

    None where no figure was found: it must be weighed. nominal is None for what holds for every size. of: the id of the
    presentation that was weighed, or empty for any.
    """

    id: str
    name: str
    nominal: Fraction | None
    excess: Fraction | None
    stays: Fraction | None
    origin: Origin
    of: str = ""

    @property
    def gives(self) -> Fraction | None:
        """What reaches the cup, mL; None while one of the three is not known."""
        if self.nominal is None or self.excess is None or self.stays is None:
            return None
        return self.nominal + self.excess - self.stays


def take_excess(table: Table) -> Excess:
    """One row of the recommended excess."""
    and_up = table.truth("and_up", False)
    labelled = table.needed_ml("labelled")
    mobile, viscous = ((_share if and_up else Table.needed_ml)(table, key) for key in ("mobile", "viscous"))
    made = Excess(labelled=labelled, mobile=mobile, viscous=viscous, origin=take_origin(table), and_up=and_up)
    table.done()
    return made


def _share(table: Table, key: str) -> Fraction:
    quantity = table.quantity(key, "")
    if quantity is None or quantity.dimension:
        table.fault(key, "a share is needed", "" if quantity is None else table.text(key), "2 %")
        return Fraction(1)
    return quantity.base


def take_unit_dose(table: Table) -> UnitDose:
    """One squeezed unit dose of the instruments file."""
    nominal = table.needed_ml("nominal") if table.has("nominal") else None
    made = UnitDose(
        id=table.text("id"),
        name=table.text("name"),
        nominal=nominal,
        excess=table.ml("excess"),
        stays=table.ml("stays"),
        origin=take_origin(table),
        of=table.text("of", ""),
    )
    if made.gives is not None and made.gives <= 0:
        table.fault("stays", "more stays behind than it is filled with", table.text("stays"), "less than it holds")
    table.done()
    return made
