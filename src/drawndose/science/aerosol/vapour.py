"""How much of what leaves the cup is only water: by the gas, by two rates, and by what the cup's concentration tells. Three cards."""

from __future__ import annotations

from typing import Final

import numpy as np

from drawndose.science.aerosol.humidity import water_content
from drawndose.science.aerosol.numbers import Numbers, held, plain, refuse_if
from drawndose.science.ranges import Range, Valid

VALID: Final[Valid] = {
    "flow_L_min": Range(0.1, 30.0, "L/min", "flow of gas"),
    "solution_degC": Range(0.0, 40.0, "degC", "temperature of the solution"),
    "inlet_g_m3": Range(0.0, 60.0, "g/m3", "water in the gas that comes in"),
    "droplets_mL_min": Range(0.0, 20.0, "mL/min", "output of droplets"),
    "vapour_mL_min": Range(0.0, 20.0, "mL/min", "loss of vapour"),
    "start": Range(1e-6, 1e5, "", "concentration at the start"),
    "end": Range(1e-6, 1e5, "", "concentration at the end"),
    "volume_ratio": Range(1.001, 1000.0, "", "volume at the start over that at the end"),
}


def vapour_rate(flow_L_min: Numbers, solution_degC: Numbers, inlet_g_m3: Numbers = 0.0) -> Numbers:
    """Water that gas takes up as vapour when it leaves saturated at the temperature of the solution [mL/min].

    Equation:  E = Q (rho(Ts) - x) / 1000; 0 where the gas comes in with more water than it can leave with
    Symbols:   Q   flow of gas [L/min]     Ts   temperature of the solution [degC]     rho   `water_content` [g/m3]
               x   water in the gas as it comes in [g/m3]: 0 out of a cylinder or the wall, that of the room out of a
               compressor; ranges in VALID
    Source:    derived: a balance of water. That dry gas takes up more, and that output follows temperature, was read in a
               study of 1990 (Chest 97:1327-1332). It is the most that the gas can take up.
    Example:   8 L/min of dry gas over a solution of 12 degC: 0.085 mL/min.

    >>> round(vapour_rate(8.0, 12.0), 3), vapour_rate(8.0, 8.0, 9.7)
    (0.085, 0.0)
    """
    held(VALID, flow_L_min=flow_L_min, solution_degC=solution_degC, inlet_g_m3=inlet_g_m3)
    return plain(np.maximum(flow_L_min * (water_content(solution_degC) - inlet_g_m3) / 1000.0, 0.0))


def evaporated_share(droplets_mL_min: Numbers, vapour_mL_min: Numbers) -> Numbers:
    """The share of the fall in weight that is only water [1].

    Equation:  e = E / (A + E)
    Symbols:   A   output of droplets [mL/min]     E   loss of vapour [mL/min]; ranges in VALID, not both 0
    Source:    the definition.
    Example:   0.2 mL/min of droplets and 0.085 of vapour: 0.30.

    >>> round(evaporated_share(0.2, 0.085), 2)
    0.3
    """
    held(VALID, droplets_mL_min=droplets_mL_min, vapour_mL_min=vapour_mL_min)
    whole = droplets_mL_min + vapour_mL_min
    refuse_if(whole == 0, "droplets_mL_min", "nothing leaves the cup", 0.0, "more than 0 mL/min of one of the two")
    return plain(vapour_mL_min / whole)


def share_from_ratio(start: Numbers, end: Numbers, volume_ratio: Numbers) -> Numbers:
    """The share that is only water, out of two concentrations of the cup (osmolality, chloride, drug) [1].

    Equation:  e = ln(c1 / c0) / ln(V0 / V1)
    Symbols:   c0, c1   concentration at the start and the end, in one unit     V0 / V1   volume at the start over that at the
               end [1]; ranges in VALID
    Source:    the balance of mass in `cup`, turned round.
    Example:   282 to 432 mmol/kg while the volume falls to a quarter: 0.31.

    >>> round(share_from_ratio(282.0, 432.0, 4.0), 3)
    0.308
    """
    held(VALID, start=start, end=end, volume_ratio=volume_ratio)
    rise = end / start
    refuse_if(rise < 1.0, "end", "a cup does not become thinner", rise, "no less than at the start")
    refuse_if(
        rise > volume_ratio, "end", "no drug is made: the rise is more than the volume fell", rise, "at most V0 / V1"
    )
    return plain(np.log(rise) / np.log(volume_ratio))
