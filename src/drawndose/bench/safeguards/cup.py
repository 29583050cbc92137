"""The fill against the cup: too much for it to hold, too little for it to work, more drug than fill."""

from drawndose.bench.draws import ml
from drawndose.bench.findings import HOUSE, Level, Waiver
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import Seen, the_way
from drawndose.quantities import Quantity, show
from drawndose.reference import Cup


@rule(
    "fill-cannot-be-made",
    Level.STOP,
    "Can the ordered fill be made out of what is on the bench?",
    needs=("the order's fill", "the diluents"),
    waiver=Waiver.PRESCRIBER,
    over=the_way,
)
def fill_cannot_be_made(seen: Seen) -> Said | None:
    """More drug than fill, or no diluent to make it with."""
    if not seen.fill.trouble:
        return None
    says = f"{seen.fill.trouble[:1].upper()}{seen.fill.trouble[1:]}."
    return Said(says, "Ask for another fill, or put what is missing on the bench.", HOUSE)


@rule(
    "fill-over-cup",
    Level.STOP,
    "Does the cup hold the fill?",
    needs=("the fill", "the cup"),
    waiver=Waiver.NOBODY,
    over=the_way,
)
def fill_over_cup(seen: Seen) -> Said | None:
    """The fill against what the cup holds."""
    cup, total = seen.cup, _known_total(seen)
    if cup is None or total is None or total <= cup.holds:
        return None
    wanted = Quantity.of_text(seen.fill.wanted, "mL")
    total = wanted if wanted > cup.holds else total  # as it was ordered, not as its diluent's line would make it
    says = f"The fill is {show(total)}; the {cup.name} holds {show(cup.holds)}."
    return Said(says, "Take a larger cup, a stronger presentation, or ask for another fill.", cup.origin)


@rule(
    "fill-under-cup",
    Level.CAUTION,
    "Is the fill enough for the cup to work?",
    needs=("the fill", "the cup"),
    waiver=Waiver.PREPARER,
    over=the_way,
)
def fill_under_cup(seen: Seen) -> Said | None:
    """The fill against what the cup needs. Whole unit doses with nothing added are what their label means."""
    cup, total = seen.cup, _known_total(seen)
    if cup is None or total is None or total >= cup.needs or _as_supplied(seen):
        return None
    says = f"The fill is {show(total)}; the {cup.name} works from about {show(cup.needs)}."
    return Said(says, _may_be_made_up(seen, cup), cup.origin)


def _known_total(seen: Seen) -> Quantity | None:
    if seen.fill.trouble or seen.fill.questions:
        return None
    return Quantity.of_text(seen.fill.total, "mL")


def _may_be_made_up(seen: Seen, cup: Cup) -> str:
    if any(take.never_diluted for take in seen.takes):
        return "Ask the prescriber or the pharmacy: its label does not let it be made up to more."
    return f"Ask whether it may be made up to {ml(cup.needs.to('mL').value)}; the dose stays the same."


def _as_supplied(seen: Seen) -> bool:
    return not seen.fill.need and all(take.draw is None and take.first_dilution is None for take in seen.takes)


RULES = (fill_cannot_be_made, fill_over_cup, fill_under_cup)
