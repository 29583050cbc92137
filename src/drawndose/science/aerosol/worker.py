"""The reference worker of ICRP 68: the check of the lung model that exists. One card; it says nothing of nebulizers."""

from __future__ import annotations

from math import sqrt
from typing import Final

import numpy as np

from drawndose.science.aerosol.filters import slip
from drawndose.science.aerosol.nodes import fine_nodes
from drawndose.science.aerosol.numbers import Numbers, held
from drawndose.science.aerosol.task_group import REGIONS, VALID_OF_SPRAY, Regions, settling
from drawndose.science.aerosol.task_group import VALID as VALID_SETTLING
from drawndose.science.ranges import Range, Valid

VALID: Final[Valid] = {
    **VALID_OF_SPRAY,
    "density": Range(0.5, 12.0, "g/cm3", "density of the dust"),
    "shape": Range(1.0, 2.0, "", "shape factor of the dust"),
}
SITTING: Final = (0.142, 750.0, 300.0)
WORKING: Final = (0.858, 1250.0, 2500.0 / 3.0)
"""Share of the air breathed, volume of a breath [mL], flow [mL/s]: 31.5 % of the time sitting, else light work."""

ROUNDS: Final = 40


def worker(mmad_um: float, gsd: float, density: float, shape: float) -> Regions:
    """Shares of the activity breathed in that settle in a worker who breathes dust through the nose [1].

    Equation:  the mean of `settling` over ln d and over sitting and light work, weighted by the air breathed
    Symbols:   AMAD   activity median aerodynamic diameter [micrometres]     GSD   geometric standard deviation [1]
               density   of the dust [g/cm3]     shape   its shape factor [1]; ranges in VALID
    Source:    ICRP Publication 68 (1994), from memory: 5 micrometres: 33.85, 39.91, 1.78, 1.10, 5.32 %, in all 81.96.
    Example:   it is met within 0.05 percentage points.

    >>> found = worker(5.0, 2.499, 3.0, 1.5)
    >>> [round(100 * float(one), 1) for one in (found.front, found.throat, found.alveoli, found.total)]
    [33.8, 39.9, 5.3, 81.9]
    """
    held(VALID, mmad_um=mmad_um, gsd=gsd, density=density, shape=shape)
    nodes = fine_nodes()
    sizes = np.clip(mmad_um * gsd**nodes.at, VALID_SETTLING["size_um"].low, VALID_SETTLING["size_um"].high)
    settle = thermodynamic(sizes, density, shape)
    each = [
        (weight, settling(sizes, tidal, drawn, by_mouth=False, settling_um=settle, still_air=True))
        for weight, tidal, drawn in (SITTING, WORKING)
    ]
    mean = {name: sum(weight * float(nodes.weight @ getattr(one, name)) for weight, one in each) for name in REGIONS}
    return Regions(**mean)


def thermodynamic(size_um: Numbers, density: float, shape: float) -> Numbers:
    """The diameter that a particle diffuses with [micrometres]: d sqrt(shape C(d_ae) / (density C(d))), by repetition.

    Symbols:   d_ae   aerodynamic diameter [micrometres]     density [g/cm3], shape [1]; ranges in VALID
    Source:    the definition of both diameters; C is `filters.slip`.
    Example:   5 micrometres of dust of density 3 and shape 1.5: 3.5.

    >>> round(float(thermodynamic(5.0, 3.0, 1.5)), 1)
    3.5
    """
    found = size_um * sqrt(shape / density)
    for _ in range(ROUNDS):
        found = size_um * np.sqrt(shape / density * slip(size_um) / slip(found))
    return found
