"""Plain charts as SVG: bands along one axis, bars, a bar in parts, a band over time. Each stands alone without colour.

A label stands over its bar, so that a chart is readable on a narrow screen; what a mark means is told by its shape and in words.
Positions come out of floats and are written with two decimals; nothing in a chart is measured off it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, log10
from typing import Final

from drawndose.bench.drawing.figure import circle, group, line, path, rect, svg, text

WIDTH: Final = 360
LEFT, RIGHT = 10, 340
ROW, AXIS = 48, 30
HEAD, DEEP, MARGIN = 24, 180, 44
NUMBER: Final = 14
CROWDED: Final = 62
"""Closer than this the last number, which carries the unit, would touch the one before it, which is then left out."""
LEAST: Final = 0.5
"""What is there and too small to be seen is drawn this wide."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of a chart of bands, in the unit of the axis. mark: the middle; points: published values; bar: where one ends."""

    label: str
    low: float
    high: float
    mark: float | None = None
    spread: tuple[float, float] | None = None
    point: float | None = None


def at(value: float) -> Fraction:
    """A float as a position."""
    return Fraction(round(value * 100), 100)


def axis_of(most: float) -> tuple[float, float]:
    """The end of an axis and its step: about five steps, each 1, 2 or 5 of a power of ten.

    >>> axis_of(8.7), axis_of(0.43), axis_of(100.0)
    ((10.0, 2.0), (0.5, 0.1), (100.0, 20.0))
    """
    rough = most / 5.0
    power = 10.0 ** floor(log10(rough))
    step = next(one * power for one in (1.0, 2.0, 5.0, 10.0) if one * power >= rough * (1 - 1e-9))
    return round(ceil(most / step - 1e-9) * step, 10), round(step, 10)


def bands_chart(ident: str, rows: Sequence[Row], unit: str, most: float | None = None) -> str:
    """Bands under one another on one axis from 0."""
    ends = (
        [row.high for row in rows] + [row.spread[1] for row in rows if row.spread] + [row.point or 0.0 for row in rows]
    )
    end, step = axis_of(most or max(max(ends), 1e-9))
    height = ROW * len(rows) + AXIS
    parts = [_axis(end, step, height - AXIS, unit)]
    for place, row in enumerate(rows):
        parts += [_grid(end, step, place * ROW + 21, place * ROW + 40), _band(row, place * ROW, end)]
    return svg(ident, WIDTH, height, *parts, css="chart")


def _x(value: float, end: float, left: int = LEFT) -> Fraction:
    return at(left + (RIGHT - left) * value / end)


def _grid(end: float, step: float, top: int, foot: int, left: int = LEFT) -> str:
    """Thin upright lines, where no words stand."""
    steps = range(round(end / step) + 1)
    return group("grid", *(line("guide", x, top, x, foot) for x in (_x(place * step, end, left) for place in steps)))


def _axis(end: float, step: float, y: int, unit: str, left: int = LEFT) -> str:
    """The axis with its numbers; the last one carries the unit."""
    parts = [line("mark", left, y, RIGHT, y)]
    last = round(end / step)
    for place in range(last + 1):
        x, anchor = _x(place * step, end, left), "start" if not place else "end" if place == last else "middle"
        words = f"{place * step:g} {unit}".strip() if place == last else f"{place * step:g}"
        parts.append(line("mark", x, y, x, y + 5))
        if place != last - 1 or (RIGHT - left) / last >= CROWDED:
            parts.append(text("note-words", x, y + 21, words, anchor))
    return group("axis", *parts)


def _band(row: Row, y: int, end: float) -> str:
    left, right = _x(row.low, end), max(_x(row.high, end), _x(row.low, end) + at(LEAST))
    parts = [
        text("note-words", LEFT, y + 16, row.label),
        rect("liquid-body", left, y + 22, right - left, 16),
        path("outline", "M", left, y + 22, "H", right, "V", y + 38, "H", left, "Z"),
    ]
    if row.mark is not None:
        parts.append(line("edge", _x(row.mark, end), y + 20, _x(row.mark, end), y + 40))
    if row.spread is not None:
        parts.append(line("outline", _x(row.spread[0], end), y + 30, _x(row.spread[1], end), y + 30))
    if row.point is not None:
        parts.append(circle("dot", _x(row.point, end), y + 30, 5))
    return group("band-row", *parts)


def bars_chart(ident: str, bars: Sequence[tuple[str, float]]) -> str:
    """Bars under one another, each a share of 1, with its label over it."""
    parts = []
    for place, (label, share) in enumerate(bars):
        y, right = place * ROW, max(_x(share, 1.0), LEFT + at(LEAST))
        shape = path("outline", "M", LEFT, y + 22, "H", right, "V", y + 38, "H", LEFT, "Z")
        parts.append(
            group(
                "bar-row",
                text("note-words", LEFT, y + 16, label),
                rect("liquid-body", LEFT, y + 22, right - LEFT, 16),
                shape,
            )
        )
    return svg(ident, WIDTH, ROW * len(bars), *parts, css="chart")


def parts_chart(ident: str, parts: Sequence[tuple[str, float]]) -> str:
    """One bar in parts that add to 1, each with its number above, and the numbers' words under it."""
    drawn, listed, so_far, least = [], [], 0.0, Fraction(LEFT)
    for place, (label, share) in enumerate(parts):
        left, right = _x(so_far, 1.0), _x(so_far + share, 1.0)
        so_far += share
        middle = max((left + right) / 2, least)
        least = middle + NUMBER
        css = "liquid-body" if place % 2 == 0 else "flange"
        drawn.append(rect(css, left, 26, right - left, 40))
        drawn.append(path("outline", "M", left, 26, "H", right, "V", 66, "H", left, "Z"))
        drawn.append(text("container-number", middle, 18, str(place + 1), "middle"))
        listed.append(text("note-words", LEFT, 90 + 20 * place, f"{place + 1}  {label}"))
    return svg(ident, WIDTH, 80 + 20 * len(parts), group("parts", *drawn), group("parts-words", *listed), css="chart")


def time_chart(
    ident: str,
    minutes: Sequence[float],
    low: Sequence[float],
    middle: Sequence[float],
    high: Sequence[float],
    unit: str,
) -> str:
    """A band over time, its middle as a line; the upright axis begins at 1."""
    end, step = axis_of(minutes[-1])
    top, up = axis_of(max(max(high) - 1.0, 0.1))

    def y(value: float) -> Fraction:
        return at(HEAD + DEEP * (1.0 - (value - 1.0) / top))

    def points(values: Sequence[float], times: Sequence[float]) -> list[str | Fraction]:
        several = zip(times, values, strict=True)
        return [one for x, value in several for one in ("L", _x(x, end, MARGIN), y(value))][1:]

    around = [*points(high, minutes), "L", *points(low[::-1], minutes[::-1])]
    levels = [1.0 + place * up for place in range(round(top / up) + 1)]
    across = (line("guide", MARGIN, y(one), RIGHT, y(one)) for one in levels)
    words = (text("note-words", MARGIN - 6, y(one) + 5, f"{one:g}", "end") for one in levels)
    foot = HEAD + DEEP
    return svg(
        ident,
        WIDTH,
        foot + AXIS,
        path("liquid-body", "M", *around, "Z"),
        group("across", *across),
        path("outline", "M", *around, "Z"),
        path("edge", "M", *points(middle, minutes)),
        group("up", text("note-words", LEFT, 14, unit), *words),
        _axis(end, step, foot, "min", MARGIN),
        css="chart",
    )
