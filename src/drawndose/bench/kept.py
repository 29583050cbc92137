"""What this bench knows of what stays behind and of what containers hold beside their label: needles, unit doses, excess."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.in_hand import InHand
from drawndose.reference import Container, Cup, Excess, Instrument, Needle, UnitDose, load

Tool = Instrument | Cup | Needle | UnitDose | Excess
"""What may be named for a bench beside its containers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """The needles that stand on the bench (none where none was named), and a department's own unit doses and excess."""

    needles: tuple[Needle, ...] = ()
    unit_doses: tuple[UnitDose, ...] = ()
    excess: tuple[Excess, ...] = ()

    def excess_of(self, in_hand: InHand) -> Fraction | None:
        """The recommended excess of one such container, mobile liquid, mL: the department's own before the catalogue's.

        None for a powder, for what is opened, and for a size that no table has.
        """
        if in_hand.presentation.container is Container.POWDER_VIAL or in_hand.left is not None:
            return None
        found = (row.of(in_hand.contents()) for row in (*self.excess, *load().excess))
        return next((one for one in found if one is not None), None)

    def squeezed(self, in_hand: InHand) -> UnitDose | None:
        """What is known of one such plastic unit squeezed empty; None where nothing was weighed."""
        if in_hand.presentation.container is not Container.PLASTIC_UNIT_DOSE or in_hand.left is not None:
            return None
        for one in self.unit_doses:
            if one.gives is not None and one.nominal == in_hand.contents() and one.of in {"", in_hand.presentation.id}:
                return one
        return None


def kept(tools: Iterable[Tool]) -> Kept:
    """What is known, out of everything that was named for the bench; in one order, whatever order it was named in."""
    stand = tuple(tools)
    needles = sorted((one for one in stand if isinstance(one, Needle)), key=lambda one: one.id)
    unit_doses = sorted((one for one in stand if isinstance(one, UnitDose)), key=lambda one: (not one.of, one.id))
    excess = sorted((one for one in stand if isinstance(one, Excess)), key=lambda one: (one.and_up, one.labelled))
    return Kept(needles=tuple(needles), unit_doses=tuple(unit_doses), excess=tuple(excess))
