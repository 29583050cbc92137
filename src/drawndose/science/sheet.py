"""A weighing sheet as a person fills it in, looked over for slips, turned into a volume, and judged. The storey's door for weighing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from drawndose.quantities import Fault, Refused, gather
from drawndose.science.liquids import SALINE, WATER, Liquid, own_liquid
from drawndose.science.slips import Slip, Slipped, density_slips, expected_mass, mass_slips, room_slips
from drawndose.science.verdict import Acceptance, Verdict, judge
from drawndose.science.weighing import Balance, Blank, Room, Setup, Volume, Weighing, can_weigh, volume_by_weight

NAMED: Final = {"water": WATER, "saline": SALINE}
"""The liquids whose density the house knows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What is the same for a round of weighings.

    liquid: "water", "saline" (0.9 %), or another name with its density [g/mL] and the density's standard uncertainty [g/mL].
    """

    balance: Balance
    t_degC: float
    p_hPa: float
    rh_percent: float
    target_mL: float
    tolerance_mL: float
    liquid: str = "water"
    density_g_mL: float | None = None
    density_u_g_mL: float = 0.0
    evaporation: Blank | float | None = None
    gamma_per_degC: float = 0.0
    acceptance: Acceptance = Acceptance.GUARDED

    def substance(self) -> Liquid:
        """The liquid. Refused for a name that the house does not know and that comes without a density."""
        if self.density_g_mL is not None:
            return own_liquid(self.liquid, self.density_g_mL, self.density_u_g_mL)
        if self.liquid not in NAMED:
            rule = "the density of this liquid is not known here"
            accepted = f"{', '.join(NAMED)}, or a density in g/mL"
            raise Refused([Fault(field="liquid", rule=rule, came=self.liquid, accepted=accepted)])
        return NAMED[self.liquid]

    def slips(self) -> tuple[Slip, ...]:
        """What is wrong with the room and the density."""
        of_density = () if self.density_g_mL is None else density_slips(self.density_g_mL)
        return (*room_slips(self.t_degC, self.p_hPa, self.rh_percent), *of_density)

    def setup(self) -> Setup:
        """The setup for the formulas. Slipped, or OutOfRange, when something in it cannot be."""
        _refuse(self.slips())
        return Setup(
            balance=self.balance,
            room=Room(t_degC=self.t_degC, p_hPa=self.p_hPa, rh_percent=self.rh_percent),
            liquid=self.substance(),
            evaporation=self.evaporation,
            gamma_per_degC=self.gamma_per_degC,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """One weighing with its volume, verdict, and the doubts that a person must answer."""

    weighing: Weighing
    volume: Volume
    verdict: Verdict
    doubts: tuple[Slip, ...]
    balance_is_enough: bool


def weigh(weighing: Weighing, sheet: Sheet) -> Weighed:
    """The volume and the verdict of one weighing. Slipped when a reading cannot be what it is said to be.

    >>> balance = Balance(readability_g=0.0001, repeatability_g=0.0002)
    >>> sheet = Sheet(
    ...     balance=balance, t_degC=21.0, p_hPa=1010.0, rh_percent=45.0, target_mL=0.5, tolerance_mL=0.025, evaporation=1.0
    ... )
    >>> found = weigh(Weighing(without_g=12.3456, with_g=12.8402), sheet)
    >>> round(found.volume.mL, 4), found.verdict.call.value, found.balance_is_enough
    (0.4961, 'within', True)
    """
    setup = sheet.setup()
    expected = expected_mass(sheet.target_mL, sheet.density_g_mL)
    slips = tuple(mass_slips(weighing.without_g, weighing.with_g, expected, weighing.without_again_g))
    _refuse(slips)
    volume = volume_by_weight(weighing, setup)
    verdict = judge(
        volume.mL,
        volume.u,
        target_mL=sheet.target_mL,
        tolerance_mL=sheet.tolerance_mL,
        nu=volume.budget.nu,
        acceptance=sheet.acceptance,
    )
    doubts = tuple(slip for slip in (*sheet.slips(), *slips) if not slip.sure)
    enough = can_weigh(sheet.target_mL, setup)
    return Weighed(weighing=weighing, volume=volume, verdict=verdict, doubts=doubts, balance_is_enough=enough)


def weigh_all(weighings: Iterable[Weighing], sheet: Sheet) -> tuple[Weighed, ...]:
    """Every weighing of a round, or Refused with the faults of all of them, each with its number; nothing is half done."""
    sheet.setup()
    found: list[Weighed] = []
    faults: list[Fault] = []
    for number, weighing in enumerate(weighings, start=1):
        try:
            found.append(weigh(weighing, sheet))
        except Refused as refused:
            faults += [
                Fault(field=f"weighing {number}, {one.field}", rule=one.rule, came=one.came, accepted=one.accepted)
                for one in refused.faults
            ]
    gather(faults)
    return tuple(found)


def _refuse(slips: Iterable[Slip]) -> None:
    sure = [slip for slip in slips if slip.sure]
    if sure:
        raise Slipped(sure)
