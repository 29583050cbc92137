"""The fill against the cup: too much for it to hold, too little for it to work, more drug than fill."""

from collections.abc import Iterator

from drawndose.bench.draws import ml
from drawndose.bench.findings import HOUSE, Finding, Level
from drawndose.bench.safeguards.seen import Seen
from drawndose.quantities import Quantity, show
from drawndose.reference import Cup


def check(seen: Seen) -> Iterator[Finding]:
    """Does the fill fit the cup, and is it enough for the cup to work?"""
    if seen.fill.trouble:
        yield Finding(
            rule="fill-cannot-be-made",
            level=Level.STOP,
            says=f"{seen.fill.trouble[:1].upper()}{seen.fill.trouble[1:]}.",
            do="Ask for another fill, or put what is missing on the bench.",
            origin=HOUSE,
        )
    if seen.cup is None or seen.fill.trouble or seen.fill.questions:
        return
    total = Quantity.of_text(seen.fill.total, "mL")
    if total > seen.cup.holds:
        yield Finding(
            rule="fill-over-cup",
            level=Level.STOP,
            says=f"The fill is {show(total)}; the {seen.cup.name} holds {show(seen.cup.holds)}.",
            do="Take a larger cup, a stronger presentation, or ask for another fill.",
            origin=seen.cup.origin,
        )
    elif total < seen.cup.needs and not _as_supplied(seen):
        yield Finding(
            rule="fill-under-cup",
            level=Level.CAUTION,
            says=f"The fill is {show(total)}; the {seen.cup.name} works from about {show(seen.cup.needs)}.",
            do=_may_be_made_up(seen, seen.cup),
            origin=seen.cup.origin,
        )


def _may_be_made_up(seen: Seen, cup: Cup) -> str:
    if any(take.never_diluted for take in seen.takes):
        return "Ask the prescriber or the pharmacy: its label does not let it be made up to more."
    return f"Ask whether it may be made up to {ml(cup.needs.to('mL').value)}; the dose stays the same."


def _as_supplied(seen: Seen) -> bool:
    """Whole unit doses with nothing added are the fill that their label means; nobody is cautioned for that."""
    return not seen.fill.need and all(take.draw is None and take.first_dilution is None for take in seen.takes)
