"""How sure the measured dose is: error against the dose, a line beside the volume, a first dilution, many containers."""

from collections.abc import Iterator

from drawndose.bench.draws import ml
from drawndose.bench.findings import HOUSE, Finding, Level
from drawndose.bench.safeguards.seen import Seen
from drawndose.bench.takes import Take, percent
from drawndose.quantities import show

MANY = 3
"""More containers than this for one dose are cautioned: it is how a tenfold order shows at the bench. House setting."""


def check(seen: Seen) -> Iterator[Finding]:
    """Can the hand measure this dose, and does the number of containers make sense?"""
    for take in seen.takes:
        yield from _error(take, seen)
        yield from _line(take)
        yield from _part_of_powder(take)
        yield from _many(take)
    yield from _diluent_line(seen)


def _error(take: Take, seen: Seen) -> Iterator[Finding]:
    if take.first_dilution is not None:
        yield Finding(
            rule="first-dilution",
            level=Level.CAUTION,
            says=f"{ml(take.first_dilution.part.asked)} of a dilution made here carries the dose; the three measured "
            f"volumes together may put it off by {percent(take.risk)}.",
            do="Ask the pharmacy to supply it, or have a second person check all three volumes.",
            origin=HOUSE,
        )
    elif take.draw is not None and take.risk > seen.policy.caution_above:
        yield Finding(
            rule="measured-too-small",
            level=Level.CAUTION,
            says=f"{ml(take.draw.volume)} with {take.draw.instrument.name} may be off by {percent(take.risk)} of the dose; "
            f"the setting is {percent(seen.policy.caution_above)}.",
            do="Take a finer instrument or a weaker presentation.",
            origin=take.draw.instrument.tolerance.origin,
        )


def _line(take: Take) -> Iterator[Finding]:
    if take.draw is not None and take.draw.volume != take.draw.asked:
        more = "more" if take.draw.deviation > 0 else "less"
        yield Finding(
            rule="line-beside-volume",
            level=Level.CAUTION,
            says=f"The dose needs {ml(take.draw.asked)}; the accepted line is {ml(take.draw.volume)}, "
            f"{percent(take.draw.deviation)} {more}.",
            do="Use an instrument that has the line, or have the changed dose agreed.",
            origin=take.draw.instrument.origin,
        )


def _part_of_powder(take: Take) -> Iterator[Finding]:
    made_up = take.in_hand.presentation.reconstitution
    if made_up is not None and take.draw is not None:
        yield Finding(
            rule="part-of-powder",
            level=Level.CAUTION,
            says=f"{ml(take.draw.volume)} is a part of {ml(take.in_hand.contents())} made up here. What the "
            f"{show(made_up.add)} of liquid are off by changes the dose too, and is not in the {percent(take.risk)} of this "
            "plan.",
            do="Measure the liquid as carefully as the dose, or have the pharmacy make it.",
            origin=made_up.origin,
        )


def _many(take: Take) -> Iterator[Finding]:
    if take.containers > MANY:
        yield Finding(
            rule="many-containers",
            level=Level.CAUTION,
            says=f"One dose opens {take.containers} of {take.in_hand.name}.",
            do="Read the order again: so many containers for one dose is how a factor of ten shows.",
            origin=HOUSE,
        )


def _diluent_line(seen: Seen) -> Iterator[Finding]:
    drawn = seen.fill.drawn
    if drawn is not None and drawn.volume != drawn.asked:
        off = abs(seen.fill.total - seen.fill.wanted) / seen.fill.wanted
        yield Finding(
            rule="diluent-line",
            level=Level.CAUTION if off > seen.policy.offer_within else Level.NOTE,
            says=f"The diluent needs {ml(drawn.asked)} and is measured as {ml(drawn.volume)}: the cup then holds "
            f"{ml(seen.fill.total)} for {ml(seen.fill.wanted)}. The dose does not change.",
            do="Nothing, unless the fill itself matters.",
            origin=drawn.instrument.origin,
        )
