"""Readings pasted from a balance or a spreadsheet: a column or CSV text in, exact readings out. Everything or nothing.

A first line of headings may name the columns and their units ("without (g)", "with_mg"); without one the caller names them.
Columns that only count or date the draws are passed over. A cell may carry its own unit. Every fault is named with its row and all are told together; nothing is half imported.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from drawndose.quantities import Fault, Quantity, Refused, gather, read_number, show
from drawndose.science.weighing import Weighing

HEADINGS: Final[Mapping[str, tuple[str, ...]]] = {
    "without": ("without", "tare", "empty", "before", "vessel"),
    "with": ("with", "gross", "full", "after", "reading"),
    "again": ("again", "tare again", "empty again"),
    "net": ("net", "mass", "weight"),
    "volume": ("volume",),
    "draw": ("draw", "number", "no", "row"),
    "date": ("date",),
    "time": ("time",),
}
"""Columns that are known, with the headings that people write."""

PASSED_OVER: Final = frozenset({"draw", "date", "time"})
"""Columns that say nothing about a mass or a volume."""

UNITS: Final = {"g": "mass", "mg": "mass", "mL": "volume", "microlitre": "volume"}
SPELLED: Final = {"g": "g", "mg": "mg", "ml": "mL", "ul": "microlitre", "µl": "microlitre", "μl": "microlitre"}

DECIMAL_COMMA: Final = "a comma stands where a decimal point belongs"
HEADING_INSIDE: Final = "a heading stands in the middle of the readings"
NOT_A_NUMBER: Final = "this is not a number"
NEGATIVE: Final = "a reading is not negative"
OTHER_UNIT: Final = "the value is some thousand times off the others in its column, as if in another unit"
NO_UNIT: Final = "the unit is not said"
UNKNOWN_HEADING: Final = "the heading is not known"
TWICE: Final = "the column stands twice"
CELLS: Final = "the row has another number of cells than there are columns"
TOO_MANY: Final = "there are more rows than are read at once"
TOO_LARGE: Final = "the file is larger than is read at once"
NOT_TEXT: Final = "the file is not text in UTF-8"
NONE: Final = "there are no readings"

MOST_ROWS: Final = 500
MOST_BYTES: Final = 100_000
OFF: Final = 300

_CELL = re.compile(r"(?P<sign>[-−+]?)\s*(?P<number>[0-9.,]+)\s*(?P<unit>[A-Za-zµμ]*)")
_HEADING = re.compile(
    r"(?P<name>[A-Za-z][A-Za-z _]*?)\.?[ _]*(?:[ _(\[](?P<unit>mg|g|ml|ul|µl|μl)[)\]]?)?", re.IGNORECASE
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: its number in the text, counted from 1, and its readings by column."""

    number: int
    readings: Mapping[str, Quantity]


def decode_readings(content: bytes) -> str:
    """The text of a file. Refused when it is larger than MOST_BYTES, or no text in UTF-8 (a spreadsheet's own file is not).

    >>> decode_readings(b"0.512\\n0.498")
    '0.512\\n0.498'
    """
    if len(content) > MOST_BYTES:
        raise _refused("readings", TOO_LARGE, f"{len(content):,} bytes", f"at most {MOST_BYTES:,} bytes")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        came = f"byte {error.start + 1:,} of {len(content):,}"
        raise _refused("readings", NOT_TEXT, came, "a CSV file, saved as UTF-8") from error
    if "\0" in text:
        raise _refused("readings", NOT_TEXT, "a file with bytes that no text has", "a CSV file, saved as UTF-8")
    return text


def read_readings(text: str, *, columns: Sequence[str] = ("net",), unit: str = "") -> tuple[Row, ...]:
    """The rows of a pasted text. columns and unit hold where no heading says otherwise. Refused with every fault.

    >>> [row.readings["net"].value for row in read_readings("0.512\\n0.498", unit="g")]
    [Fraction(64, 125), Fraction(249, 500)]
    >>> read_readings("without (g),with (mg)\\n12.3456,12845.6")[0].readings["with"]
    Quantity(12,845.6 mg)
    >>> read_readings("0,512", unit="g")
    Traceback (most recent call last):
    drawndose.quantities.faults.Refused: row 1, net: a comma stands where a decimal point belongs. Came: "0,512". Accepted: 0.512.
    """
    rows, faults = sift_readings(text, columns=columns, unit=unit)
    gather(faults)
    return rows


def sift_readings(
    text: str, *, columns: Sequence[str] = ("net",), unit: str = ""
) -> tuple[tuple[Row, ...], tuple[Fault, ...]]:
    """The rows that can be read, and the faults of the others: for whoever looks over everything before refusing it.

    Refused at once where there is nothing to sift: no rows, too many, or headings that are not known.
    """
    lines = [(number, line.strip()) for number, line in enumerate(text.lstrip("\ufeff").splitlines(), start=1)]
    lines = [(number, line) for number, line in lines if line]
    if not lines or len(lines) > MOST_ROWS:
        rule, accepted = (TOO_MANY, f"{MOST_ROWS} rows") if lines else (NONE, "a column of numbers")
        raise _refused("readings", rule, f"{len(lines)} rows" if lines else "nothing", accepted)
    separator = _separator(lines[0][1], len(columns))
    named = [(name, unit) for name in columns]
    if not re.search(r"[0-9]", lines[0][1]):
        named = _headings(_cells(lines[0][1], separator), unit)
        lines = lines[1:]
    if not lines:
        raise _refused("readings", NONE, "a heading", "rows below it")
    faults: list[Fault] = []
    tried = [_row(number, _cells(line, separator), named, faults) for number, line in lines]
    rows = tuple(row for row in tried if row is not None)
    return rows, (*faults, *_other_unit(rows))


def columns_of(text: str, columns: Sequence[str]) -> tuple[tuple[str, ...], str]:
    """The columns of a list that may be empty, with what parts its cells ("" where nothing does). Refused for unknown headings.

    >>> columns_of("empty (g);full (g)\\n12.1;12.6", ("net",)), columns_of("", ("net",))
    ((('without', 'with'), ';'), (('net',), ''))
    """
    first = next((line.strip() for line in text.lstrip("\ufeff").splitlines() if line.strip()), "")
    separator = _separator(first, len(columns))
    if not first or re.search(r"[0-9]", first):
        return tuple(columns), separator
    return tuple(name for name, _ in _headings(_cells(first, separator), "")), separator


def _separator(first: str, columns: int) -> str:
    """What parts the cells; nothing where there is one column, so that a comma in it is seen for what it is."""
    for mark in "\t;":
        if mark in first:
            return mark
    heading = not re.search(r"[0-9]", first)
    return "," if "," in first and (heading or columns > 1) else ""


def _cells(line: str, separator: str) -> list[str]:
    return [cell.strip().strip('"').strip() for cell in (line.split(separator) if separator else [line])]


def _headings(cells: list[str], unit: str) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    faults = []
    for place, cell in enumerate(cells, start=1):
        parts = _HEADING.fullmatch(cell)
        said = " ".join(parts["name"].replace("_", " ").lower().split()) if parts else ""
        name = next((name for name, also in HEADINGS.items() if said in also), "")
        if not name:
            accepted = ", ".join(HEADINGS)
            faults.append(Fault(field=f"heading {place}", rule=UNKNOWN_HEADING, came=cell, accepted=accepted))
        elif name in dict(found):
            faults.append(Fault(field=f"heading {place}", rule=TWICE, came=cell, accepted="each column once"))
        spelled = SPELLED[parts["unit"].lower()] if parts and parts["unit"] else unit
        found.append((name, spelled))
    gather(faults)
    return found


def _row(number: int, cells: list[str], columns: list[tuple[str, str]], faults: list[Fault]) -> Row | None:
    """The row; None, with its faults added, where it cannot be read."""
    where, wanted, before = f"row {number}", len(columns), len(faults)
    if len(cells) != wanted:
        rule = DECIMAL_COMMA if len(cells) == 2 * wanted and all(cell.isdecimal() for cell in cells) else CELLS
        accepted = "12.3456" if rule is DECIMAL_COMMA else f"{wanted}: {', '.join(name for name, _ in columns)}"
        came = ",".join(cells) if rule is DECIMAL_COMMA else f"{len(cells)} cell{'s' if len(cells) != 1 else ''}"
        faults.append(Fault(field=where, rule=rule, came=came, accepted=accepted))
        return None
    found = {}
    for cell, (name, unit) in zip(cells, columns, strict=True):
        if name in PASSED_OVER:
            continue
        try:
            found[name] = _reading(cell, f"{where}, {name}", "volume" if name == "volume" else "mass", unit)
        except Refused as refused:
            faults += refused.faults
    return Row(number=number, readings=found) if len(faults) == before else None


def _reading(cell: str, field: str, dimension: str, unit: str) -> Quantity:
    parts = _CELL.fullmatch(cell)
    if parts is None:
        words = re.fullmatch(r"[A-Za-z _()]+", cell)
        raise _refused(field, HEADING_INSIDE if words and _HEADING.fullmatch(cell) else NOT_A_NUMBER, cell, "0.512")
    if re.fullmatch(r"[0-9]+,[0-9]+", parts["number"]):
        raise _refused(field, DECIMAL_COMMA, cell, parts["number"].replace(",", "."))
    if parts["sign"] in {"-", "−"}:
        raise _refused(field, NEGATIVE, cell, "the reading without its sign, or the tare and the reading apart")
    spelled = SPELLED.get(parts["unit"].lower(), "") if parts["unit"] else unit
    if UNITS.get(spelled) != dimension:
        allowed = ", ".join(name for name, of in UNITS.items() if of == dimension)
        raise _refused(field, NO_UNIT, cell, allowed)
    return Quantity.of_text(read_number(parts["number"], field=field), spelled)


def _refused(field: str, rule: str, came: str, accepted: str) -> Refused:
    return Refused([Fault(field=field, rule=rule, came=came, accepted=accepted)])


def _other_unit(rows: Sequence[Row]) -> list[Fault]:
    """Readings a thousand times off the middle one of their column; from three rows up."""
    faults = []
    for name in rows[0].readings if len(rows) > 2 else ():
        values = sorted(row.readings[name].base for row in rows)
        middle = values[len(values) // 2]
        for row in rows:
            value = row.readings[name].base
            if middle and value and not Fraction(1, OFF) < value / middle < OFF:
                came = show(row.readings[name])
                faults.append(Fault(field=f"row {row.number}, {name}", rule=OTHER_UNIT, came=came, accepted="one unit"))
    return faults


def weighings(rows: Sequence[Row]) -> tuple[tuple[str, Weighing], ...]:
    """Rows as weighings in grams, each with its name: a net mass, or the readings without and with the liquid.

    Refused for other columns, and with every row that holds a number which no balance shows.

    >>> [(name, round(one.net_g, 6)) for name, one in weighings(read_readings("tare;gross\\n12.1;12.6", unit="g"))]
    [('row 2', 0.5)]
    """
    found = []
    faults: list[Fault] = []
    for row in rows:
        name = f"row {row.number}"
        grams = {column: float(one.to("g").value) for column, one in row.readings.items() if column != "volume"}
        if "net" not in grams and not {"without", "with"} <= set(grams):
            came = ", ".join(row.readings) or "no readings"
            raise _refused(name, "a weighing needs a net mass, or both readings", came, "net; without, with")
        without, full = (0.0, grams["net"]) if "net" in grams else (grams["without"], grams["with"])
        try:
            found.append((name, Weighing(without_g=without, with_g=full, without_again_g=grams.get("again"))))
        except Refused as refused:
            faults += [replace(fault, field=f"{name}, {fault.field}") for fault in refused.faults]
    gather(faults)
    return tuple(found)
