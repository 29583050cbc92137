"""What a needle keeps, and what a change of needle does to the dose. Exact volumes, mL.

The scale of a syringe counts what leaves its nozzle while the stopper passes the lines; what lies in nozzle and needle is
beyond the scale. So it matters whether the needle was full when the line was set, and whether it is there when the dose
leaves. Five cases of a change, and the two of a dose that leaves without a needle, worked out here from that definition.

Source: ISO 7886-1:1993, 3.2 (graduated capacity is what is expelled); the cases agree with USP <1>, volume in container
(discharge without emptying the needle), read in secondary copies.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from drawndose.bench.draws import ml
from drawndose.quantities import Fault, Refused


class Change(Enum):
    """What happened to the needle between setting the line and giving the dose."""

    SAME = "same needle, full when the line was set"
    DRY_AFTER = "dry needle put on after the line was set"
    PRIMED = "new needle filled first, then the line set"
    OTHER_DRUG = "needle still full of the drug when the next liquid was drawn"
    RINSED = "nozzle and needle rinsed into the cup after the dose"
    TAKEN_OFF = "needle taken off after the line was set, dose given without one"
    FILTER_OFF = "filter needle taken off before the line was set, dose given without one"


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivered:
    """What reaches the cup, what the container loses beside it, and the sentence that says so. mL."""

    volume: Fraction
    wasted: Fraction
    says: str


def delivered(volume: Fraction, change: Change, *, keeps: Fraction, nozzle: Fraction = Fraction(0)) -> Delivered:
    """What a line of `volume` delivers when the needle keeps `keeps` and the nozzle `nozzle`.

    Refused for a volume that is not above 0, a negative dead space, and a dry needle that would swallow the whole dose.
    """
    if volume <= 0 or keeps < 0 or nozzle < 0:
        came = f"{volume} mL, needle {keeps} mL, nozzle {nozzle} mL"
        raise Refused(
            [Fault(field="volume", rule="volumes are above 0, dead spaces not below", came=came, accepted="0.5 mL")]
        )
    if change is Change.DRY_AFTER and volume <= keeps:
        rule = f"a dry needle that keeps {ml(keeps)} would swallow the whole dose"
        raise Refused([Fault(field="volume", rule=rule, came=ml(volume), accepted=f"more than {ml(keeps)}")])
    reaches, wasted = {
        Change.SAME: (volume, keeps + nozzle),
        Change.DRY_AFTER: (volume - keeps, keeps + nozzle),
        Change.PRIMED: (volume, 2 * keeps + nozzle),
        Change.OTHER_DRUG: (volume + keeps + nozzle, Fraction(0)),
        Change.RINSED: (volume + keeps + nozzle, Fraction(0)),
        Change.TAKEN_OFF: (volume, keeps + nozzle),
        Change.FILTER_OFF: (volume, keeps + nozzle),
    }[change]
    share = (reaches - volume) / volume
    told = f"{change.value}: {ml(reaches)} reaches the cup"
    if share:
        told += f", {ml(abs(reaches - volume))} {'more' if share > 0 else 'less'} than the line"
    return Delivered(volume=reaches, wasted=wasted, says=f"{told}.")
