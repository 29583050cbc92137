"""Sizes of labels, sheets of paper, and grids of labels on a sheet: settings of a department, in millimetres and points.

The shipped sizes and grids are from memory, as stationers sell them: a department measures its own stock and sets it.
Sources of the least type: house rule (12 points for the dose, 8 points for everything else).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from drawndose.quantities import Fault, Refused, gather

LEAST_LARGE, LEAST_TEXT = 12.0, 8.0  # points; nothing on a label is ever smaller
SIDES = (15.0, 300.0)
_SIDES = re.compile(r"(?P<width>\d{1,3}(?:\.\d{1,2})?) ?x ?(?P<height>\d{1,3}(?:\.\d{1,2})?) ?mm", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """One size of label: its sides as it leaves the printer and the edge left free, mm; its two sizes of type, points.

    The text runs along the longer side. Refused for a side out of SIDES, a margin that leaves no room, or type below the least.
    """

    width: float
    height: float
    margin: float = 1.0
    large: float = LEAST_LARGE
    text: float = LEAST_TEXT

    def __post_init__(self) -> None:
        least, most = SIDES
        accepted = f"{least:g} to {most:g} mm"
        faults = [
            Fault(field=name, rule="a side of a label", came=f"{side:g} mm", accepted=accepted)
            for name, side in (("width", self.width), ("height", self.height))
            if not least <= side <= most
        ]
        if not 0 <= self.margin <= least / 3:
            came = f"{self.margin:g} mm"
            faults.append(
                Fault(field="margin", rule="a margin of a label", came=came, accepted=f"0 to {least / 3:g} mm")
            )
        for name, points, at_least in (("large", self.large, LEAST_LARGE), ("text", self.text, LEAST_TEXT)):
            if not at_least <= points <= 72:
                rule, came = "type that can be read at arm's length", f"{points:g} pt"
                faults.append(Fault(field=name, rule=rule, came=came, accepted=f"{at_least:g} to 72 pt"))
        gather(faults)

    @property
    def turned(self) -> bool:
        """True where the longer side is the height: the text then runs from the top to the bottom."""
        return self.height > self.width

    @property
    def says(self) -> str:
        """57 x 32 mm."""
        return f"{self.width:g} x {self.height:g} mm"


def read_size(text: str, field: str = "label size") -> Size:
    """A size that a department typed, in the least type. Refused for anything but two sides in mm.

    >>> read_size("57 x 32 mm").says, read_size("25x67 mm").turned
    ('57 x 32 mm', True)
    """
    found = _SIDES.fullmatch(text.strip())
    if found is None:
        raise Refused([Fault(field=field, rule="two sides, width first", came=text, accepted="57 x 32 mm")])
    return Size(width=float(found["width"]), height=float(found["height"]))


SIZES = (
    Size(width=57, height=32),
    Size(width=25, height=67, margin=0.8),
    Size(width=57, height=51, margin=1.5),
    Size(width=102, height=51, large=16, text=10, margin=2),
)
"""The shipped sizes, in the order in which they are tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A sheet for an office printer, mm."""

    name: str
    width: float
    height: float


A4 = Paper(name="A4", width=210, height=297)  # ISO 216
LETTER = Paper(name="Letter", width=215.9, height=279.4)  # 8.5 x 11 inches


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Labels on a sheet, mm: how many, where the first one stands, and from one to the next. framed: with lines to cut along.

    shift_right, shift_down: how far this printer must be moved, found by one sheet held against the stock. Refused where a label
    would leave the paper or overlap another.
    """

    name: str
    paper: Paper
    size: Size
    columns: int
    rows: int
    left: float
    top: float
    across: float
    down: float
    shift_right: float = 0.0
    shift_down: float = 0.0
    framed: bool = False

    def __post_init__(self) -> None:
        faults = []
        sides = (
            ("columns", self.columns, self.left + self.shift_right, self.across, self.size.width, self.paper.width),
            ("rows", self.rows, self.top + self.shift_down, self.down, self.size.height, self.paper.height),
        )
        for name, count, first, step, side, whole in sides:
            last = first + step * (count - 1) + side
            if count < 1 or first < 0 or last > whole or (count > 1 and step < side):
                rule = f"{count} {name} of {side:g} mm, {step:g} mm from one to the next, do not stand on {self.paper.name}"
                came, accepted = f"{first:g} to {last:g} mm", f"0 to {whole:g} mm, without overlap"
                faults.append(Fault(field=name, rule=rule, came=came, accepted=accepted))
        gather(faults)

    @property
    def count(self) -> int:
        """How many labels one sheet holds."""
        return self.columns * self.rows

    def place(self, number: int) -> tuple[float, float]:
        """Where a label stands, from the left and the top edge, mm; numbered from 0, row by row."""
        row, column = divmod(number, self.columns)
        return (
            self.left + self.shift_right + self.across * column,
            self.top + self.shift_down + self.down * row,
        )


def cut_grid(paper: Paper, size: Size, gap: float = 3.0, edge: float = 8.0) -> Grid:
    """As many labels as plain paper holds, in the middle of it, with lines to cut along. Refused where not one fits.

    >>> cut_grid(A4, SIZES[0]).count
    24
    """
    columns, rows = (
        int((whole - 2 * edge + gap) // (side + gap))
        for whole, side in ((paper.width, size.width), (paper.height, size.height))
    )
    left, top = (
        (whole - count * (side + gap) + gap) / 2
        for whole, side, count in ((paper.width, size.width, columns), (paper.height, size.height, rows))
    )
    return Grid(
        name=f"{paper.name}, {columns} x {rows} to cut", paper=paper, size=size, columns=columns, rows=rows,
        left=left, top=top, across=size.width + gap, down=size.height + gap, framed=True,
    )  # fmt: skip


GRIDS = (
    cut_grid(A4, SIZES[0]),
    cut_grid(LETTER, SIZES[0]),
    Grid(
        name="Letter, 3 x 10", paper=LETTER, size=Size(width=66.7, height=25.4), columns=3, rows=10,
        left=4.8, top=12.7, across=69.8, down=25.4,
    ),
    Grid(
        name="A4, 3 x 8", paper=A4, size=Size(width=70, height=37, margin=2.5), columns=3, rows=8,
        left=0, top=0.5, across=70, down=37,
    ),
)  # fmt: skip
"""The shipped grids: plain paper to cut, and two of stock that stationers sell."""
