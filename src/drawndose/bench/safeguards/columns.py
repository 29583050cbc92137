"""Drugs first and their doses after them ("ipratropium and albuterol 0.5 mg and 2.5 mg"): read first with first, and said.

Where the doses could as well stand the other way round, nobody can tell which was meant.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

from drawndose.bench.compared import OUTSIDE, compare
from drawndose.bench.dosing import Resolved
from drawndose.bench.findings import HOUSE, Level, Waiver
from drawndose.bench.order import Order
from drawndose.bench.safeguards.doses import Ordered
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.quantities import Quantity, show

Several = tuple[Ordered, ...]


def _in_columns(ordered: Several) -> tuple[Several, ...]:
    """The order's lines together, where all drugs were written before the first dose."""
    if len(ordered) < 2:
        return ()
    drugs, doses = (
        [span.start for span in ordered[0].order.spans if span.field == field] for field in ("drug", "dose")
    )
    together = len(drugs) == len(doses) == len(ordered) and max(drugs) < min(doses)
    return (ordered,) if together else ()


@rule(
    "doses-in-columns",
    Level.STOP,
    "Which dose is of which drug, where all drugs stand before all doses?",
    needs=("the words of the order", "the published doses of each drug"),
    waiver=Waiver.PRESCRIBER,
    over=_in_columns,
)
def doses_in_columns(lines: Several) -> Said | None:
    """Noted where only one reading fits what is published; stopped where another would fit, too."""
    read = ", ".join(f"{show(one.compared.dose)} of {one.compared.line.drug.name}" for one in lines)
    other = next(_other_readings(lines), None)
    if other is None:
        says = f"The order names {len(lines)} drugs, then {len(lines)} doses, read in their order: {read}."
        return Said(says, "Check that this is meant.", HOUSE, Level.NOTE)
    says = f"The order names {len(lines)} drugs, then {len(lines)} doses. Read in their order: {read}; {other} would fit as well."
    return Said(says, "Have it written again, each dose beside its drug.", HOUSE)


def _other_readings(lines: Several) -> Iterator[str]:
    """Every other way to share out the doses that lies outside no published range, in words."""
    doses = [one.compared.dose for one in lines]
    for order in permutations(range(len(lines))):
        given = [
            Quantity(doses[place].value, doses[place].unit, one.of) for place, one in zip(order, doses, strict=True)
        ]
        if given != doses and all(_fits(one, dose) for one, dose in zip(lines, given, strict=True)):
            yield ", ".join(
                f"{show(dose)} of {one.compared.line.drug.name}" for one, dose in zip(lines, given, strict=True)
            )


def _fits(one: Ordered, dose: Quantity) -> bool:
    asked: Order = one.order
    found = compare(Resolved(line=one.compared.line, amount=dose), asked, one.book, one.policy)
    return found is not None and found.side not in OUTSIDE


RULES = (doses_in_columns,)
