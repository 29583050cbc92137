"""Tables of numbers as people keep them: rows of one length, None where an answer is missing. Inside, an array with NaN for that.

NaN stands for a missing answer in these arrays only; it never leaves a function of this package.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import isfinite
from numbers import Real
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.quantities import Fault, Refused
from drawndose.science.statistics.estimable import refused

Row = Sequence[float | None]
Rows = Sequence[Row] | NDArray[np.floating] | NDArray[np.integer]
"""A table: lists of numbers and None, or an array in which NaN is a missing answer."""

Matrix = NDArray[np.float64]

NO_ROWS: Final = "the table is empty"
UNLIKE: Final = "the rows have unlike lengths"
NO_NUMBER: Final = "a cell is neither a number nor missing"


def matrix(rows: Rows, field: str = "table") -> Matrix:
    """The table as an array. Refused with every row of another length and every cell that is no number.

    >>> matrix([[1, None], [0, 1]]).tolist()
    [[1.0, nan], [0.0, 1.0]]
    >>> matrix([[1, 2], [3]])
    Traceback (most recent call last):
    drawndose.quantities.faults.Refused: table, row 2: the rows have unlike lengths. Came: "1 cell". Accepted: 2, as the first row.
    """
    if isinstance(rows, np.ndarray):
        return _array(rows, field)
    if not len(rows) or not len(rows[0]):
        raise refused(field, NO_ROWS, "nothing", "one row or more")
    wanted = len(rows[0])
    faults: list[Fault] = []
    for place, row in enumerate(rows, start=1):
        if len(row) != wanted:
            came = f"{len(row)} cell{'s' if len(row) != 1 else ''}"
            accepted = f"{wanted}, as the first row"
            faults.append(Fault(field=f"{field}, row {place}", rule=UNLIKE, came=came, accepted=accepted))
        faults += [
            Fault(field=f"{field}, row {place}, cell {at}", rule=NO_NUMBER, came=str(cell), accepted="a number")
            for at, cell in enumerate(row, start=1)
            if not (cell is None or (isinstance(cell, Real) and isfinite(cell)))
        ]
    if faults:
        raise Refused(faults)
    return np.array([[np.nan if cell is None else float(cell) for cell in row] for row in rows])


def _array(rows: NDArray[np.floating] | NDArray[np.integer], field: str) -> Matrix:
    if rows.ndim != 2 or not rows.size:
        raise refused(field, NO_ROWS, f"shape {rows.shape}", "rows and columns")
    made = rows.astype(np.float64)
    if np.isinf(made).any():
        raise refused(field, NO_NUMBER, "an infinite cell", "a number")
    return made


def column(values: Iterable[float | None], field: str = "values") -> NDArray[np.float64]:
    """A list of numbers as an array; what is missing is left out.

    >>> column([1, None, 3]).tolist()
    [1.0, 3.0]
    """
    row = list(values)
    made: NDArray[np.float64] = matrix([row], field)[0] if row else np.empty(0)
    return made[~np.isnan(made)]


def complete(made: Matrix) -> Matrix:
    """The rows without a missing answer."""
    rows: Matrix = made[~np.isnan(made).any(axis=1)]
    return rows


def varies(values: NDArray[np.float64]) -> bool:
    """True when the values are not all the same."""
    return bool(values.size and np.ptp(values) > 0)
