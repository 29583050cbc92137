"""Readings pasted from a balance or a spreadsheet: a column or CSV text in, exact readings out. Everything or nothing.

A first line of headings may name the columns and their units ("without (g)", "with_mg"); without one the caller names them.
A cell may carry its own unit. Every fault is named with its row and all are told together; nothing is half imported.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
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
}
"""Columns that are known, with the headings that people write."""

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
NONE: Final = "there are no readings"

MOST_ROWS: Final = 5000
OFF: Final = 300

_CELL = re.compile(r"(?P<sign>[-−+]?)\s*(?P<number>[0-9.,]+)\s*(?P<unit>[A-Za-zµμ]*)")
_HEADING = re.compile(r"(?P<name>[A-Za-z][A-Za-z _]*?)[ _]*(?:[ _(\[](?P<unit>mg|g|ml|ul|µl|μl)[)\]]?)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: its number in the text, counted from 1, and its readings by column."""

    number: int
    readings: Mapping[str, Quantity]


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
    lines = [(number, line.strip()) for number, line in enumerate(text.lstrip("\ufeff").splitlines(), start=1)]
    lines = [(number, line) for number, line in lines if line]
    if not lines or len(lines) > MOST_ROWS:
        rule, accepted = (TOO_MANY, f"{MOST_ROWS} rows") if lines else (NONE, "a column of numbers")
        raise Refused([Fault(field="readings", rule=rule, came=f"{len(lines)} rows", accepted=accepted)])
    separator = _separator(lines[0][1], len(columns))
    named = [(name, unit) for name in columns]
    if not re.search(r"[0-9]", lines[0][1]):
        named = _headings(_cells(lines[0][1], separator), unit)
        lines = lines[1:]
    faults: list[Fault] = (
        [] if lines else [Fault(field="readings", rule=NONE, came="a heading", accepted="rows below it")]
    )
    rows = [_row(number, _cells(line, separator), named, faults) for number, line in lines]
    gather(faults)
    gather(_other_unit(rows))
    return tuple(rows)


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


def _row(number: int, cells: list[str], columns: list[tuple[str, str]], faults: list[Fault]) -> Row:
    if len(cells) != len(columns):
        came, accepted = f"{len(cells)} cells", f"{len(columns)}: {', '.join(name for name, _ in columns)}"
        faults.append(Fault(field=f"row {number}", rule=CELLS, came=came, accepted=accepted))
        return Row(number=number, readings={})
    found = {}
    for cell, (name, unit) in zip(cells, columns, strict=True):
        try:
            found[name] = _reading(cell, f"row {number}, {name}", "volume" if name == "volume" else "mass", unit)
        except Refused as refused:
            faults += refused.faults
    return Row(number=number, readings=found)


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


def _other_unit(rows: list[Row]) -> list[Fault]:
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


def weighings(rows: Sequence[Row]) -> tuple[Weighing, ...]:
    """Rows as weighings, in grams: a net mass, or the readings without and with the liquid. Refused for other columns.

    >>> weighings(read_readings("tare;gross\\n12.1;12.6", unit="g"))[0].net_g.__round__(6)
    0.5
    """
    found = []
    for row in rows:
        grams = {name: float(one.to("g").value) for name, one in row.readings.items() if name != "volume"}
        if "net" in grams:
            found.append(Weighing(without_g=0.0, with_g=grams["net"]))
        elif {"without", "with"} <= set(grams):
            again = grams.get("again")
            found.append(Weighing(without_g=grams["without"], with_g=grams["with"], without_again_g=again))
        else:
            came = ", ".join(row.readings)
            raise _refused(
                f"row {row.number}", "a weighing needs a net mass, or both readings", came, "net; without, with"
            )
    return tuple(found)
