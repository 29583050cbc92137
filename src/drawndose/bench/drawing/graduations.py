"""The graduations of a linear scale: marks, numbers, the reading line with its bracket, and the window on them.

A barrel and a cylinder share them. Marks have three lengths at most, as on real barrels, and one thickness; where they
would stand closer than 5 pixels, a window shows those around the target.
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from drawndose.bench.drawing.figure import Scale, callout, group, line, ml, ml_about, numeral, path, rect, text
from drawndose.reference import Instrument

USUAL, LONGEST, CLOSEST, WIDEST = 280, 300, 5, 20
CALLOUT, GUTTER = 116, 122
LONG, MIDDLE, SHORT = Fraction(13, 30), Fraction(1, 3), Fraction(7, 30)


class Wall(NamedTuple):
    """Where the two walls stand, pixels. A mark's length is a share of the room between them."""

    left: Fraction
    right: Fraction

    @property
    def width(self) -> Fraction:
        """The room between the walls."""
        return self.right - self.left

    @property
    def middle(self) -> Fraction:
        """Half way between the walls."""
        return (self.left + self.right) / 2


BARREL = Wall(Fraction(146), Fraction(206))


def crowded(instrument: Instrument) -> bool:
    """True when the marks of the whole scale would stand too close to be counted."""
    return LONGEST / (instrument.capacity / instrument.step) < CLOSEST


def window_of(instrument: Instrument, volume: Fraction) -> tuple[Fraction, Fraction]:
    """From which volume to which the window shows: a numbered mark on each side of the target, and two steps more."""
    numbered, step = instrument.numbered, instrument.step
    below = (-(-volume // numbered) - 1) * numbered
    above = (volume // numbered + 1) * numbered
    return max(below - 2 * step, Fraction(0)), min(above + 2 * step, instrument.capacity)


def pitch_of(instrument: Instrument, low: Fraction, high: Fraction) -> Fraction:
    """How far apart the marks of a window stand, pixels."""
    return min(Fraction(WIDEST), USUAL / ((high - low) / instrument.step))


def marks(instrument: Instrument, scale: Scale, low: Fraction, high: Fraction, wall: Wall) -> str:
    """The marks from low to high: long with a number, middle at half way where a mark stands there, short else."""
    found = []
    half = instrument.numbered / 2
    place = -(-low // instrument.step) * instrument.step
    while place <= high:
        share = SHORT
        if place % instrument.numbered == 0:
            share = LONG
        elif half % instrument.step == 0 and place % half == 0:
            share = MIDDLE
        y = scale.y(place)
        found.append(line("mark", wall.right - share * wall.width, y, wall.right, y, place))
        place += instrument.step
    return group("marks", *found)


def numerals(instrument: Instrument, scale: Scale, low: Fraction, high: Fraction, wall: Wall) -> str:
    """The numbers of the scale, on one side, level with their marks."""
    found = []
    place = -(-low // instrument.numbered) * instrument.numbered
    while place <= high:
        found.append(text("numeral", wall.right + 9, scale.y(place) + Fraction(11, 2), numeral(place)))
        place += instrument.numbered
    return group("numerals", *found)


def banded(instrument: Instrument, volume: Fraction) -> bool:
    """The permissible error is drawn only when the bracket spans at least one step; otherwise words say it."""
    return instrument.permissible_error(volume) * 2 >= instrument.step


def band(instrument: Instrument, scale: Scale, volume: Fraction, gutter: int = GUTTER) -> str:
    """The permissible error as a bracket in the gutter."""
    error = instrument.permissible_error(volume)
    top, bottom = sorted((scale.y(max(volume - error, Fraction(0))), scale.y(volume + error)))
    tint = rect("band-tint", gutter, top, 12, bottom - top)
    return group("band", tint, path("band-edge", "M", gutter + 12, top, "H", gutter, "V", bottom, "H", gutter + 12))


def edge(scale: Scale, volume: Fraction, wall: Wall) -> str:
    """The reading line with its halo, from the callout's side to the far wall: never through the numbers."""
    y = scale.y(volume)
    return line("halo", CALLOUT, y, wall.right, y) + line("edge", CALLOUT, y, wall.right, y, volume)


def reading(instrument: Instrument, scale: Scale, volume: Fraction, wall: Wall, says: str) -> str:
    """Bracket, line with its halo, and the framed number, painted last."""
    bracket = band(instrument, scale, volume) if banded(instrument, volume) else ""
    return bracket + edge(scale, volume, wall) + callout(scale.y(volume), CALLOUT, volume, says)


def scale_words(instrument: Instrument) -> str:
    """What a mark and a number are worth."""
    return f"Marks every {ml(instrument.step)}, numbers every {ml(instrument.numbered)}."


def scale_rows(instrument: Instrument, volume: Fraction) -> tuple[tuple[str, str], ...]:
    """The table beside a drawing: the instrument, one mark, where it is read, and how far off it may be."""
    past = volume % instrument.numbered
    number = volume - past
    where = f"{int(past / instrument.step)} past {numeral(number)}" if past else f"on the number {numeral(number)}"
    return (
        ("Instrument", instrument.name),
        ("One mark", ml(instrument.step)),
        ("Read at", ml(volume)),
        ("Marks", where),
        ("May be off by", f"{ml_about(instrument.permissible_error(volume))} either way"),
    )
