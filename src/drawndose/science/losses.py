"""A change of needle as a known loss of a draw. What it does is the bench's exact rule; how well the dead space is known is added."""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.dead_space import Change, delivered
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
