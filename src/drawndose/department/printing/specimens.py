"""Specimens of everything that is printed, to be looked at: by whoever changes a layout, and by whoever tries a printer.

People, numbers and moments are invented; the plan is the engine's own.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from drawndose.bench.in_hand import InHand
from drawndose.bench.labels import LabelLine
from drawndose.bench.order import read_order
from drawndose.bench.plans import Plan, plan
from drawndose.department.printing.cup import CupLabel, cup, cup_label, cup_of_plan
from drawndose.department.printing.opened import OpenedLabel, opened_label
from drawndose.department.printing.own_code import Kind, own_code
from drawndose.department.printing.preparation_sheet import preparation_sheet
from drawndose.department.printing.printed import Printed, print_sheet
from drawndose.department.printing.sheet_of_plan import sheet_of_plan
from drawndose.department.printing.shelf import ShelfLabel, shelf, shelf_label
from drawndose.department.printing.size import A4, GRIDS, LETTER, SIZES
from drawndose.reference import Cup, Instrument, load

KEY = b"of these specimens only"
PERSON = "Model, Dora, born 05 Nov 1961, no. 204118"
BY = "Ana Sample RT"
ORDER = "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours"
BOTTLE, SALINE = "albuterol-0.5pct-bottle-20ml", "sodium-chloride-0.9pct-unit-dose"
WRITTEN = {"person": PERSON, "made by": BY}


def the_plan() -> Plan:
    """The engine's plan for the invented order."""
    book = load()
    in_hand = [InHand(presentation=one, pack=one.packs[-1]) for one in map(book.presentation, (BOTTLE, SALINE))]
    tools: tuple[Instrument | Cup, ...] = (book.instrument("syringe-1"), book.instrument("syringe-3"), *book.cups[:1])
    started = datetime(2026, 11, 25, 14, 5, tzinfo=ZoneInfo("America/Chicago"))
    return plan(read_order(ORDER, catalogue=book), containers=in_hand, instruments=tools, started=started)


def the_lines(made: Plan) -> tuple[LabelLine, ...]:
    """Its label's lines with the person and the preparer written in."""
    return tuple(
        LabelLine(name=line.name, text=WRITTEN.get(line.name, line.text), large=line.large) for line in made.label
    )


def the_cup() -> CupLabel:
    """The label of its cup, for another person to give it."""
    made = the_plan()
    return cup_of_plan(made, the_lines(made), code=own_code(Kind.PREPARATION, 1234, KEY), for_another=True)


TWO_DRUGS = CupLabel(
    doses=("albuterol 2.5 mg in 5 mL", "ipratropium bromide 0.5 mg in 5 mL"),
    strengths=("albuterol 0.5 mg per mL", "ipratropium bromide 0.1 mg per mL"),
    prepared="25 Nov 2026 14:05",
    use_by="at once, and by 25 Nov 2026 15:05",
    made_by=f"{BY}, second reader Ben Example RT",
    code=own_code(Kind.PREPARATION, 1235, KEY),
    diluent="sodium chloride 0.9 %, 2 mL",
    person=PERSON,
)
FOR_ITSELF = CupLabel(
    doses=("albuterol 2.5 mg in 3 mL",),
    strengths=("0.833 mg per mL",),
    prepared="25 Nov 2026 14:05",
    use_by="25 Nov 2026 15:05",
    made_by=BY,
    code=own_code(Kind.PREPARATION, 1236, KEY),
    diluent="sodium chloride 0.9 %, 2.5 mL",
)
OPENED = OpenedLabel(
    name="albuterol 0.5 % solution, dropper bottle",
    strength="0.5 % (5 mg per mL) of albuterol",
    discard="the end of 22 Dec 2026",
    opened="24 Nov 2026 14:05",
    opened_by=BY,
    lot="4K21",
    code=own_code(Kind.CONTAINER, 77, KEY),
    owner=PERSON,
)
SHELF = ShelfLabel(
    name="albuterol",
    strength="0.5 % (5 mg per mL)",
    container="dropper bottle, 20 mL",
    place="Cupboard 2, shelf B",
    notes=("Dilute before use",),
    lot="4K21",
    expiry="30 Jun 2027",
    code=own_code(Kind.CONTAINER, 78, KEY),
)


def specimens() -> Iterator[tuple[str, Printed]]:
    """Each specimen with its name."""
    yield "cup", cup_label(the_cup())
    yield "cup-along", cup_label(FOR_ITSELF, SIZES[1:])
    yield "cup-two-drugs", cup_label(TWO_DRUGS)
    yield "opened", opened_label(OPENED)
    yield "shelf", shelf_label(SHELF)
    yield "shelf-along", shelf_label(SHELF, SIZES[1:])
    for grid in GRIDS:
        name = grid.name.lower().replace(",", "").replace(" ", "-")
        yield f"labels-{name}", print_sheet([cup(FOR_ITSELF), shelf(SHELF)], grid, first=2)
    made = the_plan()
    content = sheet_of_plan(
        made, the_lines(made), person=PERSON, printed=f"Printed 25 Nov 2026 14:05 by {BY}", code=the_cup().code
    )
    for paper in (A4, LETTER):
        yield f"sheet-{paper.name.lower()}", preparation_sheet(content, paper)


def write(to: str) -> Iterator[str]:
    """Every specimen into a folder, which is made where there is none, as PDF and page by page as PNG. Yields what was written."""
    folder = Path(to)
    folder.mkdir(parents=True, exist_ok=True)
    for name, printed in specimens():
        (folder / f"{name}.pdf").write_bytes(printed.pdf)
        for at, page in enumerate(printed.pages, start=1):
            several = f"-{at}" if len(printed.pages) > 1 else ""
            (folder / f"{name}{several}.png").write_bytes(page)
        yield f"{name}: {len(printed.pages)} page{'s' if len(printed.pages) > 1 else ''}"
