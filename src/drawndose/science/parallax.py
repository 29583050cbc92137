"""Parallax: what reading from above or below a mark does to a volume, and what an air bubble takes away. Cards of geometry.

Between the scale on the outer wall and the edge that is read lies a gap. An eye out of level looks through it on a slope and
meets another mark than the one level with the edge: a higher one from above, a lower one from below. Whether a higher mark
is a larger number depends on the way in which the numbers of the scale grow.

Angles are degrees from the level; above it is positive. No distance of the eye is needed. Plain geometry, worked out here.
"""

from __future__ import annotations

from enum import Enum
from math import pi, radians, sin, sqrt
from typing import Final

from drawndose.science.ranges import Range, Valid, hold

VALID: Final[Valid] = {
    "tilt_deg": Range(-60.0, 60.0, "degrees", "angle of the eye above the level"),
    "index": Range(1.0, 2.0, "", "refractive index"),
    "gap_mm": Range(0.0, 50.0, "mm", "gap between the scale and what is read"),
    "shift_mm": Range(-100.0, 100.0, "mm", "distance along the scale"),
    "capacity_mL": Range(0.01, 1000.0, "mL", "capacity"),
    "scale_mm": Range(5.0, 500.0, "mm", "length of the scale"),
    "diameter_mm": Range(0.0, 10.0, "mm", "diameter of a bubble"),
    "bubble_mL": Range(0.0, 0.6, "mL", "volume of a bubble"),
}


class Grows(Enum):
    """The way in which the numbers of an upright scale grow, with the sign of a higher mark."""

    UP = 1
    DOWN = -1


def slope_inside(tilt_deg: float, index: float = 1.0) -> float:
    """How steeply a line of sight runs inside wall or liquid [1].

    Equation:  tan(t') = sin(t) / sqrt(n^2 - sin(t)^2), from sin(t') = sin(t) / n
    Symbols:   t   angle of the eye above the level [degrees]     n   refractive index of wall or liquid [1]; ranges in VALID
    Source:    law of refraction at an upright wall; derived.
    Example:   from 30 degrees into n = 1.5: sin(t') = 1/3, so tan(t') = 0.354; in air it would be 0.577.

    >>> round(slope_inside(30.0, 1.5), 3), round(slope_inside(30.0), 3), slope_inside(0.0, 1.5)
    (0.354, 0.577, 0.0)
    """
    hold(VALID, tilt_deg=tilt_deg, index=index)
    across = sin(radians(tilt_deg))
    return across / sqrt(index**2 - across**2)


def shift(gap_mm: float, tilt_deg: float, index: float = 1.0) -> float:
    """How far above the right mark the line of sight meets the scale; below it where negative [mm].

    Equation:  dx = b tan(t'); without refraction b tan(t) = b H / D, for an eye H above the mark at a distance D
    Symbols:   b   gap between the scale and what is read [mm]     t, n   as `slope_inside`; ranges in VALID
    Source:    derived. For a syringe b is the wall; for a tube read at a meniscus about its radius and the wall.
    Example:   1 mm of wall with n = 1.5, from 30 degrees: 0.354 mm.

    >>> round(shift(1.0, 30.0, 1.5), 3), round(shift(1.0, -30.0, 1.5), 3)
    (0.354, -0.354)
    """
    hold(VALID, gap_mm=gap_mm)
    return gap_mm * slope_inside(tilt_deg, index)


def misreading(shift_mm: float, capacity_mL: float, scale_mm: float, grows: Grows) -> float:
    """What is read, less what is there [mL].

    Equation:  dV = s dx V / L
    Symbols:   dx   `shift` [mm]     V   capacity [mL]     L   length of the scale from 0 to the capacity [mm]; ranges in VALID
               s    1 where the numbers grow upwards, -1 where they grow downwards [1]
    Source:    derived. From above, a scale that grows upwards reads high and one that grows downwards, as a burette, low.
    Example:   0.57 mm on a 1 mL scale of 57 mm that grows downwards: 0.01 mL too little is read.

    >>> round(misreading(0.57, 1.0, 57.0, Grows.DOWN), 4), round(misreading(0.57, 1.0, 57.0, Grows.UP), 4)
    (-0.01, 0.01)
    """
    hold(VALID, shift_mm=shift_mm, capacity_mL=capacity_mL, scale_mm=scale_mm)
    return grows.value * shift_mm * capacity_mL / scale_mm


def bubble_volume(diameter_mm: float) -> float:
    """The volume of a round bubble, which is not dose [mL].

    Equation:  V = pi d^3 / 6
    Symbols:   d   diameter [mm], range in VALID; 1 mL is 1000 mm^3
    Source:    the sphere.
    Example:   a bubble of 4 mm takes 0.034 mL.

    >>> round(bubble_volume(4.0), 4), bubble_volume(0.0)
    (0.0335, 0.0)
    """
    hold(VALID, diameter_mm=diameter_mm)
    return pi * diameter_mm**3 / 6.0 / 1000.0


def bubble_diameter(bubble_mL: float) -> float:
    """How wide a round bubble of a volume is [mm]: `bubble_volume` turned round.

    Equation:  d = (6 V / pi)^(1/3)
    Symbols:   V   volume of the bubble [mL], range in VALID; 1 mL is 1000 mm^3
    Source:    the sphere.
    Example:   0.05 mL is a bubble of 4.6 mm.

    >>> round(bubble_diameter(0.05), 1), bubble_diameter(0.0)
    (4.6, 0.0)
    """
    hold(VALID, bubble_mL=bubble_mL)
    return float((6000.0 * bubble_mL / pi) ** (1.0 / 3.0))
