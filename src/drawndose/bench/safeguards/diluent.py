"""The diluent against the label: concentrate undiluted, a product that is never diluted, the wrong liquid."""

from fractions import Fraction

from drawndose.bench.compatibility import stopped
from drawndose.bench.draws import ml
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.order import FillRule
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import OneTake, Seen, each_take, the_way
from drawndose.bench.takes import Take
from drawndose.quantities import show
from drawndose.reference import Dilution, DilutionRule

LABEL = ("the label's dilution", "the fill")
LIQUID = ("the label's liquids", "the liquid ordered or on the bench")


@rule(
    "concentrate-undiluted",
    Level.STOP,
    "Is a concentrate diluted where its label wants it diluted?",
    needs=LABEL,
    waiver=Waiver.PRESCRIBER,
    over=each_take,
)
def concentrate_undiluted(one: OneTake) -> Said | None:
    """Nothing else in the cup with a product that is not given as it is."""
    take, fill = one.take, one.seen.fill
    wants = _must_be_diluted(one)
    if wants is None or fill.total != take.volume:
        return None
    says = f"{ml(take.volume)} of {take.in_hand.name} would go in undiluted; its label says: {wants.says}."
    return Said(says, "Ask the prescriber for a fill.", wants.origin)


@rule(
    "less-diluted-than-label",
    Level.STOP,
    "Is a concentrate made up to as much as its label says?",
    needs=LABEL,
    waiver=Waiver.PRESCRIBER,
    over=each_take,
)
def less_diluted_than_label(one: OneTake) -> Said | None:
    """Less fill than the label makes it up to: another product's liquid counts as it is. Cautioned when diluent is added."""
    take, fill = one.take, one.seen.fill
    wants = _must_be_diluted(one)
    least = _least(wants)
    if wants is None or least is None or not take.volume < fill.total < least:
        return None
    says = f"The cup holds {ml(fill.total)} with {ml(take.volume)} of {take.in_hand.name}; its label makes it up to {ml(least)}."
    if fill.added:
        return Said(says, "Ask whether the fill may be the label's.", wants.origin, Level.CAUTION)
    return Said(says, "Ask the prescriber for a fill.", wants.origin)


def _must_be_diluted(one: OneTake) -> Dilution | None:
    rule_, fill = one.take.in_hand.presentation.dilution, one.seen.fill
    if rule_ is None or rule_.undiluted or fill.questions or fill.trouble or one.take.first_dilution is not None:
        return None
    return rule_


def _least(wants: Dilution | None) -> Fraction | None:
    if wants is None or wants.volume is None or wants.rule is not DilutionRule.TO_TOTAL:
        return None
    return wants.volume.to("mL").value


@rule(
    "diluted-against-label",
    Level.STOP,
    "Is anything added to a product that its label never dilutes?",
    needs=LABEL,
    waiver=Waiver.PRESCRIBER,
    over=each_take,
)
def diluted_against_label(one: OneTake) -> Said | None:
    """What is never diluted is not diluted by another product's liquid either; a mixture that is stopped says so itself."""
    take, fill = one.take, one.seen.fill
    wants = take.in_hand.presentation.dilution
    if wants is None or not take.never_diluted:
        return None
    other = sum((mate.volume for mate in one.seen.takes if mate is not take and not stopped(take, mate)), Fraction(0))
    if not (fill.need or other):
        return None
    told = f"The order adds {ml(fill.need)} to" if fill.need else f"{ml(other)} of another product dilutes"
    says = f"{told} {take.in_hand.name}; its label says: {wants.says}."
    return Said(says, "Ask the prescriber; give it as its label says, by itself.", wants.origin)


@rule(
    "ready-to-use-diluted",
    Level.CAUTION,
    "Is a liquid added to what its label gives as it is?",
    needs=LABEL,
    waiver=Waiver.PREPARER,
    over=each_take,
)
def ready_to_use_diluted(one: OneTake) -> Said | None:
    """Ready to use, and the order adds to it: how a concentrate taken for it, or the reverse, shows. What another product's label
    adds is no such sign."""
    take, fill = one.take, one.seen.fill
    wants = take.in_hand.presentation.dilution
    if wants is None or wants.rule is not DilutionRule.NOT_NEEDED or not fill.need or fill.by != "order":
        return None
    says = f"The order adds {ml(fill.need)} to {take.in_hand.name}, whose label says: {wants.says}."
    return Said(says, "Make sure that this is the strength meant, and not the concentrate.", wants.origin)


@rule(
    "liquid-never",
    Level.STOP,
    "Does a liquid go in that the label forbids?",
    needs=LIQUID,
    waiver=Waiver.NOBODY,
    over=each_take,
)
def liquid_never(one: OneTake) -> Said | None:
    """The diluent, or a sodium chloride solution ordered as a drug, with a product that it precipitates."""
    take, liquid = one.take, _liquid(one.seen)
    made_up = take.in_hand.presentation.reconstitution
    if made_up is None or not made_up.never_with:
        return None
    allowed = ", ".join(made_up.diluents)
    if liquid and any(liquid == never or (_salty(liquid) and "chloride" in never) for never in made_up.never_with):
        says = f"{liquid} with {take.in_hand.name}: the label allows only {allowed}."
        return Said(says, f"Use {allowed}.", made_up.origin)
    other = _salt_as_drug(one.seen.takes)
    if other is not None and any("chloride" in never for never in made_up.never_with):
        says = (
            f"{ml(other.volume)} of {other.in_hand.name} with {ml(take.volume)} of {take.in_hand.name}: the label "
            f"allows only {allowed}."
        )
        return Said(says, "Give them apart, in two cups.", made_up.origin)
    return None


def _salt_as_drug(takes: tuple[Take, ...]) -> Take | None:
    return next((take for take in takes if take.in_hand.presentation.drug == "sodium-chloride"), None)


def _liquid(seen: Seen) -> str:
    return seen.fill.diluent or seen.order.diluent


def _salty(liquid: str) -> bool:
    return liquid == "saline" or "chloride" in liquid


@rule(
    "liquid-not-on-label",
    Level.CAUTION,
    "Is the liquid one that the label names?",
    needs=LIQUID,
    waiver=Waiver.PREPARER,
    over=each_take,
)
def liquid_not_on_label(one: OneTake) -> Said | None:
    """A liquid that is not forbidden, and not named either."""
    wants, liquid = one.take.in_hand.presentation.dilution, _liquid(one.seen)
    if not liquid or not one.seen.fill.need or wants is None or not wants.diluents or liquid in wants.diluents:
        return None
    says = f"{liquid} is ordered; for {one.take.in_hand.name} the label names {', '.join(wants.diluents)}."
    return Said(says, "Ask the prescriber or the pharmacy.", wants.origin)


@rule(
    "fill-by-label",
    Level.NOTE,
    "Does the order name a fill, or is it the label's?",
    needs=LABEL,
    waiver=Waiver.UNASKED,
    over=the_way,
)
def fill_by_label(seen: Seen) -> Said | None:
    """A fill that nobody ordered is the label's, and that is said."""
    fill = seen.fill
    if fill.by != "label" or fill.rule is not FillRule.TO_TOTAL or not fill.need:
        return None
    wants = next(
        found
        for take in seen.takes
        if (found := take.in_hand.presentation.dilution) is not None and found.rule is DilutionRule.TO_TOTAL
    )
    volume = show(wants.volume) if wants.volume is not None else ""
    says = f"The order names no fill; the label makes it up to {volume}, and so does this plan."
    return Said(says, "Read the label of the container in hand.", wants.origin)


RULES = (
    concentrate_undiluted,
    less_diluted_than_label,
    diluted_against_label,
    ready_to_use_diluted,
    liquid_never,
    liquid_not_on_label,
    fill_by_label,
)
