"""Is there enough in the container: what needle and nozzle keep against what is left by the label and the recommended excess."""

from fractions import Fraction

from drawndose.bench.draws import ml
from drawndose.bench.entries import entries, measured_out, needle_case
from drawndose.bench.findings import HOUSE, Level, Waiver
from drawndose.bench.policy import FilterNeedle
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import OneTake, Seen, each_take, the_way
from drawndose.reference import Container, How, Origin

STUDY = Origin(
    source="study-dead-space-2018-limits",
    at="abstract, needles with hub, and limits of the standard",
    how=How.SECONDARY,
)
GLASS = Origin(
    source="nursing-checklist-ampule", at="filter needle or filter straw for a glass ampoule", how=How.SECONDARY
)


@rule(
    "needed-to-the-last-drop",
    Level.CAUTION,
    "Will the line be reached, when the label's contents are needed to the last drop?",
    needs=("the label's contents", "the volume taken", "what needle and nozzle keep"),
    waiver=Waiver.PREPARER,
    over=each_take,
)
def needed_to_the_last_drop(one: OneTake) -> Said | None:
    """What stays in needle and nozzle, fill by fill, against what is left; a note where the recommended excess covers it."""
    take = one.take
    case = needle_case(take, one.seen.kept.needles)
    if case is None or take.left >= case.lost:
        return None
    opened = "1 container holds" if take.containers == 1 else f"{take.containers} containers hold"
    held = take.drawn_from_container + take.left
    more = one.seen.kept.excess_of(take.in_hand)
    recommended = f"; each is recommended to hold about {ml(more)} more" if more is not None else ""
    times = len(entries(take))
    says = (
        f"{opened} {ml(held)} by label and {ml(take.drawn_from_container)} is needed, in {times} "
        f"{'entry' if times == 1 else 'entries'}; needle and nozzle keep up to {ml(case.lost)}{recommended}."
    )
    do = "If the line is not reached, open one more; the dose counts from the line, not from what came out."
    covered = take.left + (more or Fraction(0)) * take.containers >= case.lost
    return Said(says, do, STUDY, Level.NOTE if covered else None)


@rule(
    "last-of-the-bottle",
    Level.CAUTION,
    "Can what is left in the bottle still be drawn without air?",
    needs=("what is left in the bottle", "the volume taken"),
    waiver=Waiver.PREPARER,
    over=each_take,
)
def last_of_the_bottle(one: OneTake) -> Said | None:
    """A dropper or syringe whose tip comes out of the liquid draws air, and the last drops cling: less stays than is drawn."""
    take = one.take
    drawn, rest = take.drawn_from_container, one.seen.policy.bottle_rest.to("mL").value
    bottle = take.in_hand.presentation.container in {Container.DROPPER_BOTTLE, Container.BULK}
    if not bottle or measured_out(take) is None or take.left >= min(drawn, rest):
        return None
    held = take.in_hand.contents() * take.containers
    says = (
        f"{ml(drawn)} is drawn out of the {ml(held)} said to be in {take.in_hand.name}; {ml(take.left)} stays. So near the end "
        "the tip draws air and drops cling; how much is not published."
    )
    do = "Tilt the bottle and keep the tip under. Where the mark is not reached without air, throw it away and open a new one."
    return Said(says, do, HOUSE)


@rule(
    "filter-needle-missing",
    Level.STOP,
    "Is a filter at hand where glass may be in the liquid?",
    needs=("the container kind", "the needles on the bench"),
    waiver=Waiver.NOBODY,
    over=each_take,
)
def filter_needle_missing(one: OneTake) -> Said | None:
    """Needles were named, and none of them filters: a caution, unless the facility has made it a stop, which a filter alone lifts."""
    needles, name = one.seen.kept.needles, one.take.in_hand.name
    glass = one.take.in_hand.presentation.container is Container.GLASS_AMPOULE
    if not glass or not needles or any(needle.filters for needle in needles):
        return None
    says = f"{name} is glass, and 0 of the {len(needles)} kinds of needle on this bench filters."
    do = "Fetch a filter needle or a filter straw before you snap the neck."
    if one.seen.policy.filter_needle is FilterNeedle.STOP:
        return Said(says, do, GLASS)
    return Said(says, do, GLASS, Level.CAUTION, Waiver.PREPARER)


@rule(
    "squeezed-unit",
    Level.NOTE,
    "What does a plastic unit really give when it is squeezed empty?",
    needs=("its nominal volume", "its usual excess", "what stays behind"),
    waiver=Waiver.UNASKED,
    over=each_take,
)
def squeezed_unit(one: OneTake) -> Said | None:
    """What the department weighed, against the nominal volume; the label's amount stays the dose."""
    found = one.seen.kept.squeezed(one.take.in_hand)
    if found is None or found.gives is None or not one.take.whole:
        return None
    nominal = one.take.in_hand.contents()
    says = f"Squeezed empty, one unit of {ml(nominal)} gives about {ml(found.gives)} as it was weighed here."
    return Said(says, "Nothing: the label's amount counts as the dose.", found.origin)


@rule(
    "squeezed-diluent",
    Level.NOTE,
    "What does the cup hold when units of diluent are squeezed empty into it?",
    needs=("the nominal volume of the diluent's units", "their usual excess", "what stays behind"),
    waiver=Waiver.UNASKED,
    over=the_way,
)
def squeezed_diluent(seen: Seen) -> Said | None:
    """The fill by nominal contents against the fill as it was weighed; the dose does not change."""
    fill = seen.fill
    found = seen.kept.squeezed(fill.in_hand) if fill.in_hand is not None and fill.whole else None
    if found is None or found.gives is None or found.nominal is None:
        return None
    really = fill.total + fill.whole * (found.gives - found.nominal)
    says = f"By nominal contents the cup holds {ml(fill.total)}; as the units were weighed here, about {ml(really)}."
    return Said(says, "Nothing, unless the fill itself matters: the dose does not change.", HOUSE)


RULES = (needed_to_the_last_drop, last_of_the_bottle, filter_needle_missing, squeezed_unit, squeezed_diluent)
