"""What stands on the bench: a presentation in one fill size, how many of it, and how much is left in an opened one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from drawndose.bench.condition import Condition
from drawndose.quantities import Quantity
from drawndose.reference import Active, Container, Pack, Presentation


@dataclass(frozen=True, kw_only=True)
class InHand:
    """One kind of container on the bench. count is None when there is enough.

    left is what an opened one still holds: it is then that one container alone, whatever the count. condition: its dates, owner
    and looks, where someone said them.
    """

    presentation: Presentation
    pack: Pack
    count: int | None = None
    left: Quantity | None = None
    condition: Condition | None = None

    def __post_init__(self) -> None:
        if self.count is not None and (isinstance(self.count, bool) or self.count < 1):
            raise ValueError("the number of containers is a whole number from 1")
        if self.left is not None and (self.pack.volume is None or self.left > self.pack.volume or not self.left.value):
            raise ValueError("what is left is more than nothing and not more than the container holds")

    @property
    def name(self) -> str:
        """The presentation with its fill size."""
        return self.presentation.name

    def contents(self) -> Fraction:
        """What one container gives, mL: what is left in it, its fill, or for a powder the volume after making up."""
        return self._contents

    @cached_property
    def _contents(self) -> Fraction:
        if self.left is not None:
            return self.left.to("mL").value
        if self.pack.volume is not None:
            return self.pack.volume.to("mL").value
        made_up = self.presentation.reconstitution
        if made_up is None or self.pack.amount is None:
            raise ValueError(f"{self.presentation.id}: a powder without a reconstitution cannot be measured")
        if made_up.gives is not None:
            return made_up.gives.to("mL").value
        if made_up.strength is not None:
            return (self.presentation.actives[0].strength.amount / made_up.strength.ratio).to("mL").value
        return made_up.add.to("mL").value

    def amount_in(self, active: Active) -> Quantity:
        """The amount of one active part in one full container, as its label says."""
        return active.amount_in(self.pack.volume)

    def per_ml(self, active: Active) -> Quantity:
        """The amount of one active part in 1 mL as it is drawn (for a powder: after making up)."""
        if self.presentation.container is Container.POWDER_VIAL:
            return self.amount_in(active) / Quantity.of_text(self.contents(), "mL")
        return active.strength.ratio


def every_pack(presentations: Iterable[Presentation]) -> tuple[InHand, ...]:
    """Every fill size of every presentation, as many as needed: the whole catalogue as a bench."""
    return tuple(InHand(presentation=one, pack=pack) for one in presentations for pack in one.packs)
