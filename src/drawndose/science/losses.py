"""A change of needle as a known loss of a draw. What it does is the bench's exact rule; how well the dead space is known is added."""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.dead_space import Change, delivered
from drawndose.bench.plans import Plan
from drawndose.quantities import Fault, Refused
from drawndose.reference import Needle
from drawndose.science.drawing import Loss


def needle_loss(
    volume: Fraction, change: Change, *, keeps: Fraction, nozzle: Fraction = Fraction(0), half_width_mL: float = 0.0
) -> Loss:
    """What is lost of a volume that was set, mL; negative where more is delivered. Refused where the bench refuses.

    keeps: dead space of the needle with its hub; nozzle: content of the nozzle; both exact, mL. half_width_mL: how far the two
    together may be off.

    >>> loss = needle_loss(Fraction(1, 2), Change.DRY_AFTER, keeps=Fraction(1, 20))
    >>> loss.lost_mL, loss.says
    (0.05, 'dry needle put on after the line was set')
    """
    reaches = delivered(volume, change, keeps=keeps, nozzle=nozzle).volume
    return Loss(says=change.value, lost_mL=float(volume - reaches), half_width_mL=half_width_mL)


def dry_needle_losses(plan: Plan, needle: Needle) -> dict[int, Loss]:
    """What a dry needle, put on after every line is set, keeps of each measured dose, by the place of the take in the plan.

    Of a first dilution the last volume is the dose. Refused where no figure for the needle was found, or where it would
    swallow a dose.
    """
    if needle.keeps is None:
        rule = f"no figure was found for what a {needle.name} keeps: weigh it"
        raise Refused([Fault(field="needle", rule=rule, came=needle.id, accepted="a needle with its dead space")])
    found = {}
    for place, take in enumerate(plan.takes):
        drawn = take.first_dilution.part if take.first_dilution is not None else take.draw
        if drawn is not None:
            found[place] = needle_loss(drawn.fills[0], Change.DRY_AFTER, keeps=needle.keeps)
    return found
