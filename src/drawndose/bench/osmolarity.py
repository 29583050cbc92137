"""The osmolarity of a fill: what its liquids bring, printed, measured or calculated; and which of them nobody knows.

Ideal mixing: each liquid brings its volume times its osmolarity. Of a liquid known as a range both ends are carried along.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.fills import FillPlan
from drawndose.bench.takes import Take
from drawndose.quantities import Quantity, show_about
from drawndose.quantities.showing import about_number
from drawndose.reference import How, Presentation, load

PRINTED, CALCULATED, GATHERED = "by the labels' calculated values", "calculated", "from printed and measured values"


@dataclass(frozen=True, slots=True, kw_only=True)
class Own:
    """The osmolarity of one liquid, mOsm per L, from low to high, and how it is known."""

    low: Fraction
    high: Fraction
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """What the known liquids bring over the whole fill, mOsm per L, from low to high; the liquids that nobody knows.

    known: False where no liquid of the fill is. With an unknown liquid the fill is above low, and has no known top.
    """

    low: Fraction
    high: Fraction
    known: bool
    unknown: tuple[str, ...]
    how: str

    @property
    def value(self) -> str:
        """For people: "about 267 to 273 mOsm per L", or one number where it is no range."""
        low, high = about_number(self.low), show_about(Quantity.of_text(self.high, "mOsm/L"))
        if high.startswith(f"{low} "):
            return high
        return f"about {low.removeprefix('about ')} to {high.removeprefix('about ')}"

    def says(self) -> str:
        """What is known of it, in words."""
        if not self.known:
            return "not known: no label in this cup prints one"
        if self.unknown:
            return f"{self.value} from the rest of the fill, {self.how}; that of {' and '.join(self.unknown)} is not printed"
        return f"{self.value}, {self.how}"


def own(presentation: Presentation) -> Own | None:
    """What is known of a liquid as it stands in its container: what its label prints goes before what was measured."""
    printed = presentation.osmolarity
    if printed is not None:
        value = printed.value.to("mOsm/L").value
        return Own(low=value, high=value, how=CALCULATED if printed.origin.how is How.COMPUTED else PRINTED)
    gathered = load().liquids.osmotic.get(presentation.id)
    if gathered is None:
        return None
    low, high = (end.to("mOsm/L").value for end in (gathered.low, gathered.high))
    return Own(low=low, high=high, how=CALCULATED if gathered.origin.how is How.COMPUTED else GATHERED)


def estimate(takes: tuple[Take, ...], fill: FillPlan) -> Estimate:
    """The estimate for a fill."""
    liquids = list(_liquids(takes, fill))
    known = [(volume, osmotic) for _, volume, osmotic in liquids if osmotic is not None]
    hows = {osmotic.how for _, osmotic in known}
    return Estimate(
        low=sum((volume * osmotic.low for volume, osmotic in known), Fraction(0)) / fill.total,
        high=sum((volume * osmotic.high for volume, osmotic in known), Fraction(0)) / fill.total,
        known=bool(known),
        unknown=tuple(dict.fromkeys(name for name, _, osmotic in liquids if osmotic is None)),
        how=next((how for how in (GATHERED, CALCULATED) if how in hows), PRINTED),
    )


def _liquids(takes: tuple[Take, ...], fill: FillPlan) -> Iterator[tuple[str, Fraction, Own | None]]:
    """Each liquid of the fill: its name, mL of it, and what is known of it."""
    for take in takes:
        presentation = take.in_hand.presentation
        yield presentation.name.partition(",")[0], take.stock_in_cup, own(presentation)
    added = fill.added + sum((take.volume - take.stock_in_cup for take in takes), Fraction(0))
    if added:
        diluent = fill.in_hand.presentation if fill.in_hand is not None else _diluent(fill.diluent)
        yield fill.diluent or "the diluent", added, own(diluent) if diluent is not None else None


def _diluent(name: str) -> Presentation | None:
    """The diluent of this name, where it is only part of a first dilution and so nothing of it is added."""
    return next((one for one in load().diluents if one.diluent == name), None)
