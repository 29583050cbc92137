"""One complete way to answer an order: what is taken from which containers, and the fill; and how two ways compare."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.draws import ml
from drawndose.bench.fills import FillPlan
from drawndose.bench.findings import Finding, Level
from drawndose.bench.policy import Policy
from drawndose.bench.takes import NEEDLED, Take, percent


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """Takes for every drug line, the fill that they need, and what the safeguards found."""

    takes: tuple[Take, ...]
    fill: FillPlan
    findings: tuple[Finding, ...]

    @property
    def stops(self) -> tuple[Finding, ...]:
        """The findings that hold this way back."""
        return tuple(finding for finding in self.findings if finding.level is Level.STOP)


def measure(name: str, takes: tuple[Take, ...]) -> Fraction | int:
    """What the ranking compares under this name; smaller is better. Stops are counted once the fill is known."""
    return _MEASURES[name](takes)


_MEASURES: dict[str, Callable[[tuple[Take, ...]], Fraction | int]] = {
    "labelled": lambda takes: max(take.label_rank for take in takes),
    "exact": lambda takes: sum(take.draw is not None and take.draw.volume != take.draw.asked for take in takes),
    "whole": lambda takes: sum(take.draw is not None or take.first_dilution is not None for take in takes),
    "supplied measure": lambda takes: sum(not take.by_supplied_measure for take in takes),
    "risk": lambda takes: max(take.risk for take in takes),
    "handlings": lambda takes: sum(take.handlings for take in takes),
    "waste": lambda takes: sum((take.waste for take in takes), Fraction(0)),
}


def rank(takes: tuple[Take, ...], policy: Policy) -> tuple[object, ...]:
    """The sort key of a way by the policy's ranking; equal ways fall back to their ids, so the answer is always one."""
    tie = tuple((take.in_hand.presentation.id, take.in_hand.contents(), *_size(take)) for take in takes)
    return (*(measure(name, takes) for name in policy.ranking if name != "stop"), tie)


def _size(take: Take) -> tuple[bool, Fraction, str]:
    """Among equals: first an instrument with room to over-draw and trim, then the smallest, then by its id."""
    if take.draw is None:
        return (False, Fraction(0), "")
    tool = take.draw.instrument
    return (take.in_hand.presentation.container in NEEDLED and tool.capacity in take.draw.fills, tool.capacity, tool.id)


def why_lost(loser: tuple[Take, ...], winner: tuple[Take, ...], policy: Policy) -> str:
    """The one reason why a way lost: the first thing in the ranking in which it is worse."""
    for name in policy.ranking:
        if name != "stop" and (mine := measure(name, loser)) != (best := measure(name, winner)):
            more = _finer(loser, winner) if name == "supplied measure" else ""
            return _WORDS[name](Fraction(mine), Fraction(best)) + more
    for one, other in zip(loser, winner, strict=False):
        if (
            one.in_hand.presentation is other.in_hand.presentation
            and one.in_hand.contents() == other.in_hand.contents()
        ):
            if _size(one)[0] > _size(other)[0]:
                return "leaves no room to draw past the line and trim back"
            if _size(one)[1] > _size(other)[1]:
                return "a larger instrument than the volume needs"
    return "as good in every respect that counts; the order of the catalogue decided"


def _finer(loser: tuple[Take, ...], winner: tuple[Take, ...]) -> str:
    """Both errors, where what was passed over for the supplied measure is the finer one."""
    mine, best = (max(take.risk for take in takes) for takes in (loser, winner))
    return f"; finer: off by up to {percent(mine)} of the dose, against {percent(best)}" if mine < best else ""


_WORDS: dict[str, Callable[[Fraction, Fraction], str]] = {
    "labelled": lambda mine, best: "not labelled for this use by nebulizer, where another one is",
    "exact": lambda mine, best: "takes a line beside the volume where another way has the line",
    "whole": lambda mine, best: "measures a volume where whole containers hold the dose",
    "supplied measure": lambda mine, best: "passes over the calibrated dropper that the bottle comes with",
    "risk": lambda mine, best: f"may be off by {percent(mine)} of the dose, against {percent(best)}",
    "handlings": lambda mine, best: f"{int(mine)} handlings against {int(best)}",
    "waste": lambda mine, best: f"throws away {ml(mine)}, against {ml(best)}",
}


def take_words(take: Take) -> str:
    """A take in words: the container with its fill, and the instrument."""
    presentation = take.in_hand.presentation
    several = len(presentation.packs) > 1 and take.in_hand.pack.volume is not None
    name = f"{presentation.name} ({ml(take.in_hand.contents())})" if several else presentation.name
    if take.first_dilution is not None:
        return f"{name}, by a first dilution"
    if take.draw is None:
        return f"{name}, {take.whole} whole"
    part = f"{take.whole} whole and " if take.whole else ""
    return f"{name}, {part}{ml(take.draw.volume)} with {take.draw.instrument.name}"
