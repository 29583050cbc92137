"""The order of needle and syringe: the filter needle comes off before the drug leaves, and no needle stays on."""

from drawndose.bench.findings import Level, Waiver
from drawndose.bench.preparation import Needle, Preparation, the_preparation
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.takes import NEEDLED
from drawndose.reference import Container, How, Origin

GLASS = Origin(source="nursing-checklist-ampule", at="filter needle", how=How.SECONDARY)
ROUTE = Origin(source="wrong-route-two-adults", at="needle on a syringe for the cup", how=How.SECONDARY)


@rule(
    "filter-needle-order",
    Level.STOP,
    "Did the filter needle come off before the drug left the syringe?",
    needs=("what was done with the needle, in order", "the container"),
    waiver=Waiver.NOBODY,
    over=the_preparation,
)
def filter_needle_order(made: Preparation) -> Said | None:
    """Glass that the filter held is pushed out with the drug through the same filter."""
    glass = [take for take in made.measured if take.in_hand.presentation.container is Container.GLASS_AMPOULE]
    if not glass or Needle.EMPTIED not in made.needle or Needle.FILTER_ON not in made.needle:
        return None
    before = made.needle[: made.needle.index(Needle.EMPTIED)]
    if Needle.FILTER_OFF in before:
        return None
    says = f"{glass[0].in_hand.name}: the drug left the syringe with the filter needle on."
    return Said(says, "Throw it away and draw again: glass may be in the cup.", GLASS)


@rule(
    "needle-left-on",
    Level.STOP,
    "Is the needle off before the syringe is emptied into the cup?",
    needs=("what was done with the needle, in order",),
    waiver=Waiver.NOBODY,
    over=the_preparation,
)
def needle_left_on(made: Preparation) -> Said | None:
    """A needle on a syringe for the cup is how a dose reaches a vein, and a hand."""
    drawn = [take for take in made.measured if take.in_hand.presentation.container in NEEDLED]
    if not drawn or Needle.EMPTIED not in made.needle or Needle.FILTER_ON in made.needle:
        return None
    if Needle.NEEDLE_OFF in made.needle[: made.needle.index(Needle.EMPTIED)]:
        return None
    says = f"{drawn[0].in_hand.name}: the syringe was emptied with its needle on."
    return Said(says, "Needle to the sharps box; empty a syringe without a needle.", ROUTE)


RULES = (filter_needle_order, needle_left_on)
