"""What comes out: one layout as PDF and as PNG; and the search for the size of label that holds what must be said."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from drawndose.department.printing.label import Label, face
from drawndose.department.printing.size import SIZES, Grid, Paper, Size
from drawndose.paper import Setting
from drawndose.quantities import Fault, Refused, gather

DOTS_PER_MM = 8  # of the PNG: those of a usual label printer, 203 to the inch
SOURCE = Path(__file__).with_name("label.typ").read_text(encoding="utf-8")


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """pdf: what is printed. pages: the same layout as PNG, page by page. size: of the label, or of the paper.

    words: every text on it. too_small: the sizes that were tried before, each with what it lacked.
    """

    pdf: bytes
    pages: tuple[bytes, ...]
    size: Size | Paper
    words: tuple[str, ...]
    too_small: tuple[str, ...] = ()

    @property
    def png(self) -> bytes:
        """The first page."""
        return self.pages[0]


def print_label(label: Label, sizes: Sequence[Size] = SIZES) -> Printed:
    """The label at the first of these sizes that holds it whole, in type that can be read. Refused when none does."""
    size, setting, too_small = _fitting(label, sizes)
    return Printed(
        pdf=setting.pdf(), pages=setting.png(DOTS_PER_MM), size=size, words=label.words, too_small=too_small
    )  # fmt: skip


def _fitting(label: Label, sizes: Sequence[Size]) -> tuple[Size, Setting, tuple[str, ...]]:
    faults: list[Fault] = []
    for size in sizes:
        setting = _setting(label.kind, [(size.width, size.height, [face(label, size)])])
        fault = _fault(label, size, setting.told("room")[0])
        if fault is None:
            return size, setting, tuple(f"{one.came}: {one.rule}" for one in faults)
        faults.append(fault)
    raise Refused(faults or [Fault(field="size", rule="no size of label is set", came="", accepted="57 x 32 mm")])


def size_for(label: Label, sizes: Sequence[Size] = SIZES) -> Size:
    """The first of these sizes that holds the label. Refused when none does."""
    return _fitting(label, sizes)[0]


def print_each(labels: Sequence[tuple[Label, Size]]) -> bytes:
    """One PDF with a page for each label at its size, as a label printer takes them. Refused when one does not fit, each with its
    number, or when there is none."""
    if not labels:
        raise Refused([Fault(field="labels", rule="there is nothing to print", came="none", accepted="one or more")])
    setting = _setting("each", [(size.width, size.height, [face(label, size)]) for label, size in labels])
    rooms = setting.told("room")
    faults = [
        _fault(label, size, room, f" {at}")
        for at, ((label, size), room) in enumerate(zip(labels, rooms, strict=True), 1)
    ]
    gather([fault for fault in faults if fault is not None])
    return setting.pdf()


def print_sheet(labels: Sequence[Label], grid: Grid, first: int = 1) -> Printed:
    """Labels on sheets, row by row. first: the place of the first one, for a sheet that is partly used.

    Refused when one of them does not fit, each with its number, or when there is none.
    """
    if not labels or not 1 <= first <= grid.count:
        rule, came = f"a sheet holds places 1 to {grid.count}", f"{len(labels)} labels from place {first}"
        raise Refused([Fault(field="first", rule=rule, came=came, accepted="at least one label, from a place on it")])
    sheets: list[list[dict[str, object]]] = []
    for at, label in enumerate(labels, start=first - 1):
        sheet, number = divmod(at, grid.count)
        if sheet == len(sheets):
            sheets.append([])
        sheets[sheet].append(face(label, grid.size, *grid.place(number), framed=grid.framed))
    paper = grid.paper
    setting = _setting("sheet of", [(paper.width, paper.height, sheet) for sheet in sheets])
    rooms = setting.told("room")
    faults = [
        _fault(label, grid.size, room, f" {at}") for at, (label, room) in enumerate(zip(labels, rooms, strict=True), 1)
    ]
    gather([fault for fault in faults if fault is not None])
    words = tuple(text for label in labels for text in label.words)
    return Printed(pdf=setting.pdf(), pages=setting.png(DOTS_PER_MM), size=paper, words=words)


def _setting(title: str, pages: Sequence[tuple[float, float, list[dict[str, object]]]]) -> Setting:
    data = {
        "title": f"{title} label",
        "pages": [{"width": width, "height": height, "labels": faces} for width, height, faces in pages],
    }
    return Setting(SOURCE, {"labels": json.dumps(data)})


def _fault(label: Label, size: Size, room: dict[str, list[float]], which: str = "") -> Fault | None:
    """What this size lacks for the label, if anything."""
    (needs_width, needs_height), (width, height) = room["needs"], room["has"]
    accepted = "a larger label, or fewer words"
    if needs_width > width:
        rule = f"its longest word needs {needs_width:.1f} mm of length, and there are {width:.1f} mm"
    elif needs_height > height:
        rule = f"its text needs {needs_height:.1f} mm of height, and there are {height:.1f} mm"
    else:
        return None
    return Fault(field=f"{label.kind} label{which}", rule=rule, came=size.says, accepted=accepted)
