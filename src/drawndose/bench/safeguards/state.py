"""Is the container fit for this person: what an eye sees, what it touched, where it was, whose it is."""

from drawndose.bench.condition import Sight
from drawndose.bench.findings import HOUSE, Level, Waiver
from drawndose.bench.safeguards.at_hand import AtHand, the_container
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.reference import Container, How, Origin

INTEGRITY = Origin(source="tjc-multi-dose-relabelling", at="sterility in doubt", how=How.SECONDARY)
TREATMENT_AREA = Origin(
    source="cdc-injection-safety-checklist", at="multi-dose vials, treatment area", how=How.SECONDARY
)
THROW_AWAY = "Throw it away and take another."


@rule(
    "visibly-faulty",
    Level.STOP,
    "Is anything wrong to be seen?",
    needs=("what an eye sees",),
    waiver=Waiver.NOBODY,
    over=the_container,
)
def visibly_faulty(at_hand: AtHand) -> Said | None:
    """Any fault, whatever the date says. A change of colour that the label allows is cautioned, with the label's words."""
    seen = at_hand.condition.seen
    if not seen:
        return None
    told = " and ".join(one.value for one in seen)
    presentation = at_hand.presentation
    keep = presentation.notes_on("keep if")
    if keep and seen == (Sight.DISCOLOURED,):
        return Said(
            f"{at_hand.name}: {told}. Its label: {keep[0].says}",
            "Compare with the label; in doubt take another.",
            keep[0].origin,
            Level.CAUTION,
        )
    discard = presentation.notes_on("discard if")
    says = f"{at_hand.name}: {told}." + (f" Its label: {discard[0].says}" if discard else "")
    return Said(says, THROW_AWAY, discard[0].origin if discard else INTEGRITY)


@rule(
    "touched-or-returned",
    Level.STOP,
    "Did the dropper, tip or stopper touch anything, or liquid go back in?",
    needs=("what it touched",),
    waiver=Waiver.NOBODY,
    over=the_container,
)
def touched_or_returned(at_hand: AtHand) -> Said | None:
    """Contaminated: no date helps."""
    if not at_hand.condition.touched:
        return None
    return Said(
        f"{at_hand.name} was touched where it must stay clean, or liquid went back into it.", THROW_AWAY, INTEGRITY
    )


@rule(
    "another-persons",
    Level.STOP,
    "Does it belong to the person who gets it?",
    needs=("whose it is", "whom it is for"),
    waiver=Waiver.NOBODY,
    over=the_container,
)
def another_persons(at_hand: AtHand) -> Said | None:
    """An opened multi-dose container is one person's; the identifiers are compared as they were given."""
    owner, person = at_hand.condition.owner, at_hand.condition.person
    if not owner or not person or owner == person:
        return None
    return Said(
        f"{at_hand.name} belongs to {owner}; this dose is for {person}.",
        "Take that person's own, or open a new one.",
        TREATMENT_AREA,
    )


@rule(
    "bedside-of-nobody",
    Level.STOP,
    "Was it at a bedside without belonging to that person?",
    needs=("where it was", "whose it is"),
    waiver=Waiver.NOBODY,
    over=the_container,
)
def bedside_of_nobody(at_hand: AtHand) -> Said | None:
    """Once in an immediate treatment area it is that person's alone and does not go back to shared stock."""
    if not at_hand.condition.bedside or at_hand.condition.owner or not at_hand.presentation.multi_dose:
        return None
    says = f"{at_hand.name} was in an immediate patient treatment area and carries no person's name."
    return Said(says, THROW_AWAY, TREATMENT_AREA)


@rule(
    "owner-not-said",
    Level.CAUTION,
    "Whose is an opened bottle?",
    needs=("whether it was open before", "whose it is"),
    waiver=Waiver.PREPARER,
    over=the_container,
)
def owner_not_said(at_hand: AtHand) -> Said | None:
    """One person for each dropper bottle, unless the facility has written otherwise: the lesson of published outbreaks."""
    condition = at_hand.condition
    if at_hand.presentation.container is not Container.DROPPER_BOTTLE or at_hand.policy.shared_bottles:
        return None
    if not condition.open_before or condition.undated or condition.owner or condition.bedside:
        return None
    return Said(
        f"{at_hand.name} is open, and whose it is was not said.",
        "Enter whose it is, or open a new one for this person.",
        HOUSE,
    )


RULES = (visibly_faulty, touched_or_returned, another_persons, bedside_of_nobody, owner_not_said)
