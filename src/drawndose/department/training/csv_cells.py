"""Rows as CSV that a spreadsheet opens and does not compute."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

Row = Iterable[object]
DANGEROUS = ("=", "+", "-", "@", "\t", "\r")
"""A cell that begins so would be a formula in a spreadsheet; it gets an apostrophe before it, and nothing else is changed. A number is none."""


def cell(value: object) -> str:
    """A value as a cell."""
    text = "" if value is None else str(value)
    return f"'{text}" if isinstance(value, str) and text.startswith(DANGEROUS) else text


def csv_of(heads: Row, rows: Iterable[Row]) -> str:
    """The heads and every row."""
    made = io.StringIO(newline="")
    writer = csv.writer(made)
    writer.writerow(heads)
    writer.writerows([cell(one) for one in row] for row in rows)
    return made.getvalue()


def only(text: str, column: str, value: str) -> str:
    """The heads and the rows that hold this value in a column."""
    heads, *rows = csv.reader(io.StringIO(text, newline=""))
    made = io.StringIO(newline="")
    csv.writer(made).writerows([heads, *(row for row in rows if row[heads.index(column)] == cell(value))])
    return made.getvalue()
