"""Droplets of a spray: sizes log-normal by mass. Five cards.

Sizes are aerodynamic diameters: of the ball of water that settles as fast. A droplet of a dilute solution is one itself.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from drawndose.science.aerosol.numbers import Numbers, held, plain, refuse_if
from drawndose.science.ranges import Range, Valid

VALID: Final[Valid] = {
    "cut_um": Range(0.01, 100.0, "micrometres", "size to cut at"),
    "mmad_um": Range(0.1, 20.0, "micrometres", "mass median aerodynamic diameter"),
    "gsd": Range(1.05, 4.0, "", "geometric standard deviation"),
    "small_um": Range(0.01, 100.0, "micrometres", "smaller size"),
    "large_um": Range(0.01, 100.0, "micrometres", "larger size"),
    "small_share": Range(0.001, 0.999, "", "share by mass under the smaller size"),
    "large_share": Range(0.001, 0.999, "", "share by mass under the larger size"),
    "diameter_um": Range(1.0, 100.0, "micrometres", "diameter"),
    "density_g_mL": Range(0.5, 5.0, "g/mL", "density"),
}


def share_below(cut_um: Numbers, mmad_um: Numbers, gsd: Numbers) -> Numbers:
    """The share by mass in droplets smaller than a size [1].

    Equation:  Phi(ln(d / MMAD) / ln GSD)
    Symbols:   d   the size [micrometres]     MMAD   half of the mass is below it [micrometres]     GSD   geometric standard
               deviation [1]; ranges in VALID
    Source:    the log-normal distribution.
    Example:   MMAD 4, GSD 2.2: 61 % under 5 micrometres.

    >>> round(share_below(5.0, 4.0, 2.2), 4)
    0.6114
    """
    from scipy.special import ndtr

    held(VALID, cut_um=cut_um, mmad_um=mmad_um, gsd=gsd)
    return plain(ndtr(np.log(cut_um / mmad_um) / np.log(gsd)))


def spray_of_cuts(small_um: float, small_share: float, large_um: float, large_share: float) -> tuple[float, float]:
    """MMAD [micrometres] and GSD [1] out of two measured shares below a size.

    Equation:  ln GSD = ln(d2 / d1) / (z2 - z1), ln MMAD = ln d1 - z1 ln GSD, z = Phi^-1(share)
    Symbols:   d1, d2   two sizes [micrometres]     share   mass below each [1]; ranges in VALID, the second larger in both
    Source:    `share_below`, turned round.
    Example:   16 % under 2 and 84 % under 8: MMAD 4.0, GSD 2.0.

    >>> [round(one, 2) for one in spray_of_cuts(2.0, 0.1587, 8.0, 0.8413)]
    [4.0, 2.0]
    """
    from scipy.special import ndtri

    held(VALID, small_um=small_um, small_share=small_share, large_um=large_um, large_share=large_share)
    refuse_if(large_um <= small_um, "large_um", "the second size is the larger", large_um, "more than the first")
    refuse_if(
        large_share <= small_share, "large_share", "more lies under a larger size", large_share, "more than the first"
    )
    first, second = float(ndtri(small_share)), float(ndtri(large_share))
    log_gsd = float(np.log(large_um / small_um)) / (second - first)
    return float(small_um * np.exp(-first * log_gsd)), float(np.exp(log_gsd))


def gsd_of_width(small_um: float, large_um: float) -> float:
    """GSD out of the sizes below which 15.87 and 84.13 % of the mass lie [1].

    Equation:  sqrt(d84 / d16)
    Symbols:   d16, d84   the two sizes [micrometres]; ranges in VALID
    Source:    the log-normal distribution, one standard deviation to each side.
    Example:   2 and 8 micrometres: 2.0.

    >>> gsd_of_width(2.0, 8.0)
    2.0
    """
    held(VALID, small_um=small_um, large_um=large_um)
    refuse_if(large_um <= small_um, "large_um", "the second size is the larger", large_um, "more than the first")
    return float(np.sqrt(large_um / small_um))


def mass_over_count(gsd: Numbers) -> Numbers:
    """The median diameter by mass over that by count [1].

    Equation:  MMD / CMD = exp(3 ln^2 GSD)
    Symbols:   GSD   geometric standard deviation [1], range in VALID
    Source:    Hatch and Choate (from memory; it follows from the log-normal distribution, and the tests integrate it).
    Example:   GSD 2: 4.23 times.

    >>> round(mass_over_count(2.0), 4)
    4.2264
    """
    held(VALID, gsd=gsd)
    return plain(np.exp(3.0 * np.log(gsd) ** 2))


def aerodynamic(diameter_um: Numbers, density_g_mL: Numbers) -> Numbers:
    """Aerodynamic diameter of a round droplet [micrometres].

    Equation:  d_ae = d sqrt(rho / rho0), rho0 = 1 g/mL; slip is left out, which is under 5 % from 1 micrometre up
    Symbols:   d   diameter [micrometres]     rho   density [g/mL]; ranges in VALID
    Source:    the definition, for droplets above 1 micrometre.
    Example:   3 micrometres of a liquid of 1.21 g/mL: 3.3.

    >>> round(aerodynamic(3.0, 1.21), 2)
    3.3
    """
    held(VALID, diameter_um=diameter_um, density_g_mL=density_g_mL)
    return plain(diameter_um * np.sqrt(density_g_mL))
