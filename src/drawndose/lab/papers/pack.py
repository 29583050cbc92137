"""The pack of a lab day: each kind of paper by its name, one PDF each, and all of them in one."""

from __future__ import annotations

from collections.abc import Sequence

from drawndose.lab.forms.form import Form
from drawndose.lab.forms.shipped import shipped
from drawndose.lab.papers.cards import label_blanks, learner_cards
from drawndose.lab.papers.document import Document, pdf_of
from drawndose.lab.papers.evaluator_form import evaluator_form
from drawndose.lab.papers.key import answer_key
from drawndose.lab.papers.laid import Laid
from drawndose.lab.papers.station_sheet import station_sheets
from drawndose.lab.papers.supply_list import supply_list
from drawndose.paper.size import A4, Paper

KINDS = {
    "stations": "Station sheets",
    "cards": "Learners' cards, without the key",
    "labels": "Label blanks to write on",
    "key": "Answer key: for evaluators only",
    "supplies": "Supply list",
    "forms": "Evaluators' forms on paper",
}
"""Every kind of paper of a day, and what it is called."""
WHOLE = "pack"


def documents(day: Laid, kind: str, forms: Sequence[Form] = ()) -> tuple[Document, ...]:
    """The papers of one kind, or of all with WHOLE. forms: those in use; the shipped ones where none are said. KeyError for another kind."""
    if kind == WHOLE:
        return tuple(one for each in KINDS for one in documents(day, each, forms))
    if kind == "forms":
        return tuple(evaluator_form(one, day.printed) for one in forms or shipped())
    made = {"stations": station_sheets, "cards": learner_cards, "labels": label_blanks, "key": answer_key, "supplies": supply_list}  # fmt: skip
    return (made[kind](day),)


def pack(day: Laid, paper: Paper = A4, forms: Sequence[Form] = ()) -> dict[str, bytes]:
    """Each kind as one PDF, and the whole pack."""
    return {kind: pdf_of(documents(day, kind, forms), paper) for kind in (*KINDS, WHOLE)}
