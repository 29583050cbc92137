"""What was weighed: water, 0.9 % saline, or a liquid whose density someone states. One card, and the shape of a liquid."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt
from typing import Final

from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.water import VALID as WATER_VALID
from drawndose.science.water import water_density

VALID: Final[Valid] = {"t_degC": Range(15.0, 30.0, "degC", "temperature of the saline")}
VALID_OWN: Final[Valid] = {
    "density_g_mL": Range(0.6, 1.5, "g/mL", "density of a liquid for inhalation"),
    "standard_uncertainty_g_mL": Range(0.0, 0.05, "g/mL", "standard uncertainty of the density"),
}

SALINE_COMPUTED: Final = ((15.0, 1005.54), (20.0, 1004.61), (22.0, 1004.17), (25.0, 1003.43), (30.0, 1001.99))
"""Density of 0.896 % m/m sodium chloride [kg/m3] by temperature [degC]: computed with a general property library."""

SALINE_DOUBT: Final = 0.43 / sqrt(3.0)
"""Standard uncertainty of saline's density [kg/m3]: the value commonly quoted, 1.0046 g/mL at 22 degC, lies 0.43 kg/m3 from
the computed one; that gap is taken as the half-width of a rectangle."""

WATER_DOUBT: Final = 0.05 / sqrt(3.0)
"""Standard uncertainty of water's density as used at the bench [kg/m3], for dissolved air and purity: a setting, from memory."""


def saline_density(t_degC: float) -> float:
    """Density of sodium chloride 0.9 % w/v [kg/m3]: water's, and the computed difference between two given temperatures.

    Equation:  rho = rho_water(t) + D(t), D straight between the five given points (it runs from 6.44 to 6.34 kg/m3)
    Symbols:   t   temperature [degC], VALID["t_degC"]
    Source:    computed from published properties (SALINE_COMPUTED), not printed; 1.0046 g/mL is the value commonly
               quoted, without a temperature that fits.
    Example:   1004.61 kg/m3 at 20 degC; taking saline for water overstates a volume by 0.64 %.

    >>> round(saline_density(20.0), 2), round(saline_density(20.0) / water_density(20.0), 4)
    (1004.61, 1.0064)
    """
    hold(VALID, t_degC=t_degC)
    points = [t for t, _ in SALINE_COMPUTED]
    place = min(bisect_right(points, t_degC), len(points) - 1)
    (low, below), (high, above) = SALINE_COMPUTED[place - 1 : place + 1]
    more_low, more_high = below - water_density(low), above - water_density(high)
    return water_density(t_degC) + more_low + (more_high - more_low) * (t_degC - low) / (high - low)


@dataclass(frozen=True, slots=True)
class Liquid:
    """A liquid: its density [kg/m3] as a function of temperature [degC], with its standard uncertainty [kg/m3]."""

    name: str
    density: Callable[[float], float]
    standard_uncertainty: float
    temperatures: Range


WATER: Final = Liquid("water", water_density, WATER_DOUBT, WATER_VALID["t_degC"])
SALINE: Final = Liquid("sodium chloride 0.9 %", saline_density, SALINE_DOUBT, VALID["t_degC"])


def own_liquid(name: str, density_g_mL: float, standard_uncertainty_g_mL: float) -> Liquid:
    """A liquid by a stated density [g/mL] at the temperature of weighing, with its standard uncertainty [g/mL].

    No expansion is assumed: what a wrong temperature would change belongs in the stated uncertainty.

    >>> own_liquid("acetylcysteine 20 %", 1.06, 0.005).density(20.0)
    1060.0
    """
    hold(VALID_OWN, density_g_mL=density_g_mL, standard_uncertainty_g_mL=standard_uncertainty_g_mL)

    def density(t_degC: float) -> float:
        hold(WATER_VALID, t_degC=t_degC)
        return float(1000.0 * density_g_mL)

    return Liquid(name, density, 1000.0 * standard_uncertainty_g_mL, WATER_VALID["t_degC"])
