"""Gas for a nebulizer: how long a cylinder lasts, what a job needs, heliox on an oxygen flowmeter, air with oxygen. Cards."""

from __future__ import annotations

from typing import Final

import numpy as np

from drawndose.science.aerosol.numbers import Numbers, held, plain, refuse_if
from drawndose.science.ranges import Range, Valid

VALID: Final[Valid] = {
    "litres_per_psi": Range(0.01, 10.0, "L/psi", "what the cylinder holds for each psi"),
    "psi": Range(0.0, 3500.0, "psi", "pressure"),
    "reserve_psi": Range(0.0, 1000.0, "psi", "reserve"),
    "flow_L_min": Range(0.1, 60.0, "L/min", "flow of gas"),
    "minutes": Range(0.0, 6000.0, "min", "time"),
    "read_L_min": Range(0.1, 30.0, "L/min", "reading of the flowmeter"),
    "factor": Range(1.0, 2.0, "", "factor of the mixture"),
    "helium": Range(0.0, 0.8, "", "share of helium"),
    "air_L_min": Range(0.0, 100.0, "L/min", "flow of air"),
    "oxygen_L_min": Range(0.0, 100.0, "L/min", "flow of oxygen"),
}
OXYGEN_G_MOL: Final = 31.998
HELIUM_G_MOL: Final = 4.0026
OXYGEN_IN_AIR: Final = 0.209
"""Text-book values."""


def cylinder_minutes(litres_per_psi: Numbers, psi: Numbers, reserve_psi: Numbers, flow_L_min: Numbers) -> Numbers:
    """How long a cylinder lasts down to its reserve [min]; 0 at the reserve and below.

    Equation:  T = (P - Pr) k / Q
    Symbols:   k   what its size holds for each psi [L/psi]     P   pressure on the gauge [psi]     Pr   reserve [psi]
               Q   actual flow [L/min]; ranges in VALID
    Source:    a service's cylinder guidance of 2010 with its factors (a copy was read): D 0.16, E 0.28, M 1.56, G 2.41, H 3.14.
    Example:   E with 2,000 psi, reserve 200, at 8 L/min: 63 min.

    >>> cylinder_minutes(0.28, 2000.0, 200.0, 8.0).__round__(1)
    63.0
    """
    held(VALID, litres_per_psi=litres_per_psi, psi=psi, reserve_psi=reserve_psi, flow_L_min=flow_L_min)
    return plain(np.maximum(psi - reserve_psi, 0.0) * litres_per_psi / flow_L_min)


def least_pressure(minutes: Numbers, flow_L_min: Numbers, litres_per_psi: Numbers, reserve_psi: Numbers) -> Numbers:
    """The least pressure that a job needs [psi].

    Equation:  P = Pr + T Q / k
    Symbols:   T   time of the job [min]     Q   actual flow [L/min]     k   [L/psi]     Pr   reserve [psi]; ranges in VALID
    Source:    `cylinder_minutes`, turned round.
    Example:   15 min at 10 L/min out of a D with 200 psi reserve: 1,138 psi.

    >>> round(least_pressure(15.0, 10.0, 0.16, 200.0), 1)
    1137.5
    """
    held(VALID, minutes=minutes, flow_L_min=flow_L_min, litres_per_psi=litres_per_psi, reserve_psi=reserve_psi)
    return plain(reserve_psi + minutes * flow_L_min / litres_per_psi)


def heliox_flow(read_L_min: Numbers, factor: Numbers) -> Numbers:
    """The actual flow of heliox through a flowmeter made for oxygen [L/min].

    Equation:  Q = k q
    Symbols:   q   what the flowmeter shows [L/min]     k   factor of the mixture [1]: 1.8 (80/20), 1.6 (70/30), 1.4 (60/40);
               ranges in VALID
    Source:    a question page with the three factors (read); `heliox_factor` derives them.
    Example:   10 L/min shown with 80/20 are 18 L/min.

    >>> heliox_flow(10.0, 1.8)
    18.0
    """
    held(VALID, read_L_min=read_L_min, factor=factor)
    return plain(factor * read_L_min)


def heliox_factor(helium: Numbers) -> Numbers:
    """The factor of a mixture of helium and oxygen by its density [1].

    Equation:  k = sqrt(M_O2 / M), M = x M_He + (1 - x) M_O2
    Symbols:   x   share of helium [1], range in VALID     M_O2   31.998 g/mol     M_He   4.0026 g/mol
    Source:    derived: a flowmeter's orifice passes gas as one over the root of its density.
    Example:   80 % helium: 1.83, where 1.8 is used.

    >>> round(heliox_factor(0.8), 3), heliox_factor(0.0)
    (1.826, 1.0)
    """
    held(VALID, helium=helium)
    return plain(np.sqrt(OXYGEN_G_MOL / (helium * HELIUM_G_MOL + (1.0 - helium) * OXYGEN_G_MOL)))


def oxygen_share(air_L_min: Numbers, oxygen_L_min: Numbers) -> Numbers:
    """Oxygen in a mixture of air and oxygen, as a share [1].

    Equation:  (0.209 air + oxygen) / (air + oxygen)
    Symbols:   air, oxygen   flows [L/min], not both 0; ranges in VALID
    Source:    the balance of oxygen; 0.209 of air is oxygen.
    Example:   a nebulizer on 8 L/min of air with 2 L/min of oxygen beside it: 37 %, before the breath thins it.

    >>> round(oxygen_share(8.0, 2.0), 3)
    0.367
    """
    held(VALID, air_L_min=air_L_min, oxygen_L_min=oxygen_L_min)
    whole = air_L_min + oxygen_L_min
    refuse_if(whole == 0, "air_L_min", "no gas flows", 0.0, "more than 0 L/min of one of the two")
    return plain((OXYGEN_IN_AIR * air_L_min + oxygen_L_min) / whole)
