"""The label of a place on the shelf, or of one container that stands there unopened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drawndose.department.printing.label import FOR_INHALATION, Label, Line
from drawndose.department.printing.printed import Printed, print_label
from drawndose.department.printing.size import SIZES, Size


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfLabel:
    """What it says, in words. strength: "0.5 % (5 mg per mL)". container: "dropper bottle, 20 mL". place: where it stands.

    notes: what must be known before it is taken ("dilute before use"). lot, expiry, code: of one container; empty for a place.
    """

    name: str
    strength: str
    container: str
    place: str
    notes: tuple[str, ...] = ()
    lot: str = ""
    expiry: str = ""
    code: str = ""
    for_inhalation: bool = True


def shelf(content: ShelfLabel) -> Label:
    """The label before it has a size. Refused when a part is missing that must be on it."""
    return Label(
        kind="shelf",
        lines=(
            Line(name="name", text=content.name, bold=True, large=True),
            Line(name="strength", text=content.strength, bold=True),
            *(Line(name="note", text=note) for note in content.notes),
            *([Line(name="route", text=FOR_INHALATION, bold=True)] if content.for_inhalation else []),
        ),
        beside=(
            Line(name="container", text=content.container),
            *([Line(name="lot", text=f"Lot {content.lot}, expires {content.expiry}")] if content.lot else []),
            Line(name="place", text=content.place),
        ),
        code=content.code,
    )


def shelf_label(content: ShelfLabel, sizes: Sequence[Size] = SIZES) -> Printed:
    """The label, printed at the first of these sizes that holds it. Refused when none does, or when a part is missing."""
    return print_label(shelf(content), sizes)
