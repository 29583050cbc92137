"""Water in gas: pressure and content of saturated vapour, and how cold evaporation can make a liquid. Three cards."""

from __future__ import annotations

from typing import Final

import numpy as np

from drawndose.science.aerosol.numbers import Numbers, held, plain
from drawndose.science.ranges import Range, Valid

VALID: Final[Valid] = {
    "t_degC": Range(-30.0, 40.0, "degC", "temperature"),
    "rh": Range(0.0, 1.0, "", "relative humidity as a share"),
}
VALID_COLDEST: Final[Valid] = {"t_degC": Range(0.0, 40.0, "degC", "temperature of the gas"), "rh": VALID["rh"]}
"""From 0 degC: over ice the psychrometer's constant is another one."""

PRESSURE_HPA: Final = 1013.25
PSYCHROMETER_PER_K: Final = 0.000662
"""Constant of a ventilated psychrometer. From memory."""

HALVINGS: Final = 60


def saturated_pressure(t_degC: Numbers) -> Numbers:
    """Pressure of saturated water vapour over water [hPa].

    Equation:  es = 6.112 exp(17.67 t / (t + 243.5))
    Symbols:   t   temperature [degC], range in VALID
    Source:    the form of Magnus with the constants of Bolton, as a page on absolute humidity prints them (read); stated to
               0.1 % from -30 to 35 degC, and compared in the tests with two other formulas to 40 degC.
    Example:   20 degC: 23.4 hPa.

    >>> round(saturated_pressure(20.0), 2)
    23.37
    """
    held(VALID, t_degC=t_degC)
    return plain(6.112 * np.exp(17.67 * t_degC / (t_degC + 243.5)))


def water_content(t_degC: Numbers, rh: Numbers = 1.0) -> Numbers:
    """Water in air [g/m3, which is mg/L].

    Equation:  rho = 216.74 es rh / (273.15 + t)
    Symbols:   t   temperature [degC]     rh   relative humidity as a share, 1 where saturated [1]; ranges in VALID
    Source:    as `saturated_pressure`.
    Example:   saturated air of 20 degC holds 17.3 g/m3.

    >>> round(water_content(20.0), 1)
    17.3
    """
    held(VALID, t_degC=t_degC, rh=rh)
    return plain(216.74 * saturated_pressure(t_degC) * rh / (273.15 + t_degC))


def coldest(t_degC: float, rh: float) -> float:
    """How cold gas of this temperature and humidity can make a liquid by evaporation alone, at one atmosphere [degC].

    Equation:  es(Tw) - 0.000662 p (t - Tw) = rh es(t), solved for Tw
    Symbols:   t   temperature of the gas [degC]     rh   its relative humidity as a share [1]
               p   1013.25 hPa; ranges in VALID_COLDEST
    Beware:    a bound. A cup is warmed by the room and the hand and stands above it; what it really has is an input, not
               this figure.
    Source:    the psychrometer's equation (constant from memory).
    Example:   dry gas of 22 degC: 7.0 degC; at 50 %: 15.5 degC.

    >>> round(coldest(22.0, 0.0), 1), round(coldest(22.0, 0.5), 1)
    (7.0, 15.5)
    """
    held(VALID_COLDEST, t_degC=t_degC, rh=rh)
    wanted = rh * float(saturated_pressure(t_degC))
    low, high = VALID["t_degC"].low, t_degC
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        over = float(saturated_pressure(middle)) - PSYCHROMETER_PER_K * PRESSURE_HPA * (t_degC - middle) > wanted
        low, high = (low, middle) if over else (middle, high)
    return high
