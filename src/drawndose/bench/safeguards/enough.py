"""Is there enough in the container when nearly all of it is needed: what the needle keeps against the recommended excess."""

from collections.abc import Iterator
from fractions import Fraction

from drawndose.bench.draws import ml
from drawndose.bench.findings import Finding, Level
from drawndose.bench.safeguards.seen import Seen
from drawndose.bench.takes import NEEDLED, Take
from drawndose.reference import Container, How, Origin, load

NEEDLE = Fraction(7, 100)
"""What the widest usual needle keeps with its hub, mL (18 G, study abstract, see the instruments file)."""
STUDY = Origin(source="study-dead-space-2018-limits", at="abstract, 18 G with hub", how=How.SECONDARY)


def check(seen: Seen) -> Iterator[Finding]:
    """Will the line be reached, when the label's contents are needed to the last drop?"""
    for take in seen.takes:
        if take.in_hand.presentation.container in NEEDLED and take.draw is not None and take.left < NEEDLE:
            yield _note(take)


def _note(take: Take) -> Finding:
    opened = "1 container holds" if take.containers == 1 else f"{take.containers} containers hold"
    held = take.drawn_from_container + take.left
    more = excess_of(take)
    recommended = f"; each is recommended to hold about {ml(more)} more" if more is not None else ""
    return Finding(
        rule="needed-to-the-last-drop",
        level=Level.NOTE,
        says=f"{opened} {ml(held)} by label and {ml(take.drawn_from_container)} is needed; a needle keeps up to {ml(NEEDLE)}"
        f"{recommended}.",
        do="If the line is not reached, open one more; the dose counts from the line, not from what came out.",
        origin=STUDY,
    )


def excess_of(take: Take) -> Fraction | None:
    """The recommended excess of one container, mobile liquid, mL; None for a powder or a size that the table does not have."""
    if take.in_hand.presentation.container is Container.POWDER_VIAL or take.in_hand.left is not None:
        return None
    rows = {row.labelled: row.mobile for row in load().excess}
    return rows.get(take.in_hand.contents())
