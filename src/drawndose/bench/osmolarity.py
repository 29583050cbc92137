"""The osmolarity of a fill: what its liquids bring, printed, measured or calculated; and which of them nobody knows.

Ideal mixing: each liquid brings its volume times its osmolarity. Of a liquid known as a range both ends are carried along.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from drawndose.bench.fills import FillPlan
from drawndose.bench.takes import Take
from drawndose.quantities import Quantity, show, show_about, show_number, unit
from drawndose.reference import How, Presentation, load

PER_LITRE = unit("mOsm/L")
PRINTED, CALCULATED, GATHERED = "by the labels' calculated values", "calculated", "from printed and measured values"


@dataclass(frozen=True, slots=True, kw_only=True)
class Own:
    """The osmolarity of one liquid, mOsm per L, from low to high, and how it is known."""

    low: Fraction
    high: Fraction
    how: str


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """What the known liquids bring over the whole fill, mOsm per L, from low to high; the liquids that nobody knows.

    parts: mL of each known liquid with what is known of it; total: mL of the fill. With an unknown liquid the fill is above
    low, and has no known top.
    """

    parts: tuple[tuple[Fraction, Own], ...]
    total: Fraction
    unknown: tuple[str, ...]

    @cached_property
    def low(self) -> Fraction:
        """The least that it can be."""
        return sum((volume * part.low for volume, part in self.parts), Fraction(0)) / self.total

    @cached_property
    def high(self) -> Fraction:
        """The most that the known liquids can bring."""
        return sum((volume * part.high for volume, part in self.parts), Fraction(0)) / self.total

    @property
    def how(self) -> str:
        """How the values are known; the least sure way of them."""
        hows = {part.how for _, part in self.parts}
        return next((how for how in (GATHERED, CALCULATED) if how in hows), PRINTED)

    @property
    def value(self) -> str:
        """For people: "about 266 to 274 mOsm per L", whole numbers around it; or one number where it is no range."""
        if self.low == self.high:
            return show_about(Quantity.of_text(self.low, "mOsm/L"))
        low, high = self.low // 1, -(-self.high // 1)
        return f"about {show_number(Fraction(low))} to {show(Quantity.of_text(high, 'mOsm/L'))}"

    def says(self) -> str:
        """What is known of it, in words."""
        if not self.parts:
            return "not known: no label in this cup prints one"
        if self.unknown:
            return f"{self.value} from the rest of the fill, {self.how}; that of {' and '.join(self.unknown)} is not printed"
        return f"{self.value}, {self.how}"


def own(presentation: Presentation) -> Own | None:
    """What is known of a liquid as it stands in its container: what its label prints goes before what was measured."""
    printed = presentation.osmolarity
    if printed is not None:
        value = printed.value.value if printed.value.unit == PER_LITRE else printed.value.to(str(PER_LITRE)).value
        return Own(low=value, high=value, how=CALCULATED if printed.origin.how is How.COMPUTED else PRINTED)
    gathered = load().liquids.osmotic.get(presentation.id)
    if gathered is None:
        return None
    how = CALCULATED if gathered.origin.how is How.COMPUTED else GATHERED
    return Own(low=gathered.low, high=gathered.high, how=how)


def estimate(takes: tuple[Take, ...], fill: FillPlan) -> Estimate:
    """The estimate for a fill."""
    liquids = tuple(_liquids(takes, fill))
    return Estimate(
        parts=tuple((volume, part) for _, volume, part in liquids if part is not None),
        total=fill.total,
        unknown=tuple(dict.fromkeys(name for name, _, part in liquids if part is None)),
    )


def _liquids(takes: tuple[Take, ...], fill: FillPlan) -> Iterator[tuple[str, Fraction, Own | None]]:
    """Each liquid of the fill: its name, mL of it, and what is known of it."""
    for take in takes:
        presentation = take.in_hand.presentation
        yield presentation.name.partition(",")[0], take.stock_in_cup, own(presentation)
    added = fill.added + sum((take.volume - take.stock_in_cup for take in takes if take.first_dilution), Fraction(0))
    if added:
        diluent = fill.in_hand.presentation if fill.in_hand is not None else _diluent(fill.diluent)
        yield fill.diluent or "the diluent", added, own(diluent) if diluent is not None else None


def _diluent(name: str) -> Presentation | None:
    """The diluent of this name, where it is only part of a first dilution and so nothing of it is added."""
    return next((one for one in load().diluents if one.diluent == name), None)
