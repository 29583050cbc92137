"""A calibrated dropper: upright, tip down, its own marks and none between, read at the lowest point of the curve.

The catalogue knows the marks and not the shape of the glass, so the tube is drawn straight and the words say so.
"""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.drawing.figure import (
    Figure,
    Scale,
    callout,
    group,
    line,
    ml,
    ml_about,
    numeral,
    path,
    rect,
    svg,
    text,
)
from drawndose.bench.drawing.graduations import band
from drawndose.reference import Instrument

WIDTH, HEIGHT = 270, 372
LEFT, RIGHT, CALLOUT, GUTTER = 152, 192, 130, 135
ZERO, TOP, LENGTH = 308, 84, 200
DIP = 12


def dropper(ident: str, instrument: Instrument, volume: Fraction, reading: str, *, part: str = "") -> Figure:
    """The drawing of one fill to a mark."""
    if not instrument.shows(volume):
        raise ValueError(f"{ml_about(volume)} has no mark on the {instrument.name}")
    scale = Scale(Fraction(ZERO), -LENGTH / instrument.capacity)
    error = f"{ml_about(instrument.permissible_error(volume))} either way"
    return Figure(
        ident=ident,
        kind="dropper",
        name=f"{part}{instrument.name}: fill to {ml(volume)}.",
        words=(
            f"It has marks at {' and '.join(ml(mark) for mark in instrument.marks)}, and measures nothing between them.",
            f"Hold it upright, eye level with the mark: {reading}.",
            f"A dropper of this kind may be off by up to {error}: the bracket. Drawn from its marks, not from its shape.",
        ),
        rows=(
            ("Instrument", instrument.name),
            ("Marks", ", ".join(ml(mark) for mark in instrument.marks)),
            ("Read at", ml(volume)),
            ("May be off by", error),
        ),
        svg=_picture(ident, instrument, volume, scale),
    )


def _picture(ident: str, instrument: Instrument, volume: Fraction, scale: Scale) -> str:
    y, middle = scale.y(volume), Fraction(LEFT + RIGHT, 2)
    liquid = path(
        "liquid-body",
        *("M", LEFT, y - DIP, "Q", middle, y + DIP, RIGHT, y - DIP),
        *("V", ZERO - 8, "L", middle + 5, ZERO + 40, "H", middle - 5, "L", LEFT, ZERO - 8, "Z"),
    )
    curve = path("meniscus", "M", LEFT, y - DIP, "Q", middle, y + DIP, RIGHT, y - DIP)
    glass = path("outline", "M", LEFT, TOP, "V", ZERO - 8, "L", middle - 5, ZERO + 40, "H", middle + 5)
    glass += path("outline", "M", middle + 5, ZERO + 40, "L", RIGHT, ZERO - 8, "V", TOP)
    cap = rect("flange", LEFT - 12, TOP - 18, RIGHT - LEFT + 24, 22, 3)
    bulb = path(
        "bulb",
        *("M", LEFT + 5, TOP - 18, "V", TOP - 46, "Q", LEFT + 5, TOP - 76, middle, TOP - 76),
        *("Q", RIGHT - 5, TOP - 76, RIGHT - 5, TOP - 46, "V", TOP - 18),
    )
    lines = [line("mark", RIGHT - 26, scale.y(mark), RIGHT, scale.y(mark), mark) for mark in instrument.marks]
    numbers = [text("numeral", RIGHT + 9, scale.y(mark) + Fraction(11, 2), numeral(mark)) for mark in instrument.marks]
    return svg(
        ident,
        WIDTH,
        HEIGHT,
        group("liquid", liquid),
        group("barrel", glass, cap, bulb),
        group("marks", *lines),
        group("numerals", *numbers),
        band(instrument, scale, volume, GUTTER),
        line("halo", CALLOUT, y, LEFT - 2, y),
        line("edge", CALLOUT, y, RIGHT, y, volume),
        curve,
        callout(y, CALLOUT, volume, "eye level here"),
        css="scale-drawing",
    )
