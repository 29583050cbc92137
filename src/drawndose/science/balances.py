"""Which balance is good enough for which volume, said before anything is weighed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

from drawndose.reference import Balance as CatalogueBalance
from drawndose.science.quantiles import coverage_factor
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.weighing import Balance, smallest_net_mass

VALID: Final[Valid] = {
    "volume_mL": Range(1e-4, 1000.0, "mL", "volume"),
    "within": Range(0.001, 0.5, "", "tolerance as a share"),
    "z_mL_per_g": Range(0.5, 2.0, "mL/g", "Z factor"),
}

A_QUARTER: Final = 0.25
"""A guard band that takes no more than this share of the tolerance leaves enough of it to judge by. A setting, common practice."""


SCATTER: Final = 2.0
"""Repeated readings are taken to spread by so many steps of the display where nobody has said. A setting."""


def balance_of(one: CatalogueBalance) -> Balance:
    """A balance of the catalogue for the formulas; where it has no figure for repeated readings, SCATTER steps are taken."""
    step = float(one.readability_g)
    scatter = SCATTER * step if one.repeatability_g is None else float(one.repeatability_g)
    return Balance(readability_g=step, repeatability_g=scatter)


class Enough(Enum):
    """How far a balance is good enough for a volume."""

    NET_MASS = "good enough"
    TOLERANCE = "for this tolerance only"
    NOT = "too coarse"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """One volume on one balance. guard_share: the share of the tolerance that the balance's own guard band takes."""

    enough: Enough
    guard_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceRow:
    """One balance: its smallest net mass [g], that mass as a volume [mL], and how it fits each volume asked for."""

    name: str
    balance: Balance
    smallest_g: float
    smallest_mL: float
    fits: tuple[Fit, ...]


def balance_table(
    balances: Iterable[tuple[str, Balance]], volumes_mL: Sequence[float], *, within: float, z_mL_per_g: float = 1.003
) -> tuple[BalanceRow, ...]:
    """Each balance against each volume, for a tolerance that is a share of the volume.

    Equation:  good enough where V / Z >= m_min (`smallest_net_mass`); for this tolerance where k u Z <= a quarter of T V
    Symbols:   V   volume [mL]     T   tolerance as a share [1]     u   of the difference of two readings [g]     Z   [mL/g]
    Source:    USP 37 <41> for m_min (a copy was read); a quarter is common practice.

    >>> both = [("fine", Balance(readability_g=1e-4, repeatability_g=1e-4)), ("kitchen", Balance(readability_g=0.1, repeatability_g=0.1))]
    >>> [[fit.enough.value for fit in row.fits] for row in balance_table(both, [0.1, 0.5], within=0.05)]
    [['for this tolerance only', 'good enough'], ['too coarse', 'too coarse']]
    """
    hold(VALID, within=within, z_mL_per_g=z_mL_per_g)
    for volume in volumes_mL:
        hold(VALID, volume_mL=volume)
    return tuple(_row(name, balance, volumes_mL, within, z_mL_per_g) for name, balance in balances)


def _row(name: str, balance: Balance, volumes_mL: Sequence[float], within: float, z: float) -> BalanceRow:
    smallest = smallest_net_mass(balance)
    return BalanceRow(
        name=name,
        balance=balance,
        smallest_g=smallest,
        smallest_mL=smallest * z,
        fits=tuple(_fit(balance, smallest * z, volume, within, z) for volume in volumes_mL),
    )


def _fit(balance: Balance, smallest_mL: float, volume: float, within: float, z: float) -> Fit:
    guard = coverage_factor(95.45, balance.nu) * balance.difference_u_g * z / (within * volume)
    if volume >= smallest_mL:
        return Fit(enough=Enough.NET_MASS, guard_share=guard)
    return Fit(enough=Enough.TOLERANCE if guard <= A_QUARTER else Enough.NOT, guard_share=guard)
