"""Plain charts as SVG for the skills lab: an axis through 0, cells with a bar, a line between limits, signs in a grid.

In the manner of the aerosol charts, and with the drawings' own classes, so that day, night and paper need nothing more. What a sign
means is told by its shape and in words; positions come out of floats and nothing is measured off them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import ceil, floor

from drawndose.bench.drawing.figure import circle, group, line, path, rect, svg, text
from drawndose.science.aerosol.charts import LEFT, RIGHT, ROW, WIDTH, at, axis_of

AXIS, HEAD, DEEP, FOOT = 30, 26, 210, 44
CELL_ROW, CELL = 54, 32
NAMES, GRID_ROW = 158, 30
LETTERS, LINE_LETTERS = 17, 43
"""So many letters have room beside the grid, and on a line of its own; the table beside a picture has all."""


def short(words: str, most: int) -> str:
    """Cut to so many letters, with a sign that it is cut.

    >>> short("hands cleaned", 20), short("hands cleaned", 8)
    ('hands cleaned', 'hands c…')
    """
    return words if len(words) <= most else f"{words[: most - 1]}…"


@dataclass(frozen=True, slots=True)
class Axis:
    """From low to high in steps; 0 is on a step."""

    low: float
    high: float
    step: float

    def x(self, value: float) -> Fraction:
        """Where a value lies; what lies beyond an end lies on it."""
        inside = min(max(value, self.low), self.high)
        return at(LEFT + (RIGHT - LEFT) * (inside - self.low) / (self.high - self.low))

    def ticks(self) -> tuple[float, ...]:
        """The values of the steps, from low to high."""
        first = round(self.low / self.step)
        return tuple(
            round((first + place) * self.step, 10) for place in range(round((self.high - self.low) / self.step) + 1)
        )


def axis_through(least: float, most: float) -> Axis:
    """An axis that holds both ends and 0.

    >>> axis_through(-0.7, 1.6), axis_through(2.0, 8.0)
    (Axis(low=-1.0, high=2.0, step=0.5), Axis(low=0.0, high=8.0, step=2.0))
    """
    low, high = min(least, 0.0), max(most, 0.0)
    step = axis_of(max(high - low, 1e-6))[1]
    return Axis(round(floor(low / step + 1e-9) * step, 10), round(ceil(high / step - 1e-9) * step, 10), step)


@dataclass(frozen=True, slots=True, kw_only=True)
class Along:
    """One row along an axis. band: a tolerance with its edges; spread: an interval; point: what was found. Each may be missing."""

    label: str
    band: tuple[float, float] | None = None
    spread: tuple[float, float] | None = None
    point: float | None = None


def along_chart(ident: str, rows: Sequence[Along], axis: Axis, unit: str) -> str:
    """Rows under one another on one axis, with an upright line at 0. What lies beyond the axis is an arrow at its end."""
    foot = ROW * len(rows)
    parts = []
    for place, row in enumerate(rows):
        y = ROW * place
        drawn = [
            text("note-words", LEFT, y + 16, short(row.label, LINE_LETTERS)),
            line("guide", axis.x(0.0), y + 21, axis.x(0.0), y + 43),
        ]
        if row.band is not None:
            left, right = (axis.x(end) for end in row.band)
            drawn += [rect("band-tint", left, y + 23, right - left, 18), *_bracket(left, right, y)]
        if row.spread is not None:
            left, right = (axis.x(end) for end in row.spread)
            drawn += [line("outline", left, y + 32, right, y + 32), line("mark", left, y + 28, left, y + 36)]
            drawn.append(line("mark", right, y + 28, right, y + 36))
        if row.point is not None:
            drawn.append(_point(row.point, axis, y + 32))
        parts.append(group("along-row", *drawn))
    return svg(ident, WIDTH, foot + AXIS, *parts, _axis(axis, foot, unit), css="chart")


def _bracket(left: Fraction, right: Fraction, y: int) -> list[str]:
    return [
        path("band-edge", "M", left + 4, y + 23, "H", left, "V", y + 41, "H", left + 4),
        path("band-edge", "M", right - 4, y + 23, "H", right, "V", y + 41, "H", right - 4),
    ]


def _point(value: float, axis: Axis, y: int) -> str:
    if axis.low <= value <= axis.high:
        return circle("dot", axis.x(value), y, 5)
    side = 1 if value > axis.high else -1
    tip = axis.x(value)
    return path("edge beyond", "M", tip - 12 * side, y - 7, "L", tip, y, "L", tip - 12 * side, y + 7)


def _axis(axis: Axis, y: int, unit: str) -> str:
    parts = [line("mark", LEFT, y, RIGHT, y)]
    ticks = axis.ticks()
    for place, value in enumerate(ticks):
        anchor = "start" if not place else "end" if place == len(ticks) - 1 else "middle"
        words = f"{value:g} {unit}".strip() if place == len(ticks) - 1 else f"{value:g}"
        parts.append(line("mark", axis.x(value), y, axis.x(value), y + 5))
        if place != len(ticks) - 2 or len(ticks) < 6:
            parts.append(text("note-words", axis.x(value), y + 21, words.replace("-", "−"), anchor))
    return group("axis", *parts)


def cells_chart(
    ident: str, heads: Sequence[str], rows: Sequence[tuple[str, Sequence[tuple[str, float | None]]]]
) -> str:
    """A grid: over each row its words, in each cell a text over a bar from its left edge, as wide as its share; None: a broken box."""
    wide = Fraction(RIGHT - LEFT, len(heads))
    parts = [
        group("heads", *(text("note-words", LEFT + wide * place + 6, 16, head) for place, head in enumerate(heads)))
    ]
    for number, (label, cells) in enumerate(rows):
        y = HEAD + CELL_ROW * number
        drawn = [text("note-words", LEFT, y + 14, short(label, LINE_LETTERS))]
        for place, (words, share) in enumerate(cells):
            x = LEFT + wide * place
            css = "outline" if share is not None else "past"
            drawn.append(path(css, "M", x, y + 19, "H", x + wide, "V", y + 19 + CELL, "H", x, "Z"))
            drawn.append(text("note-words", x + 6, y + 34, words))
            if share:
                end = x + at(float(wide) * share)
                drawn.append(rect("liquid-body", x, y + 39, end - x, 11))
                drawn.append(path("edge", "M", x, y + 45, "H", end))
        parts.append(group("cells-row", *drawn))
    return svg(ident, WIDTH, HEAD + CELL_ROW * len(rows) + 2, *parts, css="chart")


def steps_chart(ident: str, values: Sequence[float], well: Sequence[bool], limits: Sequence[tuple[float, str]]) -> str:
    """A line over tries, from 0: an open ring where a try succeeded, a filled dot where it failed; limits as broken lines with words."""
    axis = axis_through(
        min([*values, *(height for height, _ in limits)]), max([*values, *(height for height, _ in limits)])
    )
    far = max(len(values), 2)

    def x(number: int) -> Fraction:
        return at(FOOT + (RIGHT - FOOT) * number / far)

    def y(value: float) -> Fraction:
        return at(HEAD + DEEP * (axis.high - value) / (axis.high - axis.low))

    points: list[str | Fraction] = ["M", x(0), y(0.0)]
    for number, value in enumerate(values, start=1):
        points += ["L", x(number), y(value)]
    signs = [
        circle("badge" if good else "dot", x(number), y(value), 4)
        for number, (value, good) in enumerate(zip(values, well, strict=True), start=1)
    ]
    across = [line("guide", FOOT, y(height), RIGHT, y(height)) for height, _ in limits]
    words = [text("note-words", FOOT + 6, y(height) - 6, says) for height, says in limits]
    up = [text("note-words", FOOT - 6, y(value) + 5, f"{value:g}".replace("-", "−"), "end") for value in axis.ticks()]
    foot = HEAD + DEEP
    every = max(1, ceil(far / 8))
    along = [text("note-words", x(number), foot + 21, str(number), "middle") for number in range(every, far + 1, every)]
    frame = path("mark", "M", FOOT, HEAD, "V", foot, "H", RIGHT)
    zero = line("thin", FOOT, y(0.0), RIGHT, y(0.0))
    drawn = (frame, zero, group("limits", *across), path("edge", *points), group("signs", *signs))
    return svg(
        ident,
        WIDTH,
        foot + 46,
        *drawn,
        group("words", *words, *up, *along),
        text("note-words", RIGHT, foot + 40, "try", "end"),
        css="chart",
    )


class Sign(Enum):
    """What a cell of the board can hold: a shape, and its words."""

    PASSED = "signed off, in force"
    DUE = "signed off, due again soon"
    OVER = "signed off once, over"
    UNSIGNED = "passed, not signed off"
    UNDER_WAY = "under way"
    FAILED = "not passed, no try left"
    NOT_BEGUN = "not begun"


def board_chart(ident: str, skills: int, rows: Sequence[tuple[str, Sequence[Sign]]]) -> str:
    """People down, skills across by number, a sign in each cell; what the signs mean stands under them."""
    wide = Fraction(RIGHT - NAMES, skills)
    heads = [
        text("container-number", NAMES + wide * place + wide / 2, 18, str(place + 1), "middle")
        for place in range(skills)
    ]
    parts = [group("heads", *heads)]
    for number, (name, signs) in enumerate(rows):
        y = HEAD + GRID_ROW * number
        drawn = [line("thin", LEFT, y, RIGHT, y), text("note-words", LEFT, y + 20, short(name, LETTERS))]
        drawn += [_sign(sign, NAMES + wide * place + wide / 2, y + 15) for place, sign in enumerate(signs)]
        parts.append(group("board-row", *drawn))
    foot = HEAD + GRID_ROW * len(rows)
    parts.append(line("thin", LEFT, foot, RIGHT, foot))
    for place, sign in enumerate(Sign):
        y = foot + 22 + 24 * place
        parts.append(
            group("key", _sign(sign, Fraction(LEFT + 10), y), text("note-words", LEFT + 28, y + 5, sign.value))
        )
    return svg(ident, WIDTH, foot + 24 * len(Sign) + 16, *parts, css="chart")


def _sign(sign: Sign, x: Fraction, y: int) -> str:
    tick = path("edge", "M", x - 7, y, "L", x - 2, y + 6, "L", x + 8, y - 7)
    if sign is Sign.PASSED:
        return tick
    if sign is Sign.DUE:
        return group("due", path("past", "M", x - 11, y - 11, "H", x + 11, "V", y + 11, "H", x - 11, "Z"), tick)
    if sign is Sign.OVER:
        return group("over", tick, line("outline", x - 11, y, x + 11, y))
    if sign is Sign.UNSIGNED:
        return group(
            "unsigned", circle("badge", x, y, 11), path("mark", "M", x - 5, y, "L", x - 1, y + 4, "L", x + 6, y - 5)
        )
    if sign is Sign.FAILED:
        return path("outline", "M", x - 7, y - 7, "L", x + 7, y + 7, "M", x + 7, y - 7, "L", x - 7, y + 7)
    if sign is Sign.UNDER_WAY:
        half = path("outline filter", "M", x, y - 7, "A", 7, 7, "0 0 0", x, y + 7, "Z")
        return group("half", circle("badge", x, y, 7), half)
    return line("mark", x - 5, y, x + 5, y)
