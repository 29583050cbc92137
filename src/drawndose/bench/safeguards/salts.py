"""A salt in the order whose number is a published dose of the base: labels that name the salt and count the base invite it."""

from __future__ import annotations

from drawndose.bench.compared import OUTSIDE
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.safeguards.doses import DOSE, Ordered, each_line
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.slips import counted_otherwise, is_published
from drawndose.quantities import show_about


@rule(
    "salt-or-base",
    Level.STOP,
    "Is the amount of a salt really meant, where the labels count the base?",
    needs=(*DOSE, "what the labels count", "a stated ratio"),
    waiver=Waiver.PRESCRIBER,
    over=each_line,
)
def salt_or_base(one: Ordered) -> Said | None:
    """No label counts what the order counts, the number is a published dose of what they count, and as ordered it is none.

    A dose outside everything published is told of by its own rule, with the same explanation.
    """
    compared = one.compared
    counts = {part.moiety for made in one.book.presentations_of(compared.line.drug.id) for part in made.actives}
    other = counted_otherwise(compared)
    if other is None or compared.side in OUTSIDE or is_published(compared):
        return None
    salt = compared.dose.of[0][0]
    if salt in counts or other.of not in counts:
        return None
    dose = show_about(compared.dose)
    says = (
        f"{dose} of {salt} is {show_about(other.stated.convert(compared.dose))} of {other.of}, which the labels count. "
        f"{dose} is a published dose of {other.of}."
    )
    do = f"Ask the prescriber which is meant, and have it written as {other.of}."
    return Said(says, do, other.stated.origin)


RULES = (salt_or_base,)
