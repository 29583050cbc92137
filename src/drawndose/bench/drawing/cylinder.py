"""A graduated cylinder, or any other upright measure with a linear scale, read at the lowest point of the curve.

Source: NIST GMP 3 (a concave meniscus is read at its lowest point, the eye level with it). The catalogue knows the scale
and not the shape of the glass, so the walls are drawn straight and the words say so.
"""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.drawing.figure import Figure, Scale, callout, group, line, ml, ml_about, path, svg, torn
from drawndose.bench.drawing.graduations import (
    CALLOUT,
    CLOSEST,
    USUAL,
    Wall,
    band,
    banded,
    crowded,
    marks,
    numerals,
    pitch_of,
    scale_rows,
    scale_words,
    window_of,
)
from drawndose.reference import Instrument

WIDTH, LIP, FOOT, DIP = 280, 34, 34, 10
GLASS = Wall(Fraction(146), Fraction(216))


def cylinder(ident: str, instrument: Instrument, volume: Fraction, reading: str, *, part: str = "") -> Figure:
    """The drawing of one fill to a line, for the step in which it is read. ValueError for a volume without a line."""
    if not instrument.shows(volume):
        raise ValueError(f"{ml_about(volume)} has no line on the {instrument.name}: nothing is drawn between lines")
    error = f"{ml_about(instrument.permissible_error(volume))} either way"
    shown = "the bracket" if banded(instrument, volume) else "less than one mark shows"
    return Figure(
        ident=ident,
        kind="cylinder",
        name=f"{part}{instrument.name}: fill to {ml(volume)}.",
        words=(
            scale_words(instrument),
            f"Stand it level, eye level with the line: {reading}.",
            f"It may be off by up to {error}: {shown}. Drawn from its scale, not from its shape.",
        ),
        rows=scale_rows(instrument, volume),
        svg=_picture(ident, instrument, volume),
    )


def _picture(ident: str, instrument: Instrument, volume: Fraction) -> str:
    """All of the glass, or where its marks stand too close a window with torn ends; zero is at the foot."""
    low, high = (Fraction(0), instrument.capacity)
    pitch = max(Fraction(USUAL) / (high / instrument.step), Fraction(CLOSEST))
    if crowded(instrument):
        low, high = window_of(instrument, volume)
        pitch = pitch_of(instrument, low, high)
    top = LIP + 24
    scale = Scale(top + high * pitch / instrument.step, -pitch / instrument.step)
    y, start, end = scale.y(volume), scale.y(low), scale.y(high)
    foot = start if low == 0 else start + 24
    error = instrument.permissible_error(volume) if banded(instrument, volume) else Fraction(0)
    height = max(foot + (FOOT if low == 0 else 8), scale.y(max(volume - error, Fraction(0))) + 4, y + 30)
    return svg(
        ident,
        WIDTH,
        height,
        group("liquid", _liquid(y, foot)),
        group("barrel", _foot(foot) if low == 0 else torn("outline", *GLASS, foot), *_walls(end - 24, foot)),
        _lip(end - 24) if high == instrument.capacity else torn("outline", *GLASS, end - 24),
        marks(instrument, scale, low, high, GLASS),
        numerals(instrument, scale, low, high, GLASS),
        band(instrument, scale, volume) if banded(instrument, volume) else "",
        line("halo", CALLOUT, y, GLASS.left - 2, y),
        line("edge", CALLOUT, y, GLASS.right, y, volume),
        _curve(y),
        callout(y, CALLOUT, volume, "eye level here"),
        css="scale-drawing",
    )


def _surface(y: Fraction) -> tuple[str | Fraction | int, ...]:
    """The curve from wall to wall whose lowest point is at y."""
    return ("M", GLASS.left, y - DIP, "Q", GLASS.middle, y + DIP, GLASS.right, y - DIP)


def _liquid(y: Fraction, foot: Fraction) -> str:
    return path("liquid-body", *_surface(y), "V", foot, "H", GLASS.left, "Z")


def _curve(y: Fraction) -> str:
    return path("meniscus", *_surface(y))


def _walls(top: Fraction, foot: Fraction) -> tuple[str, ...]:
    return tuple(line("outline", x, top, x, foot) for x in GLASS)


def _foot(y: Fraction) -> str:
    """The bottom of the glass, and the foot that it stands on."""
    bottom = line("outline", GLASS.left, y, GLASS.right, y)
    stand = path("outline", "M", GLASS.left + 8, y, "L", GLASS.left - 14, y + 24, "H", GLASS.right + 14)
    return bottom + stand + path("outline", "M", GLASS.right + 14, y + 24, "L", GLASS.right - 8, y)


def _lip(y: Fraction) -> str:
    """The rim with its spout on the left."""
    return path(
        "outline", "M", GLASS.left, y, "Q", GLASS.left - 2, y - 8, GLASS.left - 14, y - 14, "H", GLASS.right
    ) + line("outline", GLASS.right, y - 14, GLASS.right, y)
