"""Needles: alone, and on the tip of a syringe, for the step in which one is put on. In proportion where the data allow it.

Both are drawn with the same number of pixels for a millimetre: the length of the needle beside the length of the scale. What
no catalogue row tells (the shape of the hub, the length of a filter needle) is drawn and said to be drawn.
"""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.drawing import barrel
from drawndose.bench.drawing.figure import (
    UNITS_PER_MM,
    Figure,
    Scale,
    group,
    line,
    lines_of_text,
    ml,
    ml_about,
    numeral,
    path,
    rect,
    svg,
    text,
)
from drawndose.bench.drawing.graduations import BARREL, LONG, Wall
from drawndose.bench.drawing.proportion import life_wall
from drawndose.quantities import show_number
from drawndose.reference import TAKES_NEEDLE, Instrument, Needle

WIDTH, TOP, HUB, OVER = 320, 10, 40, 12  # OVER: how far the hub's rim stands above the zero line
SHORT, THICK = Fraction(100), Fraction(6)  # pixels, for a length and a bore that are not known
UNKNOWN = Fraction(200)  # pixels, for a scale whose length is not known
NONE = Fraction(0)


def needle_on(ident: str, instrument: Instrument, needle: Needle, volume: Fraction = NONE) -> Figure:
    """A syringe with its needle, for the step in which it is put on: empty, or filled to a line. Not for reading.

    ValueError for a tip that takes no needle, and for a volume without a line.
    """
    if instrument.tip not in TAKES_NEEDLE:
        raise ValueError(f"the {instrument.name} takes no needle")
    if volume and not instrument.shows(volume):
        raise ValueError(f"{ml_about(volume)} has no line on the {instrument.name}: nothing is drawn between lines")
    filled = (("Filled to", ml(volume)),) if volume else ()
    return Figure(
        ident=ident,
        kind="needle",
        name=f"{instrument.name}, with {needle.name}{f', filled to {ml(volume)}' if volume else ''}.",
        words=(_proportion_words(instrument, needle), *needle_words(needle)),
        rows=(("Instrument", instrument.name), *filled, *_rows(needle)),
        svg=_mounted(ident, instrument, needle, volume),
    )


def _proportion_words(instrument: Instrument, needle: Needle) -> str:
    """Whether barrel and needle are in proportion, and what is not known where they are not."""
    lengths = (("scale", instrument.scale_length), ("needle", needle.length_mm))
    unknown = " and ".join(f"the length of the {what}" for what, length in lengths if length is None)
    told = f"Not in proportion, for want of {unknown}" if unknown else "Barrel and needle in proportion"
    return f"{told}. Only the numbered marks are drawn: it is not for reading."


def needle_alone(ident: str, needle: Needle) -> Figure:
    """A needle by itself, its length in proportion to its bore."""
    known = needle.length_mm is not None and needle.bore_mm is not None
    end = TOP + _reach(needle) + HUB
    told = "Length and bore in proportion; the hub is drawn, not measured." if known else "Drawn, not measured."
    return Figure(
        ident=ident,
        kind="needle",
        name=f"{needle.name[:1].upper()}{needle.name[1:]}.",
        words=(told, *needle_words(needle)),
        rows=_rows(needle),
        svg=svg(ident, WIDTH, end + 12, drawn_needle(needle, BARREL.middle, end), css="scale-drawing"),
    )


def needle_words(needle: Needle) -> tuple[str, ...]:
    """What must be known of a needle when it is on: a filter comes off, and something stays in it."""
    keeps = f"It keeps {ml_about(needle.keeps)} when the syringe is emptied." if needle.keeps is not None else ""
    length = "" if needle.length_mm is not None else "The break in it stands for a length that is not known."
    return tuple(words for words in (filter_words(needle), keeps, length) if words)


def filter_words(needle: Needle) -> str:
    """What must be done with a filter before anything leaves the syringe; "" for a plain needle."""
    return (
        f"{needle.name[:1].upper()}{needle.name[1:]}: take it off before the drug leaves the syringe."
        if needle.filters
        else ""
    )


def _rows(needle: Needle) -> tuple[tuple[str, str], ...]:
    def mm(length: Fraction | None) -> str:
        return f"{show_number(length)}\u00a0mm" if length is not None else "not known"

    keeps = ml_about(needle.keeps) if needle.keeps is not None else "not known: weigh it"
    return (("Needle", needle.name), ("Length", mm(needle.length_mm)), ("Bore", mm(needle.bore_mm)), ("Keeps", keeps))


def _reach(needle: Needle) -> Fraction:
    """How far the needle stands out of its hub, pixels."""
    return needle.length_mm * UNITS_PER_MM if needle.length_mm is not None else SHORT


def drawn_needle(needle: Needle, middle: Fraction, foot: Fraction) -> str:
    """The needle, point up, with its hub and its name beside it; the hub's rim stands at `foot`."""
    hub, reach = foot - HUB, _reach(needle)
    half = (needle.bore_mm * UNITS_PER_MM if needle.bore_mm is not None else THICK) / 2
    cut = half * 3 if needle.gauge is not None else NONE  # a needle's point is cut slantwise, a straw's end is not
    tube = path("needle", "M", middle - half, hub, "V", hub - reach + cut, "L", middle + half, hub - reach, "V", hub)
    body = path("hub", "M", middle - 5, hub, "H", middle + 5, "L", middle + 9, foot, "H", middle - 9, "Z")
    filtering = rect("filter", middle - 6, hub + 12, 12, 7) if needle.filters else ""
    name = lines_of_text("note-words", middle + 44, hub + 16, *needle.name.split(", "))
    leader = line("thin", middle + 9, hub + 14, middle + 40, hub + 12)
    return group("mounted", tube, _break(needle, middle, hub - reach / 2), body, filtering, name, leader)


def _break(needle: Needle, middle: Fraction, y: Fraction) -> str:
    """Two slanting strokes across a needle whose length is not known: here something is left out."""
    if needle.length_mm is not None:
        return ""
    gap = path("gap", "M", middle - 8, y + 6, "L", middle + 8, y - 2, "V", y - 8, "L", middle - 8, y, "Z")
    ends = line("thin", middle - 8, y + 6, middle + 8, y - 2) + line("thin", middle - 8, y, middle + 8, y - 8)
    return gap + ends


def _mounted(ident: str, instrument: Instrument, needle: Needle, volume: Fraction) -> str:
    wall, length = (
        (life_wall(instrument), instrument.scale_length * UNITS_PER_MM)
        if (instrument.scale_length is not None)
        else (BARREL, UNKNOWN)
    )
    zero = TOP + _reach(needle) + HUB + OVER
    scale = Scale(Fraction(zero), length / instrument.capacity)
    edge, end = scale.y(volume), scale.y(instrument.capacity)
    return svg(
        ident,
        WIDTH,
        max(end + 48, edge + barrel.STOPPER + 12),
        group("liquid", rect("liquid-body", wall.left, zero, wall.width, edge - zero)),
        barrel.tip(instrument.tip == "luer", Fraction(zero), wall),
        drawn_needle(needle, wall.middle, Fraction(zero - OVER)),
        barrel.walls(wall, Fraction(zero), end),
        barrel.rod(edge + barrel.STOPPER, max(end + 40, edge + barrel.STOPPER + 4), wall),
        barrel.barrel_end(end, wall),
        barrel.stopper(edge, wall),
        *_numbered(instrument, scale, wall),
        css="scale-drawing",
    )


def _numbered(instrument: Instrument, scale: Scale, wall: Wall) -> tuple[str, str]:
    """The numbered marks alone: at this scale the others would run together. A number is left out where it finds no room."""
    found, numbers, last = [], [], Fraction(-100)
    for place in range(int(instrument.capacity / instrument.numbered) + 1):
        volume = place * instrument.numbered
        y = scale.y(volume)
        found.append(line("mark", wall.right - LONG * wall.width, y, wall.right, y, volume))
        if y - last >= 17:
            numbers.append(text("numeral", wall.right + 9, y + Fraction(11, 2), numeral(volume)))
            last = y
    return group("marks", *found), group("numerals", *numbers)
