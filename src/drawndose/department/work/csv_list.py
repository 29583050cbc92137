"""A list in CSV: its text out of the bytes of a file, and its rows out of the text. What is no such list is refused with the reason."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from drawndose.quantities import Fault, Refused, gather

Rows = list[tuple[int, dict[str, str]]]
"""Each row that holds something by its number in the file, the heading being row 1: its cells by the heading's names."""


def decode(content: bytes, most: int) -> str:
    """The text of a file. Refused, with the reason, for another encoding than UTF-8, or more bytes than the most."""
    accepted = "CSV saved as UTF-8"

    def no(rule: str, came: str) -> Refused:
        return Refused([Fault(field="file", rule=rule, came=came, accepted=accepted)])

    if len(content) > most:
        raise no("it is larger than is read at once", f"{len(content):,} bytes")
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise no("it is in UTF-16", "a mark of UTF-16 at its start")
    if content.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise no("it is a spreadsheet's own file", "no text")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise no("it is not in UTF-8", f"byte {content[error.start]:#04x} in line {line}") from None
    if "\0" in text:
        raise no(
            "it holds a character that no text has", f"NUL in line {text.count(chr(10), 0, text.index(chr(0))) + 1}"
        )
    return text


def table(text: str, known: Sequence[str], needed: Sequence[str], most: int) -> tuple[Rows, list[Fault]]:
    """The rows, and a fault for each that has another number of cells than the heading.

    known: the columns that there may be; needed: those that there must be; most: rows. Refused for a wrong heading, for quotes
    that do not fit, and for no row or too many.
    """
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    try:
        cells = [[cell.strip() for cell in row] for row in reader]
    except csv.Error as error:
        rule = f"the quotes do not fit: {error}"
        raise Refused([Fault(field=f"line {reader.line_num}", rule=rule, came="this line", accepted="CSV")]) from error
    heading = [name.lower() for name in cells[0]] if cells else []
    gather(_heading_faults(heading, known, needed))
    filled = [(number, row) for number, row in enumerate(cells[1:], start=2) if any(row)]
    if not 1 <= len(filled) <= most:
        rule = f"a list has 1 to {most:,} rows"
        raise Refused([Fault(field="file", rule=rule, came=f"{len(filled):,}", accepted="a part of it at a time")])
    rows = [(number, dict(zip(heading, row, strict=True))) for number, row in filled if len(row) == len(heading)]
    return rows, [_cells(number, row, heading) for number, row in filled if len(row) != len(heading)]


def _cells(number: int, row: list[str], heading: list[str]) -> Fault:
    return Fault(
        field=f"row {number}",
        rule="it has another number of cells than the heading",
        came=str(len(row)),
        accepted=f"{len(heading)}; a text with a comma stands in quotes",
    )


def _heading_faults(heading: list[str], known: Sequence[str], needed: Sequence[str]) -> Iterator[Fault]:
    if len(heading) == 1 and any(sign in heading[0] for sign in ";\t"):
        came = "semicolons or tabs"
        yield Fault(field="heading", rule="cells are parted by commas", came=came, accepted=",".join(known))
        return
    for name in heading:
        if name not in known:
            yield Fault(field="heading", rule="no such column", came=name, accepted=", ".join(known))
    for name in known:
        if heading.count(name) > 1:
            yield Fault(field="heading", rule="the column stands twice", came=name, accepted="once")
    for name in needed:
        if name not in heading:
            yield Fault(field="heading", rule=f"the column {name} is missing", came="", accepted=", ".join(known))
