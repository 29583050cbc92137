"""From balance readings to a volume with its uncertainty, for one weighing: tare, drift, evaporation, air, density.

    V = (m_with - m_without + m_evap) Z (1 - gamma (t - 20))

m_without is the vessel before the delivery (or the syringe after it); read again afterwards, the mean of both takes a steady
drift of the balance out, and half their difference is its limit. Slips that a person makes are in `slips`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import inf, sqrt
from typing import Final

from drawndose.science.air import VALID as AIR_VALID
from drawndose.science.air import air_density
from drawndose.science.budget import Budget, Contribution, Shape, combine
from drawndose.science.buoyancy import volume_at_20, z_factor
from drawndose.science.evaporation import OPEN_VESSEL, evaporated
from drawndose.science.liquids import WATER, Liquid
from drawndose.science.ranges import Range, Valid, hold, slope

VALID: Final[Valid] = {
    "readability_g": Range(1e-7, 1.0, "g", "readability of the balance"),
    "repeatability_g": Range(0.0, 1.0, "g", "repeatability of the balance"),
    "nu": Range(1.0, 10_000.0, "", "number of degrees of freedom"),
    "t_half_width": Range(0.0, 10.0, "degC", "limit of the temperature"),
    "p_half_width": Range(0.0, 200.0, "hPa", "limit of the pressure"),
    "rh_half_width": Range(0.0, 100.0, "%", "limit of the humidity"),
    "lost_g": Range(0.0, 0.1, "g", "mass evaporated"),
    "lost_u_g": Range(0.0, 0.1, "g", "standard uncertainty of the mass evaporated"),
    "minutes": Range(0.0, 600.0, "min", "time in the open"),
    "gamma_per_degC": Range(0.0, 0.001, "/degC", "cubic expansion of the device"),
    "reading_g": Range(-1e7, 1e7, "g", "reading of the balance"),
    "most_g": Range(0.1, 1e5, "g", "greatest load of the balance"),
    "share": Range(1e-5, 0.5, "", "permitted share"),
}

SCATTER, DISPLAY, DRIFT = "repeatability of the balance", "readability of the balance", "drift of the balance"
OF_ONE_DRAW: Final = frozenset({SCATTER, DISPLAY, DRIFT})
"""What differs from draw to draw; everything else in a budget is the same for a whole round."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """A balance: the step of its display [g], the standard deviation of repeated readings [g], and by how many degrees of freedom.

    most_g: what it carries at most [g]; infinite where nobody has said.
    """

    readability_g: float
    repeatability_g: float
    nu: float = inf
    most_g: float = inf

    def __post_init__(self) -> None:
        unbounded = {name: one for name in ("nu", "most_g") if (one := getattr(self, name)) != inf}
        hold(VALID, readability_g=self.readability_g, repeatability_g=self.repeatability_g, **unbounded)

    @property
    def difference_u_g(self) -> float:
        """Standard uncertainty of the difference of two readings, by scatter and display alone [g]."""
        return sqrt(2.0 * (self.repeatability_g**2 + (self.readability_g / 2.0) ** 2 / 3.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """The room and the liquid: temperature [degC], pressure at this place [hPa], humidity [%], each with its limit to both sides.

    The defaults of the limits are settings: a thermometer and a room steady to 0.5 degC, a pressure from the forecast, a guessed humidity.
    """

    t_degC: float
    p_hPa: float
    rh_percent: float
    t_half_width: float = 0.5
    p_half_width: float = 20.0
    rh_half_width: float = 20.0

    def __post_init__(self) -> None:
        hold(AIR_VALID, t_degC=self.t_degC, p_hPa=self.p_hPa, rh_percent=self.rh_percent)
        limits = {name: getattr(self, name) for name in ("t_half_width", "p_half_width", "rh_half_width")}
        hold(VALID, **limits)


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """What evaporates between delivery and reading, by a blank: mass [g] with its standard uncertainty [g]."""

    lost_g: float
    lost_u_g: float

    def __post_init__(self) -> None:
        hold(VALID, lost_g=self.lost_g, lost_u_g=self.lost_u_g)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """Readings of the balance, all in g: without the liquid, with it, and perhaps without it once more."""

    without_g: float
    with_g: float
    without_again_g: float | None = None

    def __post_init__(self) -> None:
        for reading in self.readings_g:
            hold(VALID, reading_g=reading)

    @property
    def readings_g(self) -> tuple[float, ...]:
        """The readings as they were taken."""
        again = () if self.without_again_g is None else (self.without_again_g,)
        return (self.without_g, self.with_g, *again)

    @property
    def drift_g(self) -> float | None:
        """How far the two readings without the liquid lie apart; None where there is one."""
        return None if self.without_again_g is None else self.without_again_g - self.without_g

    @property
    def net_g(self) -> float:
        """What the balance says the liquid weighs, drift taken out."""
        return self.with_g - self.without_g - (self.drift_g or 0.0) / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """Everything about a weighing except its readings.

    evaporation: a blank; or the minutes in the open, for which the house's estimate counts as uncertainty only; or None.
    gamma_per_degC: cubic expansion of the device, for the volume at 20 degC; 0 gives the volume as it was delivered.
    """

    balance: Balance
    room: Room
    liquid: Liquid = field(default_factory=lambda: WATER)
    evaporation: Blank | float | None = None
    gamma_per_degC: float = 0.0

    def __post_init__(self) -> None:
        hold({"t_degC": self.liquid.temperatures}, t_degC=self.room.t_degC)
        hold(VALID, gamma_per_degC=self.gamma_per_degC)
        if isinstance(self.evaporation, int | float):
            hold(VALID, minutes=self.evaporation)

    def z_at(self, t_degC: float, p_hPa: float, rh_percent: float) -> float:
        """Z factor of this liquid under other conditions, mL/g."""
        return z_factor(self.liquid.density(t_degC), air_density(t_degC, p_hPa, rh_percent))

    @property
    def z(self) -> float:
        """Z factor, mL/g."""
        return self.z_at(self.room.t_degC, self.room.p_hPa, self.room.rh_percent)


@dataclass(frozen=True, slots=True, kw_only=True)
class Volume:
    """A volume by weight, mL, with its budget. not_in_it: what was not looked at."""

    mL: float
    mass_g: float
    z_mL_per_g: float
    budget: Budget
    not_in_it: tuple[str, ...]

    @property
    def shared_u(self) -> float:
        """What every draw of a round shares, because liquid, room and blank are the same for all [mL]: no repetition shows it."""
        return sqrt(sum(one.u**2 for one in self.budget.contributions if one.name not in OF_ONE_DRAW))

    @property
    def u(self) -> float:
        """Combined standard uncertainty, mL."""
        return self.budget.u


def volume_by_weight(weighing: Weighing, setup: Setup, level_percent: float = 95.45) -> Volume:
    """The volume that was delivered, with its uncertainty.

    Source: the gravimetric method in the manner of ISO 8655-6 and ISO 4787 (from memory); ISO 8655 leaves medical syringes
    out, so no conformity to it is claimed. Budget by JCGM 100.

    >>> room = Room(t_degC=20.0, p_hPa=1013.0, rh_percent=50.0)
    >>> setup = Setup(balance=Balance(readability_g=0.0001, repeatability_g=0.0002), room=room)
    >>> found = volume_by_weight(Weighing(without_g=12.3456, with_g=12.8442), setup)
    >>> round(found.mL, 4), round(found.u, 4)
    (0.5, 0.0003)
    """
    blank = setup.evaporation if isinstance(setup.evaporation, Blank) else Blank(lost_g=0.0, lost_u_g=0.0)
    mass = weighing.net_g + blank.lost_g
    volume = volume_at_20(mass, setup.z, setup.room.t_degC, setup.gamma_per_degC)
    parts = [*_of_balance(weighing, setup), *_of_room(volume, setup), *_of_evaporation(setup)]
    missing = ["calibration of the balance: check it with a weight"]
    if weighing.drift_g is None:
        missing.append("drift of the balance: read the empty vessel once more")
    if setup.evaporation is None:
        missing.append("evaporation: run a blank, or say how long the liquid lay open")
    if not setup.liquid.standard_uncertainty:
        missing.append("how well the density of the liquid is known")
    return Volume(
        mL=volume,
        mass_g=mass,
        z_mL_per_g=setup.z,
        budget=combine(volume, parts, level_percent),
        not_in_it=tuple(missing),
    )


def _of_balance(weighing: Weighing, setup: Setup) -> list[Contribution]:
    """Two readings; where the empty vessel was read twice, its mean counts as half a reading's variance."""
    readings = sqrt(2.0) if weighing.drift_g is None else sqrt(1.5)
    step, scatter, z = setup.balance.readability_g / 2.0, setup.balance.repeatability_g, setup.z
    shown = readings * step / sqrt(3.0) * z
    parts = [
        Contribution(name=SCATTER, shape=Shape.NORMAL, u=readings * scatter * z, nu=setup.balance.nu),
        Contribution(name=DISPLAY, shape=Shape.TRIANGULAR, u=shown, limit=2.0 * step * z),
    ]
    if weighing.drift_g:
        parts.append(_rectangle(DRIFT, abs(weighing.drift_g) / 2.0 * z))
    return parts


def _of_room(volume: float, setup: Setup) -> list[Contribution]:
    """Temperature (through the densities and the device), pressure, humidity, and the liquid's own density."""
    room, z = setup.room, setup.z

    def limit(by: Callable[[float], float], at: float, inside: Range, half_width: float) -> float:
        return abs(slope(by, at, inside, inside.high * 1e-3)) / z * volume * half_width

    low = max(setup.liquid.temperatures.low, AIR_VALID["t_degC"].low)
    both = Range(low, min(setup.liquid.temperatures.high, AIR_VALID["t_degC"].high), "degC", "temperature")
    by_t = slope(lambda t: setup.z_at(t, room.p_hPa, room.rh_percent), room.t_degC, both, 0.1) / z
    density = setup.liquid.standard_uncertainty / setup.liquid.density(room.t_degC) * volume
    return [
        _rectangle("temperature", abs(by_t - setup.gamma_per_degC) * volume * room.t_half_width),
        _rectangle(
            "air pressure",
            limit(
                lambda p: setup.z_at(room.t_degC, p, room.rh_percent), room.p_hPa, AIR_VALID["p_hPa"], room.p_half_width
            ),
        ),
        _rectangle(
            "humidity",
            limit(
                lambda h: setup.z_at(room.t_degC, room.p_hPa, h),
                room.rh_percent,
                AIR_VALID["rh_percent"],
                room.rh_half_width,
            ),
        ),
        Contribution(name="density of the liquid", shape=Shape.NORMAL, u=density),
    ]


def _of_evaporation(setup: Setup) -> list[Contribution]:
    if isinstance(setup.evaporation, Blank):
        return [Contribution(name="evaporation", shape=Shape.NORMAL, u=setup.evaporation.lost_u_g * setup.z)]
    if setup.evaporation:
        return [_rectangle("evaporation", evaporated(OPEN_VESSEL[1], float(setup.evaporation)) * setup.z)]
    return []


def _rectangle(name: str, half_width: float) -> Contribution:
    return Contribution(name=name, shape=Shape.RECTANGULAR, u=half_width / sqrt(3.0), limit=half_width)


def smallest_net_mass(balance: Balance, share: float = 0.001) -> float:
    """The smallest net mass that a balance may weigh [g].

    Equation:  m = 2 max(s, 0.41 d) / share
    Symbols:   s   standard deviation of repeated readings [g]     d   readability [g]     share   permitted [1], 0.0010
    Source:    USP 37 <41>, repeatability (a copy was read); 0.1 mg readability and a small s: 82 mg.

    >>> round(smallest_net_mass(Balance(readability_g=0.0001, repeatability_g=0.00002)), 6)
    0.082
    """
    hold(VALID, share=share)
    return 2.0 * max(balance.repeatability_g, 0.41 * balance.readability_g) / share


def least_weighable(sensitivity_g: float, share: float) -> float:
    """The smallest mass that a balance with this sensitivity weighs within a share [g].

    Equation:  m = SR / share
    Symbols:   SR   sensitivity requirement [g]     share   permitted error [1]
    Source:    university pharmaceutics laboratory, weighing: 6 mg and 5 % are 120 mg.

    >>> round(least_weighable(0.006, 0.05), 3)
    0.12
    """
    hold({**VALID, "sensitivity_g": VALID["readability_g"]}, share=share, sensitivity_g=sensitivity_g)
    return sensitivity_g / share


def can_weigh(volume_mL: float, setup: Setup, share: float = 0.001) -> bool:
    """True when this balance may weigh so small a volume, by `smallest_net_mass`."""
    return volume_mL / setup.z >= smallest_net_mass(setup.balance, share)
