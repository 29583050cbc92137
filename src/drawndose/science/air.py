"""Density of moist air. One card, from memory: a setting of the house, checked in tests against a second formula."""

from __future__ import annotations

from math import exp
from typing import Final

from drawndose.science.ranges import Range, Valid, hold

VALID: Final[Valid] = {
    "t_degC": Range(5.0, 35.0, "degC", "air temperature"),
    "p_hPa": Range(600.0, 1100.0, "hPa", "air pressure"),
    "rh_percent": Range(0.0, 100.0, "%", "relative humidity"),
}

RELATIVE_GAP: Final = 1e-3
"""How far this approximation may lie from the full formula inside VALID, as a share (found in the tests; 1.4e-4 from 15 to
30 degC, 900 to 1067 hPa and 20 to 80 %). Air is 0.12 % of a weighing in water, so this is about 1e-6 of a volume."""


def air_density(t_degC: float, p_hPa: float, rh_percent: float) -> float:
    """Density of moist air, the approximation used for weighing [kg/m3].

    Equation:  rho_a = (0.34848 p - 0.009 h exp(0.061 t)) / (273.15 + t)
    Symbols:   t   air temperature [degC]      p   air pressure at this place, not reduced to sea level [hPa]
               h   relative humidity [%]       ranges in VALID
    Source:    OIML R 111-1, annex on air density, exponential version of the CIPM formula. From memory: not read. Checked
               against CIPM-2007, itself from memory, over the whole of VALID.
    Example:   20 degC, 1013.25 hPa, 50 %: 1.1993 kg/m3.

    >>> round(air_density(20.0, 1013.25, 50.0), 5)
    1.19929
    """
    hold(VALID, t_degC=t_degC, p_hPa=p_hPa, rh_percent=rh_percent)
    return float((0.34848 * p_hPa - 0.009 * rh_percent * exp(0.061 * t_degC)) / (273.15 + t_degC))
