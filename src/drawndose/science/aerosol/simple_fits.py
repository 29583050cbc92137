"""Where inhaled droplets of one size settle, by five short fits. One card.

For still air breathed by healthy adults, largely through the nose, between rest and exercise. With a mouthpiece they put far
too much into the head and too little into the lung: for that `task_group` is there, and no dose is told from these.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from drawndose.science.aerosol.droplets import VALID as VALID_SPRAY
from drawndose.science.aerosol.nodes import fine_nodes
from drawndose.science.aerosol.numbers import Numbers, held, plain
from drawndose.science.ranges import Range, Valid

VALID: Final[Valid] = {"size_um": Range(0.001, 100.0, "micrometres", "size of the droplets")}
VALID_OF_SPRAY: Final[Valid] = {"mmad_um": VALID_SPRAY["mmad_um"], "gsd": VALID_SPRAY["gsd"]}
LIMITS: Final = (
    "healthy adults, averaged over men and women at rest and at work",
    "breathing largely through the nose, out of still air: not for a mouthpiece",
    "droplets of one size, that neither grow nor shrink",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fits:
    """Shares of the aerosol in the air [1]: what enters nose or mouth, and what settles in head, bronchi, alveoli and in all.

    The regions and the total are separate fits: their sum differs from it by up to 0.034 from 0.3 micrometres up, and by
    up to 0.06 below.
    """

    inhalable: Numbers
    head: Numbers
    bronchi: Numbers
    alveoli: Numbers
    total: Numbers


def simple_fits(size_um: Numbers) -> Fits:
    """Settling of droplets of one size, as shares of the aerosol in the air [1].

    Equation:  IF  = 1 - 0.5 (1 - 1 / (1 + 0.00076 d^2.8))
               HA  = IF (1 / (1 + exp(6.84 + 1.183 ln d)) + 1 / (1 + exp(0.924 - 1.885 ln d)))
               TB  = (0.00352 / d) (exp(-0.234 (ln d + 3.40)^2) + 63.9 exp(-0.819 (ln d - 1.61)^2))
               AL  = (0.0155 / d) (exp(-0.416 (ln d + 2.84)^2) + 19.11 exp(-0.482 (ln d - 1.362)^2))
               TOT = IF (0.0587 + 0.911 / (1 + exp(4.77 + 1.485 ln d)) + 0.943 / (1 + exp(0.508 - 2.58 ln d)))
    Symbols:   d   aerodynamic diameter [micrometres], range in VALID
    Source:    Hinds, Aerosol Technology, 2nd edition, 1999, equations 11.1 to 11.5: coefficients read in a stored teaching
               routine that cites them, and the same from memory; the page itself was not read. Said to lie within 0.03 of the
               model they were fitted to (from memory).
    Example:   3 micrometres: 91 % settle, 75 % of them all in the head.

    >>> found = simple_fits(3.0)
    >>> round(found.head, 4), round(found.bronchi, 4), round(found.alveoli, 4), round(found.total, 4)
    (0.7531, 0.0605, 0.0955, 0.9119)
    """
    held(VALID, size_um=size_um)
    log = np.log(size_um)
    inhalable = inhalable_share(size_um)
    head = inhalable * (1.0 / (1.0 + np.exp(6.84 + 1.183 * log)) + 1.0 / (1.0 + np.exp(0.924 - 1.885 * log)))
    bronchi = (0.00352 / size_um) * (np.exp(-0.234 * (log + 3.40) ** 2) + 63.9 * np.exp(-0.819 * (log - 1.61) ** 2))
    alveoli = (0.0155 / size_um) * (np.exp(-0.416 * (log + 2.84) ** 2) + 19.11 * np.exp(-0.482 * (log - 1.362) ** 2))
    total = inhalable * (
        0.0587 + 0.911 / (1.0 + np.exp(4.77 + 1.485 * log)) + 0.943 / (1.0 + np.exp(0.508 - 2.58 * log))
    )
    return Fits(
        inhalable=plain(inhalable), head=plain(head), bronchi=plain(bronchi), alveoli=plain(alveoli), total=plain(total)
    )


def fits_of_spray(mmad_um: float, gsd: float) -> Fits:
    """The same for a log-normal spray: the mean over its sizes [1].

    Equation:  the mean of `simple_fits` over ln d, with weight N(ln MMAD, ln GSD), out to four standard deviations
    Symbols:   MMAD   mass median aerodynamic diameter [micrometres]     GSD   geometric standard deviation [1]; ranges in
               VALID_OF_SPRAY. Droplets beyond the sizes of `simple_fits` are taken at its limit
    Source:    as `simple_fits`.
    Example:   MMAD 3, GSD 2: 68 % settle in the head.

    >>> round(fits_of_spray(3.0, 2.0).head, 2)
    0.68
    """
    held(VALID_OF_SPRAY, mmad_um=mmad_um, gsd=gsd)
    nodes = fine_nodes()
    each = simple_fits(np.clip(mmad_um * gsd**nodes.at, VALID["size_um"].low, VALID["size_um"].high))
    names = ("inhalable", "head", "bronchi", "alveoli", "total")
    return Fits(**{name: float(nodes.weight @ getattr(each, name)) for name in names})


def inhalable_share(size_um: Numbers) -> Numbers:
    """The share of droplets in still air that enters nose or mouth [1].

    Equation:  1 - 0.5 (1 - 1 / (1 + 0.00076 d^2.8))
    Symbols:   d   aerodynamic diameter [micrometres], range in VALID
    Source:    as `simple_fits`, equation 11.2.
    Example:   5 micrometres: 97 %.

    >>> round(inhalable_share(5.0), 4)
    0.9678
    """
    held(VALID, size_um=size_um)
    return plain(1.0 - 0.5 * (1.0 - 1.0 / (1.0 + 0.00076 * size_um**2.8)))
