"""A syringe to scale: upright, tip up, zero at the tip, read at the stopper edge nearest the tip.

Source: ISO 7886-1:1993, 3.2 (the volume is what leaves as the fiducial line of the piston passes the scale). Where the
marks would stand closer than 5 pixels, a small whole syringe shows where the window is, and the window shows the marks.
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
    silent_svg,
    svg,
    text,
    torn,
)
from drawndose.reference import Instrument

WIDTH, LEFT, RIGHT = 270, 146, 206
CALLOUT, GUTTER = 116, 122
USUAL, LONGEST, CLOSEST, WIDEST = 280, 300, 5, 20
LONG, MIDDLE, SHORT = 26, 20, 14
STOPPER = 30


def syringe(ident: str, instrument: Instrument, volume: Fraction, reading: str, *, part: str = "") -> Figure:
    """The drawing of one fill. `reading` is the engine's sentence on where to read; `part` says which fill this is."""
    if not instrument.shows(volume):
        raise ValueError(f"{volume} mL has no line on the {instrument.name}: nothing is drawn between lines")
    small = ""
    if Fraction(LONGEST) / (instrument.capacity / instrument.step) >= CLOSEST:
        picture = _whole(ident, instrument, volume)
    else:
        picture = _window(ident, instrument, volume)
        small = _overview(instrument, volume)
    return Figure(
        ident=ident,
        kind="syringe",
        name=f"{part}{instrument.name}: fill to {ml(volume)}.",
        words=(_scale_words(instrument), f"Set {reading}.", _error_words(instrument, volume)),
        rows=_rows(instrument, volume),
        svg=picture,
        small=small,
    )


def _scale_words(instrument: Instrument) -> str:
    return f"Marks every {ml(instrument.step)}, numbers every {ml(instrument.numbered)}."


def _error_words(instrument: Instrument, volume: Fraction) -> str:
    error = instrument.permissible_error(volume)
    told = f"A syringe of this kind may be off by up to {ml_about(error)} either way"
    if _band(instrument, volume):
        return f"{told}: the bracket. It is no room for the hand; set the edge on the line."
    return f"{told}, less than one mark shows."


def _rows(instrument: Instrument, volume: Fraction) -> tuple[tuple[str, str], ...]:
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


def _band(instrument: Instrument, volume: Fraction) -> bool:
    """The permissible error is drawn only when the bracket spans at least one step; otherwise words say it."""
    return instrument.permissible_error(volume) * 2 >= instrument.step


def marks(instrument: Instrument, scale: Scale, low: Fraction, high: Fraction, every: Fraction) -> str:
    """The marks from low to high: long with a number, middle at half way where a mark stands there, short else."""
    found = []
    half = instrument.numbered / 2
    place = -(-low // every) * every
    while place <= high:
        length = SHORT
        if place % instrument.numbered == 0:
            length = LONG
        elif half % instrument.step == 0 and place % half == 0:
            length = MIDDLE
        found.append(line("mark", RIGHT - length, scale.y(place), RIGHT, scale.y(place), place))
        place += every
    return group("marks", *found)


def numerals(instrument: Instrument, scale: Scale, low: Fraction, high: Fraction, x: int = RIGHT + 9) -> str:
    """The numbers of the scale, on one side, level with their marks."""
    found = []
    place = -(-low // instrument.numbered) * instrument.numbered
    while place <= high:
        found.append(text("numeral", x, scale.y(place) + Fraction(11, 2), numeral(place)))
        place += instrument.numbered
    return group("numerals", *found)


def _reading(instrument: Instrument, scale: Scale, volume: Fraction) -> str:
    """Bracket, line with its halo, and the framed number, painted last."""
    y, parts = scale.y(volume), []
    if _band(instrument, volume):
        error = instrument.permissible_error(volume)
        top, bottom = scale.y(max(volume - error, Fraction(0))), scale.y(volume + error)
        tint = rect("band-tint", GUTTER, top, 12, bottom - top)
        edge = path("band-edge", "M", GUTTER + 12, top, "H", GUTTER, "V", bottom, "H", GUTTER + 12)
        parts.append(group("band", tint, edge))
    parts.append(line("halo", CALLOUT, y, RIGHT, y))
    parts.append(line("edge", CALLOUT, y, RIGHT, y, volume))
    parts.append(callout(y, CALLOUT, volume, "read here"))
    return "".join(parts)


def _stopper(y: Fraction) -> str:
    dome = path("dome", "M", LEFT + 3, y, "Q", Fraction(LEFT + RIGHT, 2), y - 14, RIGHT - 3, y)
    ribs = [rect("rib", x, y + top, 4, 7) for x in (LEFT, RIGHT - 4) for top in (6, 17)]
    return group("stopper", rect("stopper-body", LEFT + 1, y, RIGHT - LEFT - 2, STOPPER), dome, *ribs)


def _tip(instrument: Instrument, y: Fraction) -> str:
    """The end of the barrel with its tip; a luer lock has a collar. Its dead space is outline only."""
    middle = Fraction(LEFT + RIGHT, 2)
    nozzle = path("outline", "M", middle - 6, y - 8, "L", middle - 4, y - 40, "H", middle + 4, "L", middle + 6, y - 8)
    shoulder = path("outline", "M", LEFT, y, "Q", LEFT, y - 8, middle - 14, y - 8, "H", middle + 14)
    shoulder += path("outline", "M", middle + 14, y - 8, "Q", RIGHT, y - 8, RIGHT, y)
    if instrument.tip != "luer":
        return group("tip", nozzle, shoulder)
    collar = path("outline", "M", middle - 12, y - 8, "V", y - 26, "M", middle + 12, y - 8, "V", y - 26)
    return group("tip", nozzle, shoulder, collar)


def _barrel_end(y: Fraction) -> str:
    flange = rect("flange", LEFT - 18, y + 12, RIGHT - LEFT + 36, 8, 3)
    walls = line("outline", LEFT, y, LEFT, y + 12) + line("outline", RIGHT, y, RIGHT, y + 12)
    return group("barrel-end", walls, flange)


def _rod(top: Fraction, bottom: Fraction, *, torn_off: bool = True) -> str:
    """The plunger rod, torn off below the barrel; in a window the barrel's own torn edge ends it."""
    if bottom <= top:
        return ""
    left, right = LEFT + 18, RIGHT - 18
    walls = line("thin", left, top, left, bottom) + line("thin", right, top, right, bottom)
    return group("rod", walls, torn("thin", left, right, bottom, 3) if torn_off else "")


def _whole(ident: str, instrument: Instrument, volume: Fraction) -> str:
    capacity = instrument.capacity
    length = max(Fraction(USUAL), CLOSEST * capacity / instrument.step)
    scale = Scale(Fraction(54), length / capacity)
    zero, edge, end = scale.y(Fraction(0)), scale.y(volume), scale.y(capacity)
    return svg(
        ident,
        WIDTH,
        end + 48,
        group("liquid", rect("liquid-body", LEFT, zero, RIGHT - LEFT, edge - zero)),
        _tip(instrument, zero),
        group("barrel", line("outline", LEFT, zero, LEFT, end), line("outline", RIGHT, zero, RIGHT, end)),
        _rod(edge + STOPPER, max(end + 40, edge + STOPPER + 4)),
        _barrel_end(end),
        _stopper(edge),
        marks(instrument, scale, Fraction(0), capacity, instrument.step),
        numerals(instrument, scale, Fraction(0), capacity),
        _reading(instrument, scale, volume),
        css="scale-drawing",
    )


def window_of(instrument: Instrument, volume: Fraction) -> tuple[Fraction, Fraction]:
    """From which volume to which the window shows: a numbered mark on each side of the target, and two steps more."""
    numbered, step = instrument.numbered, instrument.step
    below = (-(-volume // numbered) - 1) * numbered
    above = (volume // numbered + 1) * numbered
    return max(below - 2 * step, Fraction(0)), min(above + 2 * step, instrument.capacity)


def _window(ident: str, instrument: Instrument, volume: Fraction) -> str:
    low, high = window_of(instrument, volume)
    pitch = min(Fraction(WIDEST), Fraction(USUAL) / ((high - low) / instrument.step))
    top = Fraction(54 if low == 0 else 40)
    scale = Scale(top - low * pitch / instrument.step, pitch / instrument.step)
    start, edge, end = scale.y(low), scale.y(volume), scale.y(high)
    # The liquid and the walls run on to the torn edge; at either end of the scale the instrument really ends.
    head = start if low == 0 else start - 24
    foot = end if high == instrument.capacity else end + 24
    bottom = max(foot, edge + STOPPER) + (40 if high == instrument.capacity else 0)
    rod = _rod(edge + STOPPER, bottom if high == instrument.capacity else foot, torn_off=high == instrument.capacity)
    ends = [_tip(instrument, head) if low == 0 else torn("outline", LEFT, RIGHT, head)]
    ends.append(_barrel_end(end) if high == instrument.capacity else torn("outline", LEFT, RIGHT, foot))
    lowest = scale.y(volume + instrument.permissible_error(volume)) if _band(instrument, volume) else edge
    return svg(
        ident,
        WIDTH,
        max(bottom + 12, lowest + 4),
        group(
            "liquid",
            rect("liquid-body", LEFT, head + 6 if low else head, RIGHT - LEFT, edge - head - (6 if low else 0)),
        ),
        group("barrel", line("outline", LEFT, head, LEFT, foot), line("outline", RIGHT, head, RIGHT, foot)),
        rod,
        _stopper(edge),
        *ends,
        marks(instrument, scale, low, high, instrument.step),
        numerals(instrument, scale, low, high),
        _reading(instrument, scale, volume),
        css="scale-drawing",
    )


def _overview(instrument: Instrument, volume: Fraction) -> str:
    """The whole syringe, small: its numbered marks, and a frame where the window is."""
    scale = Scale(Fraction(54), Fraction(190) / instrument.capacity)
    left, right = 14, 40
    low, high = window_of(instrument, volume)
    zero, edge, end = scale.y(Fraction(0)), scale.y(volume), scale.y(instrument.capacity)
    found = [rect("liquid-body", left, zero, right - left, edge - zero)]
    found.append(path("outline", "M", left, end + 8, "V", zero, "L", 24, zero - 8, "V", zero - 30, "H", 30))
    found.append(path("outline", "M", 30, zero - 30, "V", zero - 8, "L", right, zero, "V", end + 8))
    found.append(rect("flange", 4, end + 8, 46, 6, 2))
    found.append(rect("stopper-body", left + 1, edge, right - left - 2, 12))
    found.append(line("thin", 27, edge + 12, 27, end + 44) + line("thin", 18, end + 44, 36, end + 44))
    place = Fraction(0)
    while place <= instrument.capacity:
        found.append(line("mark", right - 10, scale.y(place), right, scale.y(place), place))
        if place in {0, instrument.capacity / 2, instrument.capacity}:
            found.append(text("numeral", right + 10, scale.y(place) + Fraction(11, 2), numeral(place)))
        place += instrument.numbered
    found.append(rect("window-frame", 8, scale.y(low), 38, scale.y(high) - scale.y(low)))
    found.append(line("edge", 6, edge, right, edge, volume))
    return silent_svg(80, end + 52, *found, css="overview")


__all__ = ["marks", "numerals", "syringe", "window_of"]
