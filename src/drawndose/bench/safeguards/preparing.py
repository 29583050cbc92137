"""May this be prepared here, and by one person: products, entries, tips, hazardous drugs, a second reader, the diluent."""

from fractions import Fraction

from drawndose.bench.findings import Level, Waiver
from drawndose.bench.in_hand import InHand
from drawndose.bench.policy import OralTip
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import OneTake, Seen, each_take, the_way
from drawndose.bench.second_reader import reasons
from drawndose.bench.takes import NEEDLED
from drawndose.quantities import show_number
from drawndose.reference import Container, How, Origin, Presentation, load

CHAPTER = Origin(source="usp-797-immediate-use", at="immediate use", how=How.SECONDARY)
ORAL_TIP = Origin(source="ismp-nebulized-2018", at="an oral tip, taken for by mouth", how=How.SECONDARY)
IV_TIP = Origin(source="wrong-route-two-adults", at="nebulizer solution given into a vein", how=How.SECONDARY)
DOUBLE = Origin(source="ismp-double-checks", at="judicious use", how=How.READ)
NIOSH = Origin(source="niosh-hazardous-drugs-2024", at="inhaled drugs", how=How.MEMORY)
SINGLE = Origin(source="saline-label-3-ml", at="Directions", how=How.READ)
TWICE = 2
"""The least factor between look-alikes that is told. No setting: it is a note, which asks for nothing."""


@rule(
    "too-many-products",
    Level.STOP,
    "Are there few enough sterile products for a preparation outside a hood?",
    needs=("the products that go into the cup",),
    waiver=Waiver.NOBODY,
    over=the_way,
)
def too_many_products(seen: Seen) -> Said | None:
    """Different products, the diluent among them."""
    products = {one.presentation.id for one in _opened(seen)}
    if len(products) <= seen.policy.most_products:
        return None
    says = f"{len(products)} different products would go into one cup; outside a hood it is at most {seen.policy.most_products}."
    return Said(says, "Give them apart, or have the pharmacy make it.", CHAPTER)


def _opened(seen: Seen) -> list[InHand]:
    diluent = [seen.fill.in_hand] if seen.fill.in_hand is not None else []
    return [take.in_hand for take in seen.takes] + diluent


@rule(
    "too-many-entries",
    Level.CAUTION,
    "Is one container entered few enough times?",
    needs=("how often one container is entered",),
    waiver=Waiver.PREPARER,
    over=each_take,
)
def too_many_entries(one: OneTake) -> Said | None:
    """Fills that come out of one stoppered vial."""
    draw, most = one.take.draw, one.seen.policy.most_entries
    if (
        draw is None
        or one.take.in_hand.presentation.container is not Container.STOPPERED_VIAL
        or one.take.containers > 1
    ):
        return None
    entries = len(draw.fills)
    if entries <= most:
        return None
    says = f"{entries} fills out of one {one.take.in_hand.name}; it is entered at most {most} times outside a hood."
    return Said(says, "Take a larger syringe.", CHAPTER)


@rule(
    "tip-fits-a-vein-line",
    Level.NOTE,
    "Does the syringe fit a line into a vein?",
    needs=("the syringe's tip", "the container"),
    waiver=Waiver.UNASKED,
    over=each_take,
)
def tip_fits_a_vein_line(one: OneTake) -> Said | None:
    """A luer tip is cautioned where none is needed; a needle needs one, and then it is noted."""
    draw = one.take.draw
    if draw is None or draw.instrument.tip not in {"luer", "slip"}:
        return None
    needed = one.take.in_hand.presentation.container in NEEDLED
    says = f"{draw.instrument.name} fits a line into a vein" + (": the needle needs that tip." if needed else ".")
    do = "Label it by route, empty it into the cup at once; never lay it beside intravenous supplies."
    return Said(says, do, IV_TIP)


@rule(
    "tip-for-the-mouth",
    Level.CAUTION,
    "Might an oral tip send the dose by mouth?",
    needs=("the syringe's tip", "the facility's setting"),
    waiver=Waiver.PREPARER,
    over=each_take,
)
def tip_for_the_mouth(one: OneTake) -> Said | None:
    """Only where the facility has chosen it; elsewhere the printed route answers it."""
    draw = one.take.draw
    if one.seen.policy.oral_tip is OralTip.ROUTE or draw is None or draw.instrument.tip != "oral":
        return None
    says = f"{draw.instrument.name} has an oral tip, and the dose is breathed in."
    return Said(says, "Print the route on the syringe's label, and empty it into the cup at once.", ORAL_TIP)


@rule(
    "second-check-needed",
    Level.CAUTION,
    "Does a second person read this one?",
    needs=("the facility's list", "the order", "the container"),
    waiver=Waiver.SECOND,
    over=the_way,
)
def second_check_needed(seen: Seen) -> Said | None:
    """What the facility has selected: the second person works apart, from the order, without the first answer."""
    why = reasons(seen.order, seen.takes, seen.policy)
    if not why:
        return None
    says = f"A second person reads this one: {', '.join(why)}."
    return Said(says, "Have it read apart, from the order, without telling your own answer.", DOUBLE)


@rule(
    "hazardous-at-bedside",
    Level.STOP,
    "Is a hazardous drug prepared at the bedside?",
    needs=("the facility's list of hazardous drugs", "the place"),
    waiver=Waiver.NOBODY,
    over=each_take,
)
def hazardous_at_bedside(one: OneTake) -> Said | None:
    """Drugs that harm whoever prepares them."""
    drug, policy = one.take.in_hand.presentation.drug, one.seen.policy
    if drug not in policy.hazardous or policy.hazardous_here:
        return None
    says = f"{drug} is on the list of hazardous drugs, and this place is not set up for them."
    return Said(says, "Send it to the pharmacy: precautions for hazardous drugs.", NIOSH)


@rule(
    "diluent-preserved",
    Level.STOP,
    "Is the diluent free of preservative?",
    needs=("the diluent in hand",),
    waiver=Waiver.NOBODY,
    over=the_way,
)
def diluent_preserved(seen: Seen) -> Said | None:
    """A bacteriostatic diluent is for injection, not for the lung."""
    diluent = seen.fill.in_hand
    kept = [one for one in diluent.presentation.carries if one.role == "preservative"] if diluent is not None else []
    if diluent is None or not kept:
        return None
    return Said(
        f"{diluent.name} carries {kept[0].substance}.",
        "Take a single-dose diluent without preservative.",
        kept[0].origin,
    )


@rule(
    "diluent-for-many",
    Level.STOP,
    "Is the diluent out of a single-dose container?",
    needs=("the diluent in hand",),
    waiver=Waiver.NOBODY,
    over=the_way,
)
def diluent_for_many(seen: Seen) -> Said | None:
    """Never a bag or bottle as a shared supply. (The rest of an opened single dose is not taken for a diluent at all.)"""
    diluent = seen.fill.in_hand
    if diluent is None or not diluent.presentation.multi_dose:
        return None
    return Said(f"The diluent {diluent.name} is a multi-dose container.", "Take a fresh single-dose one.", SINGLE)


@rule(
    "look-alike-strength",
    Level.NOTE,
    "Does the same drug come in another strength in the same kind of container?",
    needs=("the catalogue",),
    waiver=Waiver.UNASKED,
    over=each_take,
)
def look_alike_strength(one: OneTake) -> Said | None:
    """The other strength of the same clothes that is furthest away, where the label's notes name none."""
    mine = one.take.in_hand.presentation
    if mine.notes_on("look-alike"):
        return None
    others = [(_times(mine, other), other) for other in load().presentations_of(mine.drug) if _alike(mine, other)]
    factor, other = max(others, key=lambda pair: pair[0], default=(Fraction(1), mine))
    if factor < TWICE:
        return None
    more = "stronger" if _per_ml(other) > _per_ml(mine) else "weaker"
    says = f"{other.name} looks like it and is {factor_words(factor)} times {more} per mL."
    return Said(says, "Read the strength aloud.", other.actives[0].origin)


def _alike(mine: Presentation, other: Presentation) -> bool:
    same = mine.container is other.container and [one.moiety for one in mine.actives] == [
        one.moiety for one in other.actives
    ]
    return same and mine.id != other.id and mine.container is not Container.POWDER_VIAL


def _per_ml(presentation: Presentation) -> Fraction:
    return presentation.actives[0].strength.ratio.base


def _times(mine: Presentation, other: Presentation) -> Fraction:
    if mine.actives[0].strength.ratio.dimension != other.actives[0].strength.ratio.dimension:
        return Fraction(1)
    first, second = _per_ml(mine), _per_ml(other)
    return max(first / second, second / first)


def factor_words(factor: Fraction) -> str:
    """6, or 2.5; "about 3" where the factor is no short decimal."""
    tenth = factor * 10
    return show_number(factor) if tenth.denominator == 1 else f"about {show_number(Fraction(round(tenth), 10))}"


RULES = (
    too_many_products,
    too_many_entries,
    tip_fits_a_vein_line,
    tip_for_the_mouth,
    second_check_needed,
    hazardous_at_bedside,
    diluent_preserved,
    diluent_for_many,
    look_alike_strength,
)
