"""The filters of the lung model of ICRP 66: how much each keeps of the droplets that reach it. For `task_group` only.

No door of its own: `task_group.settling` holds every input first. Constants from memory of ICRP 66 (1994); most were also
read in two stored study scripts. For the airways of an adult man: every scale factor is 1 and is not written.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Final

import numpy as np

from drawndose.science.aerosol.numbers import Numbers

HEAD_ML: Final = 50.0
BRONCHI_ML: Final = 49.0
BRONCHIOLES_ML: Final = 47.0
"""Anatomical dead spaces of the adult man [mL]."""

MEAN_FREE_PATH_UM: Final = 0.0712
BODY_K: Final = 310.15
VISCOSITY_P: Final = 1.9e-4
BOLTZMANN_ERG_K: Final = 1.38e-16
"""Air at body temperature, in the units of centimetre, gram and second. Text-book values."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """A breath [mL, mL/s], and what follows from it: residence times [s] and the shares that reach each region [1]."""

    tidal_mL: Numbers
    drawn_mL_s: Numbers
    frc_mL: Numbers

    @property
    def swells(self) -> Numbers:
        """How much larger the airways are at the end of the breath."""
        return 1.0 + self.tidal_mL / self.frc_mL

    @property
    def seconds_in_bronchi(self) -> Numbers:
        """Time of the air in the bronchi."""
        return BRONCHI_ML / self.drawn_mL_s * (1.0 + 0.5 * self.tidal_mL / self.frc_mL)

    @property
    def seconds_in_bronchioles(self) -> Numbers:
        """Time of the air in the bronchioles."""
        return BRONCHIOLES_ML / self.drawn_mL_s * (1.0 + 0.5 * self.tidal_mL / self.frc_mL)

    @property
    def seconds_in_alveoli(self) -> Numbers:
        """Time of the air in the alveoli."""
        return (self.tidal_mL - HEAD_ML - (BRONCHI_ML + BRONCHIOLES_ML) * self.swells) / self.drawn_mL_s

    @property
    def reaches_bronchi(self) -> Numbers:
        """The share of the breath that comes so far."""
        return 1.0 - HEAD_ML / self.tidal_mL

    @property
    def reaches_bronchioles(self) -> Numbers:
        """The share of the breath that comes so far."""
        return 1.0 - (HEAD_ML + BRONCHI_ML * self.swells) / self.tidal_mL

    @property
    def reaches_alveoli(self) -> Numbers:
        """The share of the breath that comes so far."""
        return 1.0 - (HEAD_ML + (BRONCHI_ML + BRONCHIOLES_ML) * self.swells) / self.tidal_mL


@dataclass(frozen=True, slots=True, kw_only=True)
class Filters:
    """Efficiency of each filter [1]; the bronchi keep less on the way out."""

    front: Numbers
    throat: Numbers
    bronchi_in: Numbers
    bronchi_out: Numbers
    bronchioles: Numbers
    alveoli: Numbers


def filters(size_um: Numbers, settling_um: Numbers, air: Air, *, by_mouth: bool, mouth_form: Numbers) -> Filters:
    """The efficiencies for droplets of one size. size_um: aerodynamic; settling_um: thermodynamic, for diffusion."""
    diffusion = diffusivity(settling_um)
    head = _mouth(size_um, diffusion, air, mouth_form) if by_mouth else _nose(size_um, diffusion, air)
    bronchi_in, bronchi_out = _bronchi(size_um, settling_um, diffusion, air)
    return Filters(
        front=head[0],
        throat=head[1],
        bronchi_in=bronchi_in,
        bronchi_out=bronchi_out,
        bronchioles=_bronchioles(size_um, diffusion, air),
        alveoli=_alveoli(size_um, diffusion, air),
    )


def slip(size_um: Numbers) -> Numbers:
    """Cunningham's slip correction of a droplet in air at body temperature [1].

    >>> round(float(slip(1.0)), 2)
    1.18
    """
    free = MEAN_FREE_PATH_UM / size_um
    return 1.0 + 2.0 * free * (1.257 + 0.4 * np.exp(-0.55 / free))


def diffusivity(size_um: Numbers) -> Numbers:
    """Diffusion coefficient of a droplet [cm2/s]."""
    return BOLTZMANN_ERG_K * BODY_K * slip(size_um) / (3.0 * pi * VISCOSITY_P * size_um * 1e-4)


def _both(by_size: Numbers, by_diffusion: Numbers) -> Numbers:
    """The two ways of settling together. For the largest droplets the rule goes a hair over 1: no filter keeps more than all."""
    return np.minimum(np.hypot(by_size, by_diffusion), 1.0)


def _mouth(size_um: Numbers, diffusion: Numbers, air: Air, form: Numbers) -> tuple[Numbers, Numbers]:
    impact = 1.1e-4 * (size_um**2 * air.drawn_mL_s**0.6 * air.tidal_mL**-0.2) ** 1.4
    rational, exponential = impact / (1.0 + impact), -np.expm1(-impact)
    by_size = rational + form * (exponential - rational)
    return 0.0, _both(by_size, -np.expm1(-9.0 * (diffusion * air.drawn_mL_s**-0.25) ** 0.5))


def _nose(size_um: Numbers, diffusion: Numbers, air: Air) -> tuple[Numbers, Numbers]:
    impact, spread = size_um**2 * air.drawn_mL_s, diffusion * air.drawn_mL_s**-0.25
    first, second = 3.0e-4 * impact, 5.5e-5 * impact**1.17
    front = 0.5 * _both(first / (1.0 + first), -np.expm1(-18.0 * spread**0.5))
    return front, _both(second / (1.0 + second), -np.expm1(-15.1 * spread**0.538))


def _bronchi(size_um: Numbers, settling_um: Numbers, diffusion: Numbers, air: Air) -> tuple[Numbers, Numbers]:
    impact = (size_um**2 * air.drawn_mL_s) ** 1.152
    enhanced = 1.0 + 100.0 * np.exp(-(np.log10(100.0 + 10.0 / settling_um**0.9) ** 2))
    spread = -np.expm1(-22.02 * enhanced * (diffusion * air.seconds_in_bronchi) ** 0.6391)
    inward = _both(-np.expm1(-4.08e-6 * impact), spread)
    return inward, _both(-np.expm1(-2.04e-6 * impact), spread)


def _bronchioles(size_um: Numbers, diffusion: Numbers, air: Air) -> Numbers:
    time = air.seconds_in_bronchioles
    settled = -np.expm1(-0.1147 * ((0.056 + time**1.5) * size_um ** (time**-0.25)) ** 1.173)
    return _both(settled, -np.expm1(-(167.0 - 76.8) * (diffusion * time) ** 0.5676))


def _alveoli(size_um: Numbers, diffusion: Numbers, air: Air) -> Numbers:
    settled = -np.expm1(-0.146 * (size_um**2 * air.seconds_in_alveoli) ** 0.6495)
    return _both(settled, -np.expm1(-(170.0 + 103.0) * (diffusion * air.seconds_in_alveoli) ** 0.6101))
