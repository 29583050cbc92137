"""A syringe as large as it is: for paper, with the rule that shows whether the printer kept the size.

The scale is as long as the data say, the bore follows from it: what the scale holds, divided by its length. No screen can
promise a size, so on the pages nothing is said to be life size.
"""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.drawing.figure import (
    PI,
    UNITS_PER_MM,
    Figure,
    Scale,
    group,
    line,
    ml,
    ml_about,
    root,
    svg,
    text,
)
from drawndose.bench.drawing.graduations import BARREL, Wall, reading, scale_rows, scale_words
from drawndose.bench.drawing.syringe import FOOT, HEAD, whole_barrel
from drawndose.quantities import show_number
from drawndose.reference import How, Instrument, Kind

WIDTH, UNRULED, RULE = 320, 270, 50
NOT_SCALED = ("If this is not 50 mm the page was scaled:", "do not compare with a real syringe.")


def bore_mm(instrument: Instrument) -> Fraction:
    """The inner diameter of a scale that holds its capacity along its length, mm. ValueError where the length is not known."""
    if instrument.scale_length is None:
        raise ValueError(f"how long the scale of the {instrument.name} is, is not known")
    return root(instrument.capacity * 1000 / instrument.scale_length / PI) * 2


def life_wall(instrument: Instrument) -> Wall:
    """The walls of a barrel in proportion to its scale, in units of a drawing of life size."""
    return Wall(BARREL.right - bore_mm(instrument) * UNITS_PER_MM, BARREL.right)


def life_size(ident: str, instrument: Instrument, volume: Fraction, where: str, *, ruled: bool = True) -> Figure:
    """The drawing of one fill in millimetres of paper. where: the engine's sentence on where to read.

    ruled: with the rule beneath it; without, the page that holds the drawing carries one for all of its drawings.

    ValueError for a volume without a line, for a scale whose length is not known, and for what is no syringe.
    """
    if instrument.kind is not Kind.SYRINGE or instrument.scale_length is None:
        raise ValueError(f"the {instrument.name} is no syringe with a scale of known length")
    if not instrument.shows(volume):
        raise ValueError(f"{ml_about(volume)} has no line on the {instrument.name}: nothing is drawn between lines")
    length = f"{show_number(instrument.scale_length)}\u00a0mm"
    return Figure(
        ident=ident,
        kind="life-size",
        name=f"{instrument.name}, life size on paper: fill to {ml(volume)}.",
        words=(
            f"{scale_words(instrument)} Set {where}.",
            f"The scale is {length} long{_origin_words(instrument)}. Yours may be longer: hold it beside the drawing.",
            " ".join(NOT_SCALED),
        ),
        rows=(*scale_rows(instrument, volume), ("Scale is long", length)),
        svg=_picture(ident, instrument, volume, ruled),
    )


def _origin_words(instrument: Instrument) -> str:
    """How surely the length is known, where it was not read in the source itself."""
    origin = instrument.scale_length_origin
    if origin is None or origin.how is How.READ:
        return ""
    return f" ({origin.how.value}: {origin.at})" if origin.at and origin.at != "-" else f" ({origin.how.value})"


def _picture(ident: str, instrument: Instrument, volume: Fraction, ruled: bool) -> str:
    assert instrument.scale_length is not None  # life_size has refused it
    wall = life_wall(instrument)
    scale = Scale(Fraction(HEAD), instrument.scale_length * UNITS_PER_MM / instrument.capacity)
    rule = max(scale.y(instrument.capacity) + FOOT, scale.y(volume) + 50) + 16
    return svg(
        ident,
        WIDTH if ruled else UNRULED,
        rule + (54 if ruled else -16),
        *whole_barrel(instrument, volume, scale, wall),
        reading(instrument, scale, volume, wall, "read here"),
        _rule(rule) if ruled else "",
        css="scale-drawing",
        life_size=True,
    )


def _rule(y: Fraction) -> str:
    """A rule of 50 mm with its centimetres, and the sentence that says what it is for."""
    left = 10
    ticks = [
        line("mark", left + place * UNITS_PER_MM, y, left + place * UNITS_PER_MM, y + (12 if place % 50 == 0 else 8))
        for place in range(0, RULE + 1, 10)
    ]
    words = [text("rule-words", left, y + 28 + 16 * at, says) for at, says in enumerate(NOT_SCALED)]
    name = text("numeral", left + RULE * UNITS_PER_MM + 8, y + 11, "50 mm")
    return group("rule", line("outline", left, y, left + RULE * UNITS_PER_MM, y), *ticks, name, *words)
