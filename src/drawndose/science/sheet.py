"""A weighing sheet as a person fills it in, looked over for slips; one weighing turned into a volume, and judged."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf
from typing import Final

from drawndose.quantities import Fault, Refused, gather
from drawndose.science.liquids import SALINE, WATER, Liquid, own_liquid
from drawndose.science.ranges import hold
from drawndose.science.slips import (
    Kind,
    Slip,
    capacity_slips,
    density_slips,
    display_slips,
    expected_mass,
    mass_slips,
    room_slips,
)
from drawndose.science.verdict import VALID as VERDICT_VALID
from drawndose.science.verdict import Acceptance, Verdict, judge
from drawndose.science.weighing import VALID as WEIGHING_VALID
from drawndose.science.weighing import Balance, Blank, Room, Setup, Volume, Weighing, volume_by_weight

NAMED: Final = {"water": WATER, "saline": SALINE}
"""The liquids whose density the house knows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What is the same for a round of weighings.

    liquid: "water", "saline" (0.9 %), or another name with its density [g/mL] and the density's standard uncertainty [g/mL].
    capacity_mL: what the instrument holds that the draws were made with; infinite where nobody has said.
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
    capacity_mL: float = inf
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
        """What is wrong with the room, the density and the volume asked for."""
        found = [*room_slips(self.t_degC, self.p_hPa, self.rh_percent)]
        if self.density_g_mL is not None:
            found += density_slips(self.density_g_mL, self._known(), self.liquid)
        if self.target_mL > self.capacity_mL:
            rule, came = "the volume asked for is more than the instrument holds", f"{self.target_mL:g} mL"
            accepted = f"at most {self.capacity_mL:g} mL"
            kind = Kind.CAPACITY
            found.append(Slip(kind=kind, field="target_mL", rule=rule, came=came, accepted=accepted, sure=True))
        return tuple(found)

    @property
    def doubts(self) -> tuple[Slip, ...]:
        """What in it may be true and may be a slip: a person answers it."""
        return tuple(slip for slip in self.slips() if not slip.sure)

    def faults(self) -> tuple[Fault, ...]:
        """Everything in it that cannot be, for each input once: a slip by its name, else the range that it lies outside."""
        found = {slip.field: slip.fault for slip in self.slips() if slip.sure}
        minutes = {"minutes": self.evaporation} if isinstance(self.evaporation, int | float) else {}
        aims = {"target_mL": self.target_mL, "tolerance_mL": self.tolerance_mL}
        tries: tuple[Callable[[], object], ...] = (
            lambda: hold(VERDICT_VALID, **aims),
            self._room,
            self.substance,
            lambda: hold({"t_degC": self.substance().temperatures}, t_degC=self.t_degC),
            lambda: hold(WEIGHING_VALID, gamma_per_degC=self.gamma_per_degC, **minutes),
        )
        for attempt in tries:
            try:
                attempt()
            except Refused as refused:
                for fault in refused.faults:
                    found.setdefault(fault.field, fault)
        return tuple(found.values())

    def setup(self) -> Setup:
        """The setup for the formulas. Refused, with all of `faults`, when something in it cannot be."""
        gather(self.faults())
        return Setup(
            balance=self.balance,
            room=self._room(),
            liquid=self.substance(),
            evaporation=self.evaporation,
            gamma_per_degC=self.gamma_per_degC,
        )

    def _known(self) -> float | None:
        """The density that the liquid named is known to have [g/mL], at 20 degC where it has no density as warm as that."""
        if self.liquid not in NAMED:
            return None
        named = NAMED[self.liquid]
        return named.density(self.t_degC if self.t_degC in named.temperatures else 20.0) / 1000.0

    def _room(self) -> Room:
        return Room(t_degC=self.t_degC, p_hPa=self.p_hPa, rh_percent=self.rh_percent)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """One weighing with its volume, its verdict, and the doubts about its readings that a person must answer."""

    weighing: Weighing
    volume: Volume
    verdict: Verdict
    doubts: tuple[Slip, ...]


def reading_slips(weighing: Weighing, sheet: Sheet) -> tuple[Slip, ...]:
    """What is wrong with the readings of one weighing, seen before any formula; only target, density, capacity and balance count."""
    expected = expected_mass(sheet.target_mL, sheet.density_g_mL)
    found = [*mass_slips(weighing.without_g, weighing.with_g, expected, weighing.without_again_g)]
    found += display_slips(weighing.readings_g, sheet.balance.readability_g, sheet.balance.most_g)
    if not any(slip.sure for slip in found):
        found += capacity_slips(weighing.net_g * sheet.target_mL / expected, sheet.capacity_mL)
    return tuple(found)


def weigh(weighing: Weighing, sheet: Sheet) -> Weighed:
    """The volume and the verdict of one weighing. Refused when a reading cannot be what it is said to be.

    >>> balance = Balance(readability_g=0.0001, repeatability_g=0.0002)
    >>> sheet = Sheet(
    ...     balance=balance, t_degC=21.0, p_hPa=1010.0, rh_percent=45.0, target_mL=0.5, tolerance_mL=0.025, evaporation=1.0
    ... )
    >>> found = weigh(Weighing(without_g=12.3456, with_g=12.8402), sheet)
    >>> round(found.volume.mL, 4), found.verdict.call.value
    (0.4961, 'within')
    """
    setup = sheet.setup()
    slips = reading_slips(weighing, sheet)
    gather(slip.fault for slip in slips if slip.sure)
    volume = volume_by_weight(weighing, setup)
    verdict = judge(
        volume.mL,
        volume.u,
        target_mL=sheet.target_mL,
        tolerance_mL=sheet.tolerance_mL,
        nu=volume.budget.nu,
        acceptance=sheet.acceptance,
    )
    return Weighed(weighing=weighing, volume=volume, verdict=verdict, doubts=slips)
