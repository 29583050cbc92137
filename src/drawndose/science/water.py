"""Density of water. One card."""

from __future__ import annotations

from typing import Final

from drawndose.science.ranges import Range, Valid, hold

VALID: Final[Valid] = {"t_degC": Range(0.0, 40.0, "degC", "water temperature")}


def water_density(t_degC: float) -> float:
    """Density of pure, air-free water at one atmosphere [kg/m3].

    Equation:  rho = a5 (1 - (t + a1)^2 (t + a2) / (a3 (t + a4)))
    Symbols:   t        temperature, ITS-90 [degC], VALID["t_degC"]
               a1..a5   -3.983035 degC, 301.797 degC, 522528.9 degC2, 69.34881 degC, 999.974950 kg/m3
    Beware:    an older fit with 288.9414, 508929.2, 68.12963 and 3.9863 goes about under the same name. It is not this one.
    Source:    Tanaka, Girard, Davis, Peuto, Bignell: Recommended table for the density of water between 0 degC and 40 degC
               based on recent experimental reports. Metrologia 2001;38:301-309, equation on p. 305 (coefficients read
               in public code that cites the page).
    Example:   4 degC is the densest whole degree, and 20 degC is 998.2 kg/m3.

    >>> round(water_density(20.0), 3), round(water_density(4.0), 3)
    (998.207, 999.975)
    """
    hold(VALID, t_degC=t_degC)
    t = float(t_degC)
    return 999.974950 * (1.0 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))
