"""Grids of labels on a sheet of paper, mm. The shipped grids are from memory, as stationers sell them."""

from __future__ import annotations

from dataclasses import dataclass

from drawndose.paper.size import A4, LEAST_TEXT, LETTER, SIZES, Paper, Size, read_size
from drawndose.quantities import Fault, gather

__all__ = ["A4", "GRIDS", "LEAST_TEXT", "LETTER", "SIZES", "Grid", "Paper", "Size", "cut_grid", "read_size"]


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
