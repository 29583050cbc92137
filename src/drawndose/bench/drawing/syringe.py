"""A syringe to scale: upright, tip up, zero at the tip, read at the stopper edge nearest the tip.

Source: ISO 7886-1:1993, 3.2 (the volume is what leaves as the fiducial line of the piston passes the scale). Where the
marks would stand closer than 5 pixels, a small whole syringe shows where the window is, and the window shows the marks.
"""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.drawing import barrel
from drawndose.bench.drawing.bubble import Bubble, bubble_words
from drawndose.bench.drawing.figure import (
    Figure,
    Scale,
    group,
    line,
    ml,
    ml_about,
    numeral,
    path,
    rect,
    silent_svg,
    svg,
    text,
    torn,
)
from drawndose.bench.drawing.graduations import (
    BARREL,
    CLOSEST,
    USUAL,
    Wall,
    banded,
    crowded,
    marks,
    numerals,
    pitch_of,
    reading,
    scale_rows,
    scale_words,
    window_of,
)
from drawndose.reference import Instrument

WIDTH, SMALL = 270, Wall(Fraction(14), Fraction(40))
HEAD, FOOT = 54, 48
NOTE = 30  # more room above the barrel for the words beside a bubble
NONE = Fraction(0)


def syringe(
    ident: str, instrument: Instrument, volume: Fraction, reading: str, *, part: str = "", bubble: Fraction = NONE
) -> Figure:
    """The drawing of one fill, for the step in which the edge is set on the mark and read.

    reading: the engine's sentence on where to read. part: which fill this is. bubble: air that someone saw, mL, less than
    the volume. ValueError for a volume without a line, and for air that leaves no liquid.
    """
    if not instrument.shows(volume):
        raise ValueError(f"{ml_about(volume)} has no line on the {instrument.name}: nothing is drawn between lines")
    if not 0 <= bubble < volume:
        raise ValueError(f"the air is more than nothing and must leave some liquid of {ml_about(volume)}")
    window = crowded(instrument) and _bubble_fits(instrument, volume, bubble)
    words = (
        f"{scale_words(instrument)} True along the scale, not across it.",
        f"Set {reading}.",
        _error_words(instrument, volume),
    )
    air = (("Air", ml(bubble)), ("Liquid", ml(volume - bubble))) if bubble else ()
    return Figure(
        ident=ident,
        kind="syringe",
        name=f"{part}{instrument.name}: fill to {ml(volume)}{f', air {ml(bubble)}' if bubble else ''}.",
        words=(*words, bubble_words(volume, bubble)) if bubble else words,
        rows=(*scale_rows(instrument, volume), *air),
        svg=(_window if window else _whole)(ident, instrument, volume, bubble),
        small=_overview(instrument, volume, bubble) if window else "",
    )


def _error_words(instrument: Instrument, volume: Fraction) -> str:
    error = instrument.permissible_error(volume)
    told = f"A syringe of this kind may be off by up to {ml_about(error)} either way"
    if banded(instrument, volume):
        return f"{told}: the bracket. It is no room for the hand; set the edge on the line."
    return f"{told}, less than one mark shows."


def whole_barrel(
    instrument: Instrument, volume: Fraction, scale: Scale, wall: Wall, inside: str = ""
) -> tuple[str, ...]:
    """All of a barrel, filled to a line, in the order of painting: the marks over liquid, stopper and what is inside."""
    zero, edge, end = scale.y(NONE), scale.y(volume), scale.y(instrument.capacity)
    return (
        group("liquid", rect("liquid-body", wall.left, zero, wall.width, edge - zero), inside),
        barrel.tip(instrument.tip == "luer", zero, wall),
        barrel.walls(wall, zero, end),
        barrel.rod(edge + barrel.STOPPER, max(end + 40, edge + barrel.STOPPER + 4), wall),
        barrel.barrel_end(end, wall),
        barrel.stopper(edge, wall),
        marks(instrument, scale, NONE, instrument.capacity, wall),
        numerals(instrument, scale, NONE, instrument.capacity, wall),
    )


def _whole(ident: str, instrument: Instrument, volume: Fraction, air: Fraction) -> str:
    length = max(Fraction(USUAL), CLOSEST * instrument.capacity / instrument.step)
    scale = Scale(Fraction(HEAD + (NOTE if air else 0)), length / instrument.capacity)
    zero = scale.y(NONE)
    inside, told = _air(air, scale, zero, scale.y(volume), zero - 64)
    return svg(
        ident,
        WIDTH,
        scale.y(instrument.capacity) + FOOT,
        *whole_barrel(instrument, volume, scale, BARREL, inside),
        told,
        reading(instrument, scale, volume, BARREL, "read here"),
        css="scale-drawing",
    )


def _air(air: Fraction, scale: Scale, top: Fraction, edge: Fraction, note: Fraction) -> tuple[str, str]:
    """The bubble between the upper end of the liquid and the stopper, and its words; both "" where there is no air."""
    if not air:
        return "", ""
    bubble = Bubble(volume=air, per_ml=scale.per_ml, wall=BARREL)
    if bubble.round_fits(top, edge):
        to = (BARREL.middle - bubble.radius, top + 4 + bubble.radius)
    else:
        to = (BARREL.left + 6, top + air * scale.per_ml / 2)
    return bubble.drawn(top, edge), bubble.told(Fraction(2), note, to)


def _bubble_fits(instrument: Instrument, volume: Fraction, air: Fraction) -> bool:
    """True when a window has room for the bubble; a larger one is shown in the whole syringe."""
    if not air:
        return True
    low, _ = window_of(instrument, volume)
    scale = window_scale(instrument, volume)
    return Bubble(volume=air, per_ml=scale.per_ml, wall=BARREL).round_fits(scale.y(low), scale.y(volume))


def window_scale(instrument: Instrument, volume: Fraction, more: int = 0) -> Scale:
    """The scale of the window around one line; with `more` pixels of room above it."""
    low, high = window_of(instrument, volume)
    per_ml = pitch_of(instrument, low, high) / instrument.step
    return Scale((HEAD if low == 0 else 40) + more - low * per_ml, per_ml)


def _window(ident: str, instrument: Instrument, volume: Fraction, air: Fraction) -> str:
    low, _ = window_of(instrument, volume)
    scale = window_scale(instrument, volume, NOTE if air else 0)
    start = scale.y(low)
    inside, told = _air(air, scale, start, scale.y(volume), start - (64 if low == 0 else 40))
    parts, bottom = window_parts(instrument, volume, scale, inside)
    error = instrument.permissible_error(volume) if banded(instrument, volume) else 0
    return svg(
        ident,
        WIDTH,
        max(bottom + 12, scale.y(volume + error) + 4),
        *parts,
        told,
        reading(instrument, scale, volume, BARREL, "read here"),
        css="scale-drawing",
    )


def window_parts(
    instrument: Instrument, volume: Fraction, scale: Scale, inside: str = ""
) -> tuple[tuple[str, ...], Fraction]:
    """The barrel around one line, torn off where the instrument goes on, and how far down the picture reaches."""
    low, high = window_of(instrument, volume)
    start, edge, end = scale.y(low), scale.y(volume), scale.y(high)
    # The liquid and the walls run on to the torn edge; at either end of the scale the instrument really ends.
    last = high == instrument.capacity
    head = start if low == 0 else start - 24
    foot = end if last else end + 24
    bottom = max(foot, edge + barrel.STOPPER) + (40 if last else 0)
    liquid = head + 6 if low else head
    return (
        group("liquid", rect("liquid-body", BARREL.left, liquid, BARREL.width, edge - liquid), inside),
        barrel.walls(BARREL, head, foot),
        barrel.rod(edge + barrel.STOPPER, bottom if last else foot, BARREL, torn_off=last),
        barrel.stopper(edge, BARREL),
        barrel.tip(instrument.tip == "luer", head, BARREL)
        if low == 0
        else torn("outline", BARREL.left, BARREL.right, head),
        barrel.barrel_end(end, BARREL) if last else torn("outline", BARREL.left, BARREL.right, foot),
        marks(instrument, scale, low, high, BARREL),
        numerals(instrument, scale, low, high, BARREL),
    ), bottom


def _overview(instrument: Instrument, volume: Fraction, air: Fraction) -> str:
    """The whole syringe, small: its numbered marks, and a frame where the window is."""
    scale = Scale(Fraction(HEAD), Fraction(190) / instrument.capacity)
    left, right = SMALL
    low, high = window_of(instrument, volume)
    zero, edge, end = scale.y(NONE), scale.y(volume), scale.y(instrument.capacity)
    found = [rect("liquid-body", left, zero, right - left, edge - zero)]
    if air:
        found.append(Bubble(volume=air, per_ml=scale.per_ml, wall=SMALL).drawn(zero, edge))
    found.append(path("outline", "M", left, end + 8, "V", zero, "L", 24, zero - 8, "V", zero - 30, "H", 30))
    found.append(path("outline", "M", 30, zero - 30, "V", zero - 8, "L", right, zero, "V", end + 8))
    found.append(rect("flange", 4, end + 8, 46, 6, 2))
    found.append(rect("stopper-body", left + 1, edge, right - left - 2, 12))
    found.append(line("thin", 27, edge + 12, 27, end + 44) + line("thin", 18, end + 44, 36, end + 44))
    place = NONE
    while place <= instrument.capacity:
        found.append(line("mark", right - 10, scale.y(place), right, scale.y(place), place))
        if place in {0, instrument.capacity / 2, instrument.capacity}:
            found.append(text("numeral", right + 10, scale.y(place) + Fraction(11, 2), numeral(place)))
        place += instrument.numbered
    found.append(rect("window-frame", 8, scale.y(low), 38, scale.y(high) - scale.y(low)))
    found.append(line("edge", 6, edge, right, edge, volume))
    return silent_svg(80, end + 52, *found, css="overview")
