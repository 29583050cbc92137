"""The preparation sheet: what is drawn, to scale; the steps with boxes; findings, label and limits; the person on every page.

Its type is never smaller than can be read: what does not stand on one page goes on to the next, and each page says which of
how many it is.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from drawndose.bench.drawing import Figure, alone
from drawndose.department.printing.matrix import matrix
from drawndose.department.printing.printed import Printed
from drawndose.department.printing.size import A4, LEAST_TEXT, Paper
from drawndose.paper import Setting, held, letter_faults
from drawndose.quantities import Fault, Gathering, Refused, gather

SOURCE = Path(__file__).with_name("sheet.typ").read_text(encoding="utf-8")
CAUTION = "Planning aid. The label in your hand, the order, local policy, pharmacy and licensed judgement decide. Times are of 24 h."
RULE, SCALED = "50 mm", "If this is not 50 mm the page was scaled: do not compare with a real syringe."
NAMES = {
    "findings": "What was found",
    "steps": "Steps (!: failing it stops the preparation)",
    "drawings": "Draws",
    "label": "The label says",
    "limits": "Limits and leftovers",
}
DOTS_PER_MM = 5  # of the PNG: enough for a screen; an office printer gets the PDF
POINTS = (9.5, 9.0, 8.5, LEAST_TEXT)
UNIT_MM = 0.196
"""A unit of a drawing whose instrument has no known length, so that its smallest words are of 8 points."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFinding:
    """One finding: its level as a word, what is wrong with both numbers, where the rule is from, what to do."""

    level: str
    says: str
    source: str
    do: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetStep:
    """One step; critical: failing it stops the preparation."""

    number: int
    says: str
    critical: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PreparationSheet:
    """What it says, in words. person: with both identifiers, or dots to write on. printed: when and by whom.

    facts and label: a name and its text, row by row. drawings: figures of the bench, life size where their kind says so.
    """

    person: str
    order: str
    doses: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    drawings: tuple[Figure, ...]
    steps: tuple[SheetStep, ...]
    label: tuple[tuple[str, str], ...]
    limits: tuple[str, ...]
    printed: str
    findings: tuple[SheetFinding, ...] = ()
    code: str = ""


def preparation_sheet(content: PreparationSheet, paper: Paper = A4) -> Printed:
    """The sheet. Refused when a text cannot be printed, a word is longer than its column, or there is no person or dose."""
    named = _named(content)
    setting = _setting([_on_fewest_pages(_data(content, paper, list(named.values())))])
    words = (*named.values(), *([content.code] if content.code else []), CAUTION)
    return Printed(pdf=setting.pdf(), pages=setting.png(DOTS_PER_MM), size=paper, words=words)


def preparation_sheets(
    contents: Sequence[PreparationSheet], paper: Paper = A4, seen: Callable[[int], None] = lambda at: None
) -> bytes:
    """Many sheets as one PDF, each beginning on a page of its own and numbered by itself. seen: told of each before it is set, from 1.

    Refused as one sheet is, each fault with its number, or when there is none.
    """
    taking = Gathering()
    for at, content in enumerate(contents, start=1):
        taking.take(partial(_named, content, f"sheet {at}, "))
    if not contents:
        taking.faults.append(
            Fault(field="sheets", rule="there is nothing to print", came="none", accepted="one or more")
        )
    gather(taking.faults)
    set_so = []
    for at, one in enumerate(contents, start=1):
        seen(at)
        set_so.append(_on_fewest_pages(_data(one, paper, list(_named(one).values()))))
    return _setting(set_so).pdf()


def _named(content: PreparationSheet, where: str = "") -> dict[str, str]:
    """Every text by its name. Refused for one that cannot be printed, or is missing."""
    named = dict(_texts(content))
    faults = [fault for name, text in named.items() for fault in letter_faults(text, f"{where}{name}")]
    wanted = (
        ("person", content.person),
        ("order", content.order),
        ("dose", "".join(content.doses)),
        ("printed", content.printed),
    )
    rule = "a preparation sheet says this"
    faults += [
        Fault(field=f"{where}{name}", rule=rule, came="", accepted="its text")
        for name, text in wanted
        if not text.strip()
    ]
    gather(faults)
    return named


def _setting(sheets: Sequence[dict[str, object]]) -> Setting:
    return Setting(SOURCE, {"sheets": json.dumps(sheets)})


def _on_fewest_pages(data: dict[str, object]) -> dict[str, object]:
    """The sheet on the fewest pages, in the largest type that allows it. Refused when none holds every word."""
    tried = [data | {"points": points} for points in POINTS]
    settings = [_setting([one]) for one in tried]
    rooms = [setting.told("room") for setting in settings]
    fitting = [at for at, room in enumerate(rooms) if all(one["needs"] <= one["has"] for one in room)]
    if not fitting:
        needs, has = max((room["needs"] - room["has"], room["needs"], room["has"]) for room in rooms[-1])[1:]
        rule = f"its longest word needs {needs:.1f} mm of length, and there are {has:.1f} mm"
        raise Refused([Fault(field="sheet", rule=rule, came="one word", accepted="shorter words")])
    # the first of those that are alike: the largest
    return tried[min(fitting, key=lambda at: int(settings[at].told("pages")[0]))]


def _texts(content: PreparationSheet) -> Iterator[tuple[str, str]]:
    """Every text with a name of its own."""
    yield from (("person", content.person), ("order", content.order), ("printed", content.printed))
    yield from ((f"dose {at}", text) for at, text in enumerate(content.doses, start=1))
    for part, rows in (("fact", content.facts), ("label", content.label)):
        for at, (name, text) in enumerate(rows, start=1):
            yield f"{part} {at}, its name", name
            yield f"{part} {at}", text
    for at, finding in enumerate(content.findings, start=1):
        for name in ("level", "says", "source", "do"):
            yield f"finding {at}, {name}", getattr(finding, name)
    yield from ((f"step {one.number}", one.says) for one in content.steps)
    for at, figure in enumerate(content.drawings, start=1):
        yield f"drawing {at}, its name", figure.name
        yield f"drawing {at}", " ".join(figure.words)
    yield from ((f"limit {at}", text) for at, text in enumerate(content.limits, start=1))


def _data(content: PreparationSheet, paper: Paper, texts: list[str]) -> dict[str, object]:
    symbol = matrix(content.code) if content.code else None
    return {
        "width": paper.width,
        "height": paper.height,
        "person": held(content.person),
        "order": held(content.order),
        "printed": held(content.printed),
        "caution": CAUTION,
        "rule": held(RULE),
        "scaled": held(SCALED),
        "names": NAMES,
        "code": content.code,
        "matrix": symbol.svg if symbol is not None else "",
        "matrix_mm": symbol.side if symbol is not None else 0,
        "doses": [held(one) for one in content.doses],
        "facts": [[name, held(text)] for name, text in content.facts],
        "label": [[name, held(text)] for name, text in content.label],
        "findings": [
            {"level": one.level, "says": held(one.says), "source": one.source, "do": held(one.do)}
            for one in content.findings
        ],
        "steps": [
            {"number": str(one.number), "says": held(one.says), "critical": one.critical} for one in content.steps
        ],
        "drawings": [_drawing(one) for one in content.drawings],
        "limits": [held(one) for one in content.limits],
        "texts": [held(one) for one in texts],
    }


def _drawing(figure: Figure) -> dict[str, object]:
    svg = alone(figure)
    size = re.search(r'width="([0-9.]+)(mm)?" height="([0-9.]+)', svg)
    assert size is not None  # every drawing that stands alone says its size
    width, height = float(size[1]), float(size[3])
    each = 1.0 if size[2] else UNIT_MM
    return {
        "svg": svg,
        "width": width * each,
        "height": height * each,
        "name": held(figure.name),
        "words": held(" ".join(figure.words)),
    }
