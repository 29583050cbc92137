"""What the numbers count: a salt turned into base, a limit of the order that acted, printed numbers that disagree."""

from collections.abc import Iterator
from typing import NamedTuple

from drawndose.bench.findings import HOUSE, Level, Waiver
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import OneDose, OneTake, Seen, each_dose, each_take
from drawndose.quantities import show, show_about
from drawndose.reference import Active, DilutionRule, How, Note, Origin


class OneNote(NamedTuple):
    """One note of a label in hand."""

    note: Note


def each_active(seen: Seen) -> Iterator[Active]:
    """Every active part of what is taken."""
    return (active for take in seen.takes for active in take.in_hand.presentation.actives)


def each_look_alike(seen: Seen) -> Iterator[OneNote]:
    """The first look-alike that is printed of each product."""
    return (OneNote(note) for take in seen.takes for note in take.in_hand.presentation.notes_on("look-alike")[:1])


@rule(
    "order-limit",
    Level.NOTE,
    "Did a minimum or maximum of the order act?",
    needs=("the dose per kg with its limits", "the weight in kg"),
    waiver=Waiver.UNASKED,
    over=each_dose,
)
def order_limit(one: OneDose) -> Said | None:
    """The dose is the order's limit, not the weight's."""
    limit = one.resolved.limit
    return Said(f"{limit[:1].upper()}{limit[1:]}.", "Check the weight.", HOUSE) if limit else None


@rule(
    "moiety-converted",
    Level.NOTE,
    "Do order and label count the same thing?",
    needs=("what the order counts", "what the label counts", "a stated ratio"),
    waiver=Waiver.UNASKED,
    over=each_dose,
)
def moiety_converted(one: OneDose) -> Said | None:
    """Salt turned into base, or back, by a published ratio."""
    ordered, counted = one.resolved.amount, one.counted
    if counted.by is None or ordered is None or counted.amount is None:
        return None
    says = (
        f"The order counts {ordered.of[0][0]}, the label {counted.amount.of[0][0]}: {show(ordered)} is "
        f"{show_about(counted.amount)}, by the published {show(counted.by.this)} for {show(counted.by.equals)}."
    )
    return Said(says, "Read on the label which one its strength counts.", counted.by.origin)


@rule(
    "label-disagrees",
    Level.NOTE,
    "Do the numbers of the label agree with each other?",
    needs=("the label's percent and its amount",),
    waiver=Waiver.UNASKED,
    over=each_active,
)
def label_disagrees(active: Active) -> Said | None:
    """Percent and amount that are not the same strength."""
    told = active.disagreement.rstrip(".")
    return Said(f"{told[:1].upper()}{told[1:]}.", "Use the amount in the container.", active.origin) if told else None


@rule(
    "look-alike",
    Level.NOTE,
    "Is there a product that looks like this one?",
    needs=("the label's look-alikes",),
    waiver=Waiver.UNASKED,
    over=each_look_alike,
)
def look_alike(one: OneNote) -> Said | None:
    """Another strength or product in the same clothes."""
    return Said(one.note.says, "Read the strength aloud.", one.note.origin)


@rule(
    "from-memory",
    Level.NOTE,
    "Does this plan rest on a value that nobody confirmed?",
    needs=("how surely each value was read",),
    waiver=Waiver.UNASKED,
    over=each_take,
)
def from_memory(one: OneTake) -> Said | None:
    """Values from memory that this plan rests on: the person is sent to the label."""
    take, presentation = one.take, one.take.in_hand.presentation
    used: list[tuple[str, Origin]] = [("fill size", take.in_hand.pack.origin)]
    wants = presentation.dilution
    asks = wants is not None and wants.rule in {DilutionRule.TO_TOTAL, DilutionRule.ADD}
    if wants is not None and asks and one.seen.fill.by == "label" and one.seen.fill.need:
        used.append(("dilution", wants.origin))
    if presentation.reconstitution is not None:
        used.append(("making up", presentation.reconstitution.origin))
    weak = [(what, origin) for what, origin in used if origin.how is How.MEMORY]
    if not weak:
        return None
    says = (
        f"{' and '.join(what for what, _ in weak).capitalize()} of {presentation.name}: from memory, not confirmed "
        "against a text."
    )
    return Said(says, "Read the label of the container in hand.", weak[0][1])


RULES = (order_limit, moiety_converted, label_disagrees, look_alike, from_memory)
