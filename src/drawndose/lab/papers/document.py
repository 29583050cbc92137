"""One paper, or several after one another, as PDF: every page with its number, who printed it and when, and what it is no record of.

Every text is printed. A sign that the packaged type lacks stands as its code in brackets, since a learner's comment must not keep a
file from being printed; a word too long for its column is broken; what does not fit into a frame to cut out is refused.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field
from importlib.resources import files

from drawndose.lab.papers.parts import Part
from drawndose.paper import Setting, held, letter_faults
from drawndose.paper.size import A4, Paper
from drawndose.quantities import Fault, Refused, gather

CAUTION = "Training record, no patient. Everything at a station is water; nothing of it is given to anybody."
AS_IT_IS = {"kind", "svg"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """One paper. title and head stand on every page, mark in a frame beside them ("" for none); printed: by whom and when."""

    title: str
    head: str
    printed: str
    parts: Sequence[Part]
    mark: str = ""
    caution: str = CAUTION
    name: str = field(default="")


def pdf_of(documents: Sequence[Document], paper: Paper = A4) -> bytes:
    """The PDF of these papers, each beginning on a page of its own and counted by itself.

    Refused when there is none, when one does not say who printed it, or when something does not fit into its frame.
    """
    gather(_missing(documents))
    framed = [one for one in documents if any(part["kind"] == "framed" for part in one.parts)]
    rooms = _setting(framed, paper).told("room") if framed else []
    gather([_fault(one, paper) for one in rooms if one["needs"] > one["has"]])
    return _setting(documents, paper).pdf()


def _setting(documents: Sequence[Document], paper: Paper) -> Setting:
    data = {
        "title": documents[0].title,
        "width": paper.width,
        "height": paper.height,
        "papers": [_data(one) for one in documents],
    }
    return Setting(_source(), {"papers": json.dumps(data)})


def _source() -> str:
    return (files("drawndose.lab") / "papers" / "papers.typ").read_text(encoding="utf-8")


def _missing(documents: Sequence[Document]) -> list[Fault]:
    if not documents:
        raise Refused([Fault(field="papers", rule="there is nothing to print", came="none", accepted="one or more")])
    rule = "a paper says who printed it, and when"
    return [
        Fault(field=f"{one.title}, printed", rule=rule, came="", accepted="a name and a moment")
        for one in documents
        if not one.printed.strip()
    ]


def _fault(room: dict[str, float], paper: Paper) -> Fault:
    rule = f"its text needs {room['needs']:.1f} mm of height, and there are {room['has']:.1f} mm"
    return Fault(field="card", rule=rule, came=paper.name, accepted="fewer words")


def _data(one: Document) -> Part:
    texts = {name: getattr(one, name) for name in ("title", "head", "printed", "mark", "caution")}
    return {**{name: _as_printed(says) for name, says in texts.items()}, "parts": [_told(part) for part in one.parts]}


def _told(value: object) -> object:
    """The value with every text as it is printed, however deep it stands."""
    if isinstance(value, str):
        return _as_printed(value)
    if isinstance(value, list):
        return [_told(one) for one in value]
    if isinstance(value, dict):
        return {name: one if name in AS_IT_IS else _told(one) for name, one in value.items()}
    return value


def _as_printed(says: str) -> str:
    return "\n".join(_line(one) for one in says.splitlines())


def _line(says: str) -> str:
    """One line: amounts held together, signs without a type as their codes."""
    faults = letter_faults(says, "text")
    return held(faults[0].came if faults else unicodedata.normalize("NFC", says))
