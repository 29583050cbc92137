"""The line of sight as a sketch: eye, scale, and what is read behind it. Not to scale: the gap between the two is drawn wide."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, tan

from drawndose.science.parallax import Grows, slope_inside

FAR, OUTSIDE, INSIDE = 116.0, 150.0, 210.0
LEVEL, HALF, SPACING = 120.0, 100.0, 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    """Where everything stands, as written into the picture; what the gap is, and what is read behind it: a syringe's numbers
    grow downwards, and its edge is read through the wall; a tube's grow upwards, and its curve is read in the middle.
    """

    eye_x: str
    eye_y: str
    meets_y: str
    marks: tuple[str, ...]
    gap: str
    read: str
    numbers: str


def sketch(tilt_deg: float, index: float, grows: Grows) -> Sketch:
    """The sketch for an angle. A steep eye is drawn nearer, on the same ray, so that it stays inside the picture."""
    meets = LEVEL - slope_inside(tilt_deg, index) * (INSIDE - OUTSIDE)
    steep = tan(radians(tilt_deg))
    away = min(FAR, (HALF - abs(LEVEL - meets)) / abs(steep)) if steep else FAR
    return Sketch(
        eye_x=f"{OUTSIDE - away:.1f}",
        eye_y=f"{meets - steep * away:.1f}",
        meets_y=f"{meets:.1f}",
        marks=tuple(f"{LEVEL + step * SPACING:.1f}" for step in range(-7, 8)),
        gap="wall" if grows is Grows.DOWN else "half the tube",
        read="edge" if grows is Grows.DOWN else "curve",
        numbers="grow upwards" if grows is Grows.UP else "grow downwards",
    )
