"""One line of one instrument, seen from above or below: what is really in it. For teaching; no dose is changed by it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from drawndose.bench.draws import ml
from drawndose.reference import Instrument, Kind
from drawndose.science.parallax import Grows, bubble_diameter, misreading, shift
from drawndose.science.words import percent_words, volume_words

WALL_MM: Final = 1.0
"""Thickness of a syringe's wall [mm]: about right for plastic, not measured; a setting."""

WALL_INDEX: Final = 1.5
"""Refractive index of a clear plastic wall [1]: from memory, a setting."""

WATER_INDEX: Final = 1.33
"""Refractive index of a watery liquid [1]: from memory, a setting."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """What the geometry needs of an instrument. gap_mm, scale_mm: None where it is not known and has to be measured."""

    capacity_mL: float
    gap_mm: float | None
    scale_mm: float | None
    index: float
    grows: Grows


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A line as an eye meets it from an angle. holds: what is really there, mL, when the eye finds it on the line.

    off: more (or, negative, less) than the line, mL.
    """

    line: Fraction
    tilt_deg: float
    off: float

    @property
    def holds(self) -> float:
        """The volume really there, mL."""
        return float(self.line) + self.off


def sight_of(instrument: Instrument) -> Sight:
    """What is known of an instrument, held as on the page: a syringe with its tip up, anything else with its foot down.

    A syringe is read at the wall, so its wall is the gap. In a tube the curve is read in its middle: the gap is half of the
    tube's width, which no catalogue tells.
    """
    syringe, scale = instrument.kind is Kind.SYRINGE, instrument.scale_length
    return Sight(
        capacity_mL=float(instrument.capacity),
        gap_mm=WALL_MM if syringe else None,
        scale_mm=float(scale) if scale is not None else None,
        index=WALL_INDEX if syringe else WATER_INDEX,
        grows=Grows.DOWN if syringe else Grows.UP,
    )


def seen(line: Fraction, sight: Sight, tilt_deg: float) -> Seen | None:
    """What a line holds when the eye that sets it stands so many degrees above it; None while a length is not known.

    OutOfRange for an angle or a length in which the geometry does not hold.

    >>> syringe = Sight(capacity_mL=3.0, gap_mm=1.0, scale_mm=27.0, index=1.5, grows=Grows.DOWN)
    >>> found = seen(Fraction(2, 5), syringe, 20.0)
    >>> round(found.holds, 3), round(found.off, 3)
    (0.426, 0.026)
    """
    if sight.gap_mm is None or sight.scale_mm is None:
        return None
    wrong = misreading(shift(sight.gap_mm, tilt_deg, sight.index), sight.capacity_mL, sight.scale_mm, sight.grows)
    return Seen(line=line, tilt_deg=tilt_deg, off=-wrong)


def seen_words(found: Seen, whole: Fraction, toward: int) -> str:
    """What an eye at this angle does, in one sentence, with the share of the dose.

    whole: the volume of which the line is a part, mL. toward: 1 where more of it is more dose, -1 where it dilutes.
    """
    line = ml(found.line)
    if not found.off:
        return f"With the eye level, the line shows what is there: {line}."
    eye = f"From {abs(found.tilt_deg):g} degrees {'above' if found.tilt_deg > 0 else 'below'}"
    if found.holds <= 0:
        return f"{eye}, nothing looks like {line}: the edge would stand beyond the end of the scale."
    more = "more" if found.off > 0 else "less"
    dose = "more" if found.off * toward > 0 else "less"
    return (
        f"{eye}, {volume_words(found.holds)} looks like {line}: {volume_words(abs(found.off), 2)} {more} than the line, "
        f"{percent_words(found.off / float(whole))} {dose} dose."
    )


def air_words(air: Fraction, line: Fraction, whole: Fraction, toward: int) -> str:
    """What a bubble in a fill takes away, in one sentence with the share of the dose. air: less than the line, mL."""
    wide = f"about {bubble_diameter(float(air)):.2g} mm across if it is round"
    dose = "less" if toward > 0 else "more"
    return (
        f"A bubble of {ml(air)} ({wide}) is no liquid: {ml(line - air)} is there at the {ml(line)} line, "
        f"{percent_words(float(air / whole))} {dose} dose."
    )
