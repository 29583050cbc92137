"""What the commands write: exact JSON in one stable shape, and the house's wording for people.

In JSON a quantity is {"value": "0.5", "unit": "mL", "text": "0.5 mL"}: value is exact, a decimal or a fraction as text,
unit the data spelling, text what people read, and "of" what it is an amount of. A day or a moment is {"date": "2026-03-15"} or
{"moment": "2026-03-15T22:15"}, with its text. A fault is {"field", "rule", "came", "accepted"}.
"""

import json
import sys
from collections.abc import Iterable
from datetime import date, datetime

from drawndose.quantities import Fault, Quantity, quantity_data, show_both


def answer_json(value: Quantity | date) -> dict[str, str]:
    """A quantity, a day or a moment."""
    if isinstance(value, Quantity):
        return quantity_data(value)
    key = "moment" if isinstance(value, datetime) else "date"
    exact = value.isoformat(timespec="minutes") if isinstance(value, datetime) else value.isoformat()
    return {key: exact, "text": answer_text(value)}


def answer_text(value: Quantity | date) -> str:
    """For people: exact, and where no decimal is exact with a short "about" beside it."""
    if isinstance(value, Quantity):
        return show_both(value)
    return value.isoformat(sep=" ", timespec="minutes") if isinstance(value, datetime) else value.isoformat()


def fault_json(fault: Fault) -> dict[str, str]:
    """One fault."""
    return {"field": fault.field, "rule": fault.rule, "came": fault.came, "accepted": fault.accepted}


def write_json(content: object) -> None:
    """One JSON document on standard output."""
    json.dump(content, sys.stdout, ensure_ascii=False, indent=2)
    sys.stdout.write("\n")


def write_lines(lines: Iterable[str]) -> None:
    """Lines on standard output."""
    for line in lines:
        sys.stdout.write(f"{line}\n")


def write_faults(faults: Iterable[Fault], *, as_json: bool = False) -> None:
    """Faults on standard error, one to a line, or as one JSON document where JSON was asked for."""
    if as_json:
        content = {"schema": "drawndose.faults/1", "faults": [fault_json(fault) for fault in faults]}
        sys.stderr.write(f"{json.dumps(content, ensure_ascii=False, indent=2)}\n")
        return
    for fault in faults:
        sys.stderr.write(f"drawndose: {fault}\n")
