"""How a measured volume leaves its containers: each entry with its air, and what needle and nozzle keep beside the dose.

The steps of a plan take the needle off before the dose leaves the syringe: off a vial after the line was set, off an
ampoule (where it is a filter) before. Either way the line is delivered, and the containers give what stays behind as well.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.dead_space import Change, Delivered, delivered
from drawndose.bench.draws import Draw, ml
from drawndose.bench.takes import NEEDLED, Take
from drawndose.reference import Container, Needle, load

WIDEST = "needle-18g"
"""The widest usual needle: its figure is counted where no needle was named, or where the named one has none."""

CHANGES = {
    Container.STOPPERED_VIAL: Change.TAKEN_OFF,
    Container.POWDER_VIAL: Change.TAKEN_OFF,
    Container.GLASS_AMPOULE: Change.FILTER_OFF,
}
"""The case that the technique of each container describes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One time that a needle goes into a container: which container and which fill, from 1, and the volume drawn, mL.

    air: what is put in first, as much as is drawn; nothing into an ampoule, which is open.
    """

    container: int
    fill: int
    volume: Fraction
    air: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class NeedleCase:
    """What the needle does to a draw. keeps and nozzle, mL, are for one fill.

    needle: the one that stands on the bench, or None. own: True where `keeps` is that needle's own figure, False where the
    widest usual one is counted. nozzle: 0 where it is not known. result: all fills together.
    """

    change: Change
    needle: Needle | None
    own: bool
    keeps: Fraction
    nozzle: Fraction
    result: Delivered

    @property
    def lost(self) -> Fraction:
        """What the containers must give beside the dose, mL."""
        return self.result.wasted

    @property
    def says(self) -> str:
        """In one sentence: what the needle keeps is no part of the dose."""
        if self.own and self.needle is not None:
            return f"What the {self.needle.name} keeps, {ml(self.keeps)}, is no part of the dose."
        not_found = f" (for the {self.needle.name} no figure was found: weigh it)" if self.needle is not None else ""
        return f"What stays in the needle, up to {ml(self.keeps)}{not_found}, is no part of the dose."


def measured_out(take: Take) -> Draw | None:
    """What is drawn out of the containers: the dose, or the stock of a first dilution; None where nothing is."""
    return take.first_dilution.stock if take.first_dilution is not None else take.draw


def entries(take: Take) -> tuple[Entry, ...]:
    """Every entry of a needle, in order; none where no needle goes in or nothing is measured."""
    drawn, kind = measured_out(take), take.in_hand.presentation.container
    if drawn is None or kind not in NEEDLED:
        return ()
    contents = take.in_hand.contents()
    found: list[Entry] = []
    container, room = 1, contents
    for fill, rest in enumerate(drawn.fills, start=1):
        while rest:
            if not room:
                container, room = container + 1, contents
            part = min(rest, room)
            air = Fraction(0) if kind is Container.GLASS_AMPOULE else part
            found.append(Entry(container=container, fill=fill, volume=part, air=air))
            rest, room = rest - part, room - part
    return tuple(found)


def needle_case(take: Take, needles: Iterable[Needle] = ()) -> NeedleCase | None:
    """What the needle does to this take; None where no needle goes in or nothing is measured.

    Of the needles on the bench that fit (filters for an ampoule, no filter for a vial) the one that keeps most is counted.
    """
    drawn, kind = measured_out(take), take.in_hand.presentation.container
    if drawn is None or kind not in NEEDLED:
        return None
    fits = [one for one in needles if one.filters is (kind is Container.GLASS_AMPOULE)]
    widest = load().needle(WIDEST).keeps
    assert widest is not None  # the data says it, and a test holds it there
    needle = max(fits, key=lambda one: (one.keeps is None, one.keeps or Fraction(0)), default=None)
    keeps = widest if needle is None or needle.keeps is None else needle.keeps
    nozzle = drawn.instrument.nozzle or Fraction(0)
    change = CHANGES[kind]
    each = [delivered(fill, change, keeps=keeps, nozzle=nozzle) for fill in drawn.fills]
    volume = sum((one.volume for one in each), Fraction(0))
    wasted = sum((one.wasted for one in each), Fraction(0))
    result = Delivered(volume=volume, wasted=wasted, says=f"{change.value}: {ml(volume)} reaches the cup.")
    own = needle is not None and needle.keeps is not None
    return NeedleCase(change=change, needle=needle, own=own, keeps=keeps, nozzle=nozzle, result=result)


def air_words(take: Take) -> str:
    """How much air goes in before each entry, for the step that draws it: as much as will be drawn."""
    volumes = [one.air for one in entries(take)]
    if len(volumes) <= 1:
        return ml(volumes[0]) if volumes else "nothing"
    if len(set(volumes)) == 1:
        return f"{ml(volumes[0])} at each of {len(volumes)} entries"
    return f"{', then '.join(ml(one) for one in volumes)}, one entry each"
