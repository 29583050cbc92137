"""The step "draw a little past the mark, then trim": one barrel, two moments, numbered 1 and 2.

It belongs to that step alone. The number to read is the second one; the first has no frame, so that nobody stops there.
"""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.drawing import barrel
from drawndose.bench.drawing.figure import Figure, badge, group, line, ml, ml_about, path, rect, svg, text
from drawndose.bench.drawing.graduations import BARREL, CALLOUT, edge, scale_words
from drawndose.bench.drawing.syringe import WIDTH, window_parts, window_scale
from drawndose.reference import Instrument


def can_trim(instrument: Instrument, volume: Fraction) -> bool:
    """True when the barrel has a line beyond the mark to draw past to."""
    return instrument.shows(volume) and volume + instrument.step <= instrument.capacity


def trim(ident: str, instrument: Instrument, volume: Fraction, reading: str) -> Figure:
    """The two moments of one fill: 1, the edge on the next line past the mark; 2, on the mark, the rest pushed out.

    For the step in which the excess is pushed out. ValueError where the mark has no next line.
    """
    if not can_trim(instrument, volume):
        raise ValueError(f"{ml_about(volume)} on the {instrument.name} has no line to draw past to")
    past = volume + instrument.step
    return Figure(
        ident=ident,
        kind="trim",
        name=f"{instrument.name}: 1, past the mark to {ml(past)}; 2, trimmed to {ml(volume)}.",
        words=(
            f"1. Draw to the next line, {ml(past)}. The broken outline shows where the stopper then is.",
            f"2. Tip up, push the air and {ml(instrument.step)} out: {reading}.",
            f"The dose is read at 2, never at 1. {scale_words(instrument)}",
        ),
        rows=(
            ("Instrument", instrument.name),
            ("1, past the mark", ml(past)),
            ("2, trimmed to", ml(volume)),
            ("Pushed out", ml(instrument.step)),
        ),
        svg=_picture(ident, instrument, volume, past),
    )


def _picture(ident: str, instrument: Instrument, volume: Fraction, past: Fraction) -> str:
    scale = window_scale(instrument, volume)
    parts, bottom = window_parts(instrument, volume, scale)
    first, second = scale.y(past), scale.y(volume)
    arrow = path(
        "thin", "M", 133, first, "V", second + 3, "M", 129, second + 8, "L", 133, second + 2, "L", 137, second + 8
    )
    return svg(
        ident,
        WIDTH,
        max(bottom + 12, first + 44),
        *parts,
        barrel.former_stopper(first, BARREL),
        line("past", CALLOUT, first, BARREL.right, first, past),
        edge(scale, volume, BARREL),
        group("callout", rect("callout-box", 1, second - 54, CALLOUT - 1, 56, 4)),
        _moment(2, second - 38, volume, "trim to here"),
        _moment(1, first + 16, past, "a little past"),
        arrow,
        css="scale-drawing",
    )


def _moment(number: int, y: Fraction, volume: Fraction, says: str) -> str:
    """The number of the moment, its line, and what is done there."""
    told = text("moment-number", 32, y + 7, ml(volume)) + text(
        "callout-words", Fraction(CALLOUT, 2), y + 30, says, "middle"
    )
    return group("moment", badge(16, y, number), told)
