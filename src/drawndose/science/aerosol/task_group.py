"""Where inhaled droplets settle in a healthy adult, by the lung model of the task group of ICRP 66: filters passed one by one.

Nose or mouth, any breath, one size or a log-normal spray. Air passes head, bronchi (BB), bronchioles (bb) and alveoli (AI) and
comes out again; each is a filter that keeps a share of what reaches it. Two cards; the filters stand in `filters`.

How sure: the constants are from memory of ICRP Publication 66 (1994); most were also read in two stored study scripts. The
equations give back the reference worker of ICRP 68, as that table is remembered, within 0.05 percentage points at 1 and 5
micrometres, with no number fitted to it. That check is for the nose only. The filter of the mouth was not confirmed: a script
that was read has another form of it, which keeps up to 0.01 more at 5 micrometres and up to 0.16 more at 10. `mouth_form` says
which is used, and a range must span both.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from drawndose.science.aerosol.droplets import VALID as VALID_SPRAY
from drawndose.science.aerosol.filters import Air, filters
from drawndose.science.aerosol.nodes import Nodes, fine_nodes
from drawndose.science.aerosol.numbers import Numbers, held
from drawndose.science.aerosol.simple_fits import inhalable_share
from drawndose.science.ranges import Range, Valid

FRC: Final = 3301.0
"""Functional residual capacity of the adult man of ICRP 66 [mL]. From memory."""

VALID: Final[Valid] = {
    "size_um": Range(0.01, 100.0, "micrometres", "size of the droplets"),
    "tidal_mL": Range(300.0, 3000.0, "mL", "volume of a breath"),
    "drawn_mL_s": Range(100.0, 1500.0, "mL/s", "flow of the breath"),
    "frc_mL": Range(2000.0, 5000.0, "mL", "functional residual capacity"),
    "mouth_form": Range(0.0, 1.0, "", "form of the mouth's filter"),
    "settling_um": Range(0.001, 200.0, "micrometres", "thermodynamic diameter"),
}
VALID_OF_SPRAY: Final[Valid] = {"mmad_um": VALID_SPRAY["mmad_um"], "gsd": VALID_SPRAY["gsd"]}

LIMITS: Final = (
    "healthy adults with the airways of a man; not children, not narrowed airways, in which droplets settle further up",
    "steady breathing without a hold",
    "droplets that neither grow nor shrink: nearly so for isotonic ones; hypotonic ones shrink, hypertonic ones grow",
    "persons differ about twofold either way, in mouth and throat the most (from memory)",
    "the filter of the mouth is not confirmed above 5 micrometres",
)
"""What a figure of this model is not, in words. Wherever one is shown it is a healthy adult's model, not a measurement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Regions:
    """Shares of what is breathed in that settle [1]: front of the nose, back of nose with mouth and throat, bronchi, bronchioles, alveoli."""

    front: Numbers
    throat: Numbers
    bronchi: Numbers
    bronchioles: Numbers
    alveoli: Numbers

    @property
    def head(self) -> Numbers:
        """Nose, mouth and throat together."""
        return self.front + self.throat

    @property
    def airways(self) -> Numbers:
        """Bronchi and bronchioles together."""
        return self.bronchi + self.bronchioles

    @property
    def lung(self) -> Numbers:
        """Everything behind the throat."""
        return self.airways + self.alveoli

    @property
    def total(self) -> Numbers:
        """Everything that settles; the rest is breathed out."""
        return self.head + self.lung


def settling(
    size_um: Numbers,
    tidal_mL: Numbers,
    drawn_mL_s: Numbers,
    *,
    by_mouth: bool,
    frc_mL: Numbers = FRC,
    mouth_form: Numbers = 0.0,
    settling_um: Numbers | None = None,
    still_air: bool = False,
) -> Regions:
    """Shares of what is breathed in that settle in each region, for droplets of one size [1].

    Equation:  filters in order n1, n2, BB, bb, AI, bb, BB, n2, n1:  DE = P n r,  P <- P (1 - n);  n = sqrt(n_a^2 + n_d^2)
               a region is the sum of its two passes; P starts with 1, or with the share that still air lets in
    Symbols:   d   aerodynamic diameter [micrometres]     VT   volume of a breath [mL]     V   mean flow of the inspiration [mL/s]
               n   efficiency of a filter by settling and impact (a) and by diffusion (d) [1]     r   share of the breath that
               reaches it [1]     FRC   functional residual capacity [mL]; ranges in VALID
               mouth_form   0 the form that fits the rest of the model, 1 the other form that was read, between them a mix
               settling_um   thermodynamic diameter for diffusion [micrometres]; the aerodynamic one without it
    Source:    ICRP Publication 66 (1994), from memory; see the module for what was checked and what was not.
    Example:   3 micrometres by mouth, 500 mL in 2 s: 6 % in mouth and throat, 42 % in the lung.

    >>> found = settling(3.0, 500.0, 250.0, by_mouth=True)
    >>> round(float(found.head), 4), round(float(found.lung), 4)
    (0.0568, 0.4186)
    """
    held(VALID, size_um=size_um, tidal_mL=tidal_mL, drawn_mL_s=drawn_mL_s, frc_mL=frc_mL, mouth_form=mouth_form)
    thermodynamic = size_um if settling_um is None else settling_um
    held(VALID, settling_um=thermodynamic)
    air = Air(tidal_mL=tidal_mL, drawn_mL_s=drawn_mL_s, frc_mL=frc_mL)
    one = filters(size_um, thermodynamic, air, by_mouth=by_mouth, mouth_form=mouth_form)
    in_air: Numbers = inhalable_share(size_um) if still_air else 1.0
    kept: dict[str, Numbers] = dict.fromkeys(("front", "throat", "bronchi", "bronchioles", "alveoli"), 0.0)
    passing = (
        ("front", one.front, 1.0),
        ("throat", one.throat, 1.0),
        ("bronchi", one.bronchi_in, air.reaches_bronchi),
        ("bronchioles", one.bronchioles, air.reaches_bronchioles),
        ("alveoli", one.alveoli, air.reaches_alveoli),
        ("bronchioles", one.bronchioles, air.reaches_bronchioles),
        ("bronchi", one.bronchi_out, air.reaches_bronchi),
        ("throat", one.throat, 1.0),
        ("front", one.front, 1.0),
    )
    for region, keeps, reached in passing:
        kept[region] = kept[region] + in_air * keeps * reached
        in_air = in_air * (1.0 - keeps)
    return Regions(**kept)


def settling_of_spray(
    mmad_um: Numbers,
    gsd: Numbers,
    tidal_mL: Numbers,
    drawn_mL_s: Numbers,
    *,
    by_mouth: bool,
    frc_mL: Numbers = FRC,
    mouth_form: Numbers = 0.0,
    nodes: Nodes | None = None,
) -> Regions:
    """Shares of what is breathed in that settle in each region, for a log-normal spray [1].

    Equation:  the mean of `settling` over ln d, with weight N(ln MMAD, ln GSD)
    Symbols:   MMAD   mass median aerodynamic diameter [micrometres]     GSD   geometric standard deviation [1]; ranges in
               VALID_OF_SPRAY; the others as `settling`. Droplets beyond the sizes of `settling` are taken at its limit
    Source:    as `settling`.
    Example:   MMAD 3, GSD 2 by mouth: 13 % in mouth and throat, 37 % in the lung.

    >>> found = settling_of_spray(3.0, 2.0, 500.0, 250.0, by_mouth=True)
    >>> round(float(found.head), 3), round(float(found.lung), 3)
    (0.126, 0.366)
    """
    held(VALID_OF_SPRAY, mmad_um=mmad_um, gsd=gsd)
    seen = nodes or fine_nodes()
    shape = (-1, *(1,) * np.ndim(mmad_um * gsd))
    sizes = np.clip(mmad_um * gsd ** seen.at.reshape(shape), VALID["size_um"].low, VALID["size_um"].high)
    each = settling(sizes, tidal_mL, drawn_mL_s, by_mouth=by_mouth, frc_mL=frc_mL, mouth_form=mouth_form)
    mean = {name: np.tensordot(seen.weight, getattr(each, name) + 0.0 * sizes, axes=1) for name in REGIONS}
    return Regions(**mean)


REGIONS: Final = ("front", "throat", "bronchi", "bronchioles", "alveoli")
