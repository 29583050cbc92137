"""What a paper is made of: headings, texts, pairs, tables, frames to cut out, pictures, lines to write on. Plain data for the page's source."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from drawndose.bench.drawing import Figure, alone

Part = dict[str, object]
Cell = str | list[str] | Part
"""A cell of a table: a text, several one below the other, or boxes to tick, or a place to write."""

Row = Sequence[Cell] | Sequence[str] | Sequence[str | list[str]]

UNIT_MM = 0.196
"""A unit of a drawing without a length of its own, as on a preparation sheet: its smallest words are then of 8 points."""
_SIDES = re.compile(r'width="([0-9.]+)(mm)?" height="([0-9.]+)')


@dataclass(frozen=True, slots=True)
class Column:
    """One column. name: its head. share: of the width that is left, 0 for as wide as its text. right: numbers stand right."""

    name: str
    share: float = 1.0
    right: bool = False


def heading(says: str, level: int = 1) -> Part:
    """A heading; it never stands alone at the foot of a page."""
    return {"kind": "heading", "says": says, "level": level}


def text(says: str, *, strong: bool = False, large: bool = False) -> Part:
    """A paragraph."""
    return {"kind": "text", "says": says, "strong": strong, "large": large}


def notice(says: str) -> Part:
    """A text in a frame: what must not be overlooked."""
    return {"kind": "notice", "says": says}


def pairs(rows: Iterable[tuple[str, str]], *, narrow: bool = False) -> Part:
    """A name and its text, row by row; rows without a text are left out. narrow: where they stand in half a page."""
    return {"kind": "pairs", "narrow": narrow, "rows": [[name, says] for name, says in rows if says]}


def table(columns: Sequence[Column], rows: Iterable[Row], none: str = "None.") -> Part:
    """A table whose head comes again on every page; none: what stands there where it has no row."""
    body = [[_cell(one) for one in row] for row in rows]
    if not body:
        return text(none)
    head = [{"name": one.name, "share": one.share, "right": one.right} for one in columns]
    return {"kind": "table", "columns": head, "rows": body}


def _cell(cell: Cell) -> Part:
    if isinstance(cell, dict):
        return cell
    return {"says": [cell] if isinstance(cell, str) else list(cell)}


def boxes(words: Iterable[str]) -> Part:
    """Boxes to tick, one for each word: in a cell or by themselves."""
    return {"kind": "boxes", "boxes": list(words)}


def to_write(count: int = 1) -> Part:
    """Lines to write on: in a cell or by themselves."""
    return {"kind": "lines", "lines": count}


def blanks(rows: Iterable[tuple[str, str]]) -> Part:
    """A name and a line to write on after it, with a unit or a word at its end, row by row."""
    return {"kind": "blanks", "rows": [[name, end] for name, end in rows]}


def framed(cells: Iterable[Sequence[Part]], *, columns: int, height_mm: float) -> Part:
    """Frames of one height to cut out, row by row. What does not fit into its frame is refused when it is printed."""
    return {"kind": "framed", "cells": [list(one) for one in cells], "columns": columns, "height": height_mm}


def picture(figure: Figure) -> Part:
    """A drawing with its words below it; the same rows stand in a table of their own, so nothing hangs on its shades."""
    svg = alone(figure)
    size = _SIDES.search(svg)
    assert size is not None  # every drawing that stands alone says its size
    each = 1.0 if size[2] else UNIT_MM
    sides = {"width": float(size[1]) * each, "height": float(size[3]) * each}
    return {"kind": "picture", "svg": svg, "name": figure.name, "words": " ".join(figure.words), **sides}


def together(parts: Iterable[Part]) -> Part:
    """Parts that stay on one page, unless they are so long that a page might not hold them."""
    inside = list(parts)
    return {"kind": "together", "whole": _length(inside) < MOST_TOGETHER, "parts": inside}


MOST_TOGETHER, LEAST_LINE = 3500, 40
"""Signs that stand on one page for certain, every line counted as 40 at least: two thirds of what a page of letter holds."""


def _length(value: object) -> int:
    """How many signs, however deep they stand."""
    if isinstance(value, str):
        return sum(max(LEAST_LINE, len(line)) for line in value.splitlines())
    if isinstance(value, dict):
        return sum(_length(one) for name, one in value.items() if name != "kind")
    return sum(map(_length, value)) if isinstance(value, list) else 0


def beside(*columns: Iterable[Part]) -> Part:
    """Columns of one width, side by side."""
    return {"kind": "beside", "parts": [list(one) for one in columns]}


def next_page() -> Part:
    """What follows begins a page."""
    return {"kind": "break"}
