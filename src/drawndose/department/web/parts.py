"""The specimens of the parts page: one form for every state that the bench can show."""

from __future__ import annotations

from dataclasses import dataclass

from drawndose.department.web.answering import Answer, answer
from drawndose.department.web.asking import Asked
from drawndose.department.web.page import announcement, drug_names, plan_parts, strip
from drawndose.reference import Catalogue

BOTTLE = "albuterol-0.5pct-bottle-20ml:0"


@dataclass(frozen=True, slots=True, kw_only=True)
class Specimen:
    """One state: its title and the context of the plan's region."""

    title: str
    ident: str
    context: dict[str, object]


def _bottle_only(text: str, **more: object) -> Asked:
    """An order with only the albuterol bottle and the diluents on the bench."""
    return Asked(text=text, listed=_ALBUTEROL, packs=frozenset({BOTTLE}), **more)  # type: ignore[arg-type]


_ALBUTEROL = frozenset(
    {
        BOTTLE,
        "albuterol-2.5mg-0.5ml:0",
        "albuterol-2.5mg-3ml:0",
        "albuterol-0.63mg-3ml:0",
        "albuterol-1.25mg-3ml:0",
        "ipratropium-0.5mg-albuterol-2.5mg-3ml:0",
    }
)

STATES = (
    ("No order yet", "empty", Asked()),
    (
        "Ready, dropper",
        "dropper",
        _bottle_only("albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours", cup="cup-6"),
    ),
    ("Ready, syringe window", "window", _bottle_only("albuterol 2 mg by nebulizer, made up to 3 mL", cup="cup-6")),
    ("Ready, whole unit dose", "whole", Asked(text="levalbuterol 0.63 mg by nebulizer three times daily", cup="cup-6")),
    ("Ready, five ampoules", "ampoules", Asked(text="epinephrine 5 mg by nebulizer once", cup="cup-6")),
    (
        "Ready, two drugs in one cup",
        "two",
        Asked(text="albuterol 2.5 mg and ipratropium 0.25 mg by nebulizer every 6 hours", cup="cup-6"),
    ),
    ("Ready, powder", "powder", Asked(text="pentamidine 300 mg by nebulizer once", cup="cup-10")),
    (
        "Ready, continuous",
        "continuous",
        _bottle_only("10 mg/h albuterol by nebulizer for 4 h, output 25 mL/h", cup="reservoir-240"),
    ),
    ("Ready, first dilution", "dilution", _bottle_only("albuterol 0.15 mg by nebulizer to 3 mL", cup="cup-6")),
    ("A question", "question", Asked(text="albuterol 2.5 mg in 3 mL saline by nebulizer")),
    (
        "A choice of equivalence",
        "equivalence",
        Asked(text="colistimethate 1 million units by nebulizer twice daily to 3 mL with normal saline"),
    ),
    ("A choice of line", "line", _bottle_only("albuterol 1.03 mg by nebulizer to 3 mL", cup="cup-6")),
    ("Stopped", "stopped", _bottle_only("albuterol 2.5 mg undiluted by nebulizer", cup="cup-6")),
    ("Refused", "refused", Asked(text="albuterol 2.5 mg by nebulizer QD with pixie dust in 5cc")),
)


def specimens(book: Catalogue) -> tuple[Specimen, ...]:
    """Every state, each under its own name."""
    return tuple(
        Specimen(title=title, ident=ident, context=_context(asked, book, f"{ident}-")) for title, ident, asked in STATES
    )


def _context(asked: Asked, book: Catalogue, prefix: str) -> dict[str, object]:
    given: Answer = answer(asked, book)
    context: dict[str, object] = {
        "answer": given,
        "asked": asked,
        "plan": given.plan,
        "says": announcement(given),
        "strip": strip(given),
        "drug_names": drug_names(given),
        "prefix": prefix,
    }
    if given.plan is not None:
        context |= plan_parts(given.plan, given, book, prefix)
    return context
