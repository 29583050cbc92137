"""Slips that people make with a balance and a weather station, each caught by name: units, tare, order of readings, scales.

A slip that cannot be anything else is refused, with what it would be in the unit asked for. One that could be true is a doubt:
it stands beside the result, and a person answers it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

from drawndose.quantities import Fault
from drawndose.science.air import VALID as AIR_VALID
from drawndose.science.liquids import VALID_OWN, WATER

THOUSAND: Final = 300.0
"""A net mass so many times off what was expected is a unit, not a draw: no one is off by that in one syringe. A setting."""

FORGOTTEN: Final = 5.0
"""A "net" mass so many times the expected one, with nothing taken off, holds the vessel. A setting."""

POINT: Final = (8.0, 12.0)
"""A net mass between these times the expected one, or so many times less, may have lost its decimal point. A setting."""

BEYOND: Final = 1.1
"""No instrument is filled to more than this times what it holds; a little past its last line it may be. A setting."""

OTHER_LIQUID: Final = 0.005
"""A density that is further than this share from that of the liquid named is another liquid's. A setting."""


class Kind(Enum):
    """What slipped."""

    UNIT = "milligrams and grams"
    TARE = "tare forgotten"
    SWAPPED = "readings swapped"
    NET = "net reading"
    NOTHING = "nothing delivered"
    DRIFT = "drift"
    FAHRENHEIT = "degrees Fahrenheit"
    PRESSURE = "unit of pressure"
    SHARE = "share instead of percent"
    DENSITY = "density"
    POINT = "decimal point"
    CAPACITY = "capacity"
    DIGITS = "digits of the display"


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """One slip. sure: it cannot be anything else. rule, came and accepted are those of a fault."""

    kind: Kind
    field: str
    rule: str
    came: str
    accepted: str
    sure: bool

    @property
    def says(self) -> str:
        """In a sentence."""
        return str(self.fault)

    @property
    def fault(self) -> Fault:
        """As a fault."""
        return Fault(field=self.field, rule=self.rule, came=self.came, accepted=self.accepted)


def mass_slips(without_g: float, with_g: float, expected_g: float, again_g: float | None = None) -> Iterator[Slip]:
    """What is wrong with the readings of one weighing, all in grams, when so much was expected.

    >>> [slip.kind.value for slip in mass_slips(12345.6, 12845.6, 0.5)]
    ['milligrams and grams']
    >>> [slip.kind.value for slip in mass_slips(12.8456, 12.3456, 0.5)]
    ['readings swapped']
    """
    net = with_g - without_g
    came = f"{without_g:g} g and {with_g:g} g"

    def slip(kind: Kind, rule: str, accepted: str) -> Slip:
        return Slip(kind=kind, field="readings", rule=rule, came=came, accepted=accepted, sure=True)

    if net < 0 and expected_g / 3 < with_g < expected_g * 3 < without_g:
        yield slip(
            Kind.NET, "the second reading is a net mass, the first is not", "both of the same vessel, or 0 first"
        )
    elif -expected_g / 20 < net <= 0:
        yield slip(Kind.NOTHING, "the vessel is no heavier than before", "a reading after the delivery")
    elif net < 0 and abs(net) < expected_g * THOUSAND:
        yield slip(
            Kind.SWAPPED,
            "the reading with the liquid is the smaller one",
            f"{with_g:g} g without, {without_g:g} g with",
        )
    elif abs(net) >= expected_g * THOUSAND:
        accepted = f"grams: {net / 1000:g} g" if net > 0 else "both readings in grams"
        yield slip(Kind.UNIT, "the mass is some thousand times what was expected", accepted)
    elif 0 < net <= expected_g / THOUSAND:
        yield slip(Kind.UNIT, "the mass is some thousandth of what was expected", f"grams: {net * 1000:g} g")
    elif without_g == 0 and net > expected_g * FORGOTTEN:
        yield slip(Kind.TARE, "nothing was taken off for the vessel", "the reading of the empty vessel")
    elif net > 0 and (POINT[0] < net / expected_g < POINT[1] or POINT[0] < expected_g / net < POINT[1]):
        rule = "the mass is about ten times more, or less, than what was asked: a decimal point may be lost"
        accepted = f"about {expected_g:.3g} g"
        yield Slip(kind=Kind.POINT, field="readings", rule=rule, came=came, accepted=accepted, sure=False)
    if again_g is not None and abs(again_g - without_g) > abs(net) / 10:
        rule = "the two readings of the empty vessel differ by more than a tenth of the net mass"
        came = f"{without_g:g} g and {again_g:g} g"
        yield Slip(
            kind=Kind.DRIFT, field="empty vessel", rule=rule, came=came, accepted="the same vessel, dry", sure=False
        )


def room_slips(t_degC: float, p_hPa: float, rh_percent: float) -> Iterator[Slip]:
    """What is wrong with temperature, pressure and humidity.

    >>> [(slip.kind.value, slip.accepted) for slip in room_slips(72.0, 760.0, 0.45)]
    [('degrees Fahrenheit', '22.2 degC'), ('unit of pressure', '1013 hPa'), ('share instead of percent', '45 %')]
    """
    if 45.0 < t_degC <= 113.0:
        rule = "the room is as hot as that only in degrees Fahrenheit"
        yield _slip(Kind.FAHRENHEIT, "t_degC", rule, f"{t_degC:g} degC", f"{(t_degC - 32.0) / 1.8:.1f} degC")
    for low, high, unit, factor in ((20.0, 33.0, "inHg", 33.8639), (60.0, 111.0, "kPa", 10.0)):
        if low <= p_hPa < high:
            yield _slip(
                Kind.PRESSURE,
                "p_hPa",
                f"the pressure is that only in {unit}",
                f"{p_hPa:g} hPa",
                f"{p_hPa * factor:.0f} hPa",
            )
    if AIR_VALID["p_hPa"].low <= p_hPa <= 790.0:
        rule = "the pressure may be in mmHg; in hPa it is that of a place 2,000 m up or higher"
        yield _slip(Kind.PRESSURE, "p_hPa", rule, f"{p_hPa:g} hPa", f"{p_hPa * 1.33322:.0f} hPa", sure=False)
    if 0.0 < rh_percent <= 1.0:
        rule = "the humidity looks like a share, and percent is wanted"
        yield _slip(Kind.SHARE, "rh_percent", rule, f"{rh_percent:g} %", f"{rh_percent * 100:.0f} %", sure=False)


def density_slips(density_g_mL: float, known_g_mL: float | None = None, name: str = "") -> Iterator[Slip]:
    """What is wrong with a stated density; where the liquid named has a known one, also whether it is another liquid's.

    >>> [slip.accepted for slip in density_slips(1004.6)], [slip.accepted for slip in density_slips(13.6)]
    (['1.0046 g/mL'], ['0.6 to 1.5 g/mL'])
    >>> [slip.rule for slip in density_slips(1.06, 0.998, "water")]
    ['the density is that of another liquid than water']
    """
    allowed = VALID_OWN["density_g_mL"]
    came = f"{density_g_mL:g} g/mL"
    if density_g_mL / 1000.0 in allowed:
        yield _slip(Kind.DENSITY, "density_g_mL", "the density is in kg/m3", came, f"{density_g_mL / 1000.0:g} g/mL")
    elif density_g_mL not in allowed:
        yield _slip(Kind.DENSITY, "density_g_mL", "no liquid for inhalation has that density", came, str(allowed))
    elif known_g_mL is not None and abs(density_g_mL / known_g_mL - 1.0) > OTHER_LIQUID:
        accepted = f"about {known_g_mL:.4g} g/mL, or the liquid's own name"
        yield _slip(Kind.DENSITY, "density_g_mL", f"the density is that of another liquid than {name}", came, accepted)


def display_slips(readings_g: Sequence[float], step_g: float, most_g: float) -> Iterator[Slip]:
    """What is wrong with readings for a display of this step and a balance that carries so much, all in g.

    >>> [slip.rule for slip in display_slips([12.34565, 300.0], 0.0001, 220.0)]
    ['the balance does not carry so much', 'the reading is finer than the step of the display']
    """
    for reading in readings_g:
        if abs(reading) > most_g:
            rule = "the balance does not carry so much"
            yield _slip(Kind.CAPACITY, "readings", rule, f"{reading:g} g", f"at most {most_g:g} g")
    for reading in readings_g:
        if not _on_step(reading, step_g):
            came, accepted = f"{reading:.10g} g", f"readings in steps of {step_g:g} g"
            rule = "the reading is finer than the step of the display"
            yield _slip(Kind.DIGITS, "readings", rule, came, accepted, sure=False)


def coarse_slips(readings_g: Sequence[float], step_g: float) -> Iterator[Slip]:
    """A doubt where many readings all end in 0 at this step: the display may be ten times coarser than was said.

    >>> [slip.accepted for slip in coarse_slips([12.34, 12.84, 12.35, 12.86], 0.001)]
    ['a step of 0.01 g, if that is what the display shows']
    """
    if len(readings_g) >= 4 and all(_on_step(reading, 10.0 * step_g) for reading in readings_g):
        rule = "every reading ends in 0 at this step of the display"
        accepted = f"a step of {10.0 * step_g:g} g, if that is what the display shows"
        yield _slip(Kind.DIGITS, "readability_g", rule, f"a step of {step_g:g} g", accepted, sure=False)


def _on_step(reading_g: float, step_g: float) -> bool:
    steps = reading_g / step_g
    return abs(steps - round(steps)) < 0.01


def capacity_slips(volume_mL: float, capacity_mL: float) -> Iterator[Slip]:
    """A weighed volume that the instrument cannot have held.

    >>> [slip.sure for slip in capacity_slips(1.05, 1.0)], [slip.sure for slip in capacity_slips(1.2, 1.0)]
    ([False], [True])
    """
    if volume_mL > capacity_mL:
        rule = "the weighed volume is more than the instrument holds"
        sure = volume_mL > BEYOND * capacity_mL
        came = f"{volume_mL:.4g} mL"
        yield _slip(Kind.CAPACITY, "readings", rule, came, f"at most {capacity_mL:g} mL", sure=sure)


def _slip(kind: Kind, field: str, rule: str, came: str, accepted: str, *, sure: bool = True) -> Slip:
    return Slip(kind=kind, field=field, rule=rule, came=came, accepted=accepted, sure=sure)


def expected_mass(expected_mL: float, density_g_mL: float | None = None) -> float:
    """About what a volume weighs, g: enough to see a slip."""
    return expected_mL * (density_g_mL if density_g_mL is not None else WATER.density(20.0) / 1000.0)
