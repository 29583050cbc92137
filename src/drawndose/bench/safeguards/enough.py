"""Is there enough in the container when nearly all of it is needed: what the needle keeps against the recommended excess."""

from fractions import Fraction

from drawndose.bench.draws import ml
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import OneTake, each_take
from drawndose.bench.takes import NEEDLED, Take
from drawndose.reference import Container, How, Origin, load

NEEDLE = Fraction(7, 100)
"""What the widest usual needle keeps with its hub, mL (18 G, study abstract, see the instruments file)."""
STUDY = Origin(source="study-dead-space-2018-limits", at="abstract, 18 G with hub", how=How.SECONDARY)


@rule(
    "needed-to-the-last-drop",
    Level.NOTE,
    "Will the line be reached, when the label's contents are needed to the last drop?",
    needs=("the label's contents", "the volume taken", "what a needle keeps"),
    waiver=Waiver.UNASKED,
    over=each_take,
)
def needed_to_the_last_drop(one: OneTake) -> Said | None:
    """What the needle keeps against what is left by the label."""
    take = one.take
    if take.in_hand.presentation.container not in NEEDLED or take.draw is None or take.left >= NEEDLE:
        return None
    opened = "1 container holds" if take.containers == 1 else f"{take.containers} containers hold"
    held = take.drawn_from_container + take.left
    more = excess_of(take)
    recommended = f"; each is recommended to hold about {ml(more)} more" if more is not None else ""
    says = (
        f"{opened} {ml(held)} by label and {ml(take.drawn_from_container)} is needed; a needle keeps up to {ml(NEEDLE)}"
        f"{recommended}."
    )
    return Said(
        says, "If the line is not reached, open one more; the dose counts from the line, not from what came out.", STUDY
    )


def excess_of(take: Take) -> Fraction | None:
    """The recommended excess of one container, mobile liquid, mL; None for a powder or a size that the table does not have."""
    if take.in_hand.presentation.container is Container.POWDER_VIAL or take.in_hand.left is not None:
        return None
    rows = {row.labelled: row.mobile for row in load().excess}
    return rows.get(take.in_hand.contents())


RULES = (needed_to_the_last_drop,)
