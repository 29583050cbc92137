"""What the label says of this use: off-label by nebulizer, its own device only."""

from drawndose.bench.draws import ml
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import OneTake, each_take
from drawndose.reference import ByNebulizer

LABEL = ("the label's uses",)


@rule(
    "off-label",
    Level.CAUTION,
    "Is the product labelled for a nebulizer?",
    needs=LABEL,
    waiver=Waiver.PREPARER,
    over=each_take,
)
def off_label(one: OneTake) -> Said | None:
    """Not labelled for this use."""
    presentation = one.take.in_hand.presentation
    if presentation.by_nebulizer is not ByNebulizer.OFF_LABEL:
        return None
    says = f"{presentation.name} is not labelled for a nebulizer ({presentation.label.says})."
    return Said(says, "Go on only where policy and the prescriber provide for it.", presentation.label.origin)


@rule(
    "own-device",
    Level.CAUTION,
    "Is the product bound to its own device?",
    needs=LABEL,
    waiver=Waiver.PREPARER,
    over=each_take,
)
def own_device(one: OneTake) -> Said | None:
    """Labelled with its own device only."""
    presentation = one.take.in_hand.presentation
    if presentation.by_nebulizer is not ByNebulizer.OWN_DEVICE:
        return None
    says = f"{presentation.name} is labelled with its own device only ({presentation.label.says})."
    return Said(says, "Use the device that its label names.", presentation.label.origin)


@rule(
    "own-device-part",
    Level.STOP,
    "Does its own device get whole containers?",
    needs=LABEL,
    waiver=Waiver.PRESCRIBER,
    over=each_take,
)
def own_device_part(one: OneTake) -> Said | None:
    """Its own device takes whole containers, and an order for it may count what the device delivers, not what it holds."""
    take, presentation = one.take, one.take.in_hand.presentation
    whole = take.in_hand.contents()
    if presentation.by_nebulizer is not ByNebulizer.OWN_DEVICE or (take.volume / whole).denominator == 1:
        return None
    says = (
        f"{ml(take.volume)} is not a whole container of {ml(whole)} of {take.in_hand.name}; its own device takes whole "
        "ones, and its dose may count what the device delivers."
    )
    do = "Ask the prescriber what the dose counts; fill the device as its label says."
    return Said(says, do, presentation.label.origin)


RULES = (off_label, own_device, own_device_part)
