"""From grams on a balance to millilitres: air buoyancy, and the volume at 20 degC. Two cards and their union."""

from __future__ import annotations

from typing import Final

from drawndose.science.air import air_density
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.water import water_density

WEIGHT_DENSITY: Final = 8000.0
"""Density of the weights that a balance is adjusted with, by convention [kg/m3]. From memory (ISO 8655-6, ISO 4787)."""

VALID: Final[Valid] = {
    "liquid_kg_m3": Range(600.0, 1500.0, "kg/m3", "density of the liquid"),
    "air_kg_m3": Range(0.6, 1.5, "kg/m3", "density of the air"),
    "weight_kg_m3": Range(7000.0, 9000.0, "kg/m3", "density of the balance's weights"),
}
VALID_VOLUME: Final[Valid] = {
    "mass_g": Range(0.0, 1000.0, "g", "mass of the liquid"),
    "z_mL_per_g": Range(0.5, 2.0, "mL/g", "Z factor"),
    "gamma_per_degC": Range(0.0, 0.001, "/degC", "cubic expansion of the device"),
    "t_degC": Range(0.0, 40.0, "degC", "temperature"),
}


def z_factor(liquid_kg_m3: float, air_kg_m3: float, weight_kg_m3: float = WEIGHT_DENSITY) -> float:
    """Millilitres for each gram that the balance shows, with air buoyancy [mL/g].

    Equation:  Z = (1 - rho_a / rho_b) / (rho_L - rho_a)
    Symbols:   rho_L   density of the liquid [kg/m3]     rho_a   density of the air [kg/m3]
               rho_b   density of the balance's weights [kg/m3]; ranges in VALID
    Source:    ISO 8655-6 and ISO 4787, from memory; it reproduces two printed tables (the published checks). ISO 8655
               leaves medical syringes out: this is its physics, and no claim to conform to it.
    Example:   water and air at 20 degC, 1013 hPa: 1.0029 mL/g.

    >>> round(z_factor(998.207, 1.1992), 4)
    1.0029
    """
    hold(VALID, liquid_kg_m3=liquid_kg_m3, air_kg_m3=air_kg_m3, weight_kg_m3=weight_kg_m3)
    return float(1000.0 * (1.0 - air_kg_m3 / weight_kg_m3) / (liquid_kg_m3 - air_kg_m3))


def water_z(t_degC: float, p_hPa: float, rh_percent: float) -> float:
    """Z factor of water with air and water at one temperature [mL/g]: the three cards together.

    Symbols:   t   temperature [degC]     p   air pressure [hPa]     h   relative humidity [%]
    Source:    the cards `water_density`, `air_density`, `z_factor`; published tables of ISO 8655 as printed in a
               piston-pipette manual and in a journal article are met within 6e-5 mL/g.

    >>> round(water_z(20.0, 1013.0, 50.0), 4), round(water_z(25.0, 800.0, 50.0), 4)
    (1.0029, 1.0038)
    """
    return z_factor(water_density(t_degC), air_density(t_degC, p_hPa, rh_percent))


def volume_at_20(mass_g: float, z_mL_per_g: float, t_degC: float = 20.0, gamma_per_degC: float = 0.0) -> float:
    """Volume of a mass of liquid; with gamma, the volume that the device would hold or deliver at 20 degC [mL].

    Equation:  V20 = m Z (1 - gamma (t - 20))
    Symbols:   m   mass of the liquid, lost vapour added back [g]     Z   the Z factor at t [mL/g]
               t   temperature [degC]     gamma   cubic expansion of the device's material [/degC], 0 where the volume
               as it was delivered is wanted; ranges in VALID_VOLUME
    Source:    ISO 8655-6 and ISO 4787, from memory.
    Example:   0.4986 g of water at 20 degC is 0.5000 mL.

    >>> round(volume_at_20(0.4986, 1.0029), 4)
    0.5
    """
    hold(VALID_VOLUME, mass_g=mass_g, z_mL_per_g=z_mL_per_g, t_degC=t_degC, gamma_per_degC=gamma_per_degC)
    return float(mass_g * z_mL_per_g * (1.0 - gamma_per_degC * (t_degC - 20.0)))
