"""More than one product in a cup: what is known of the mixture."""

from drawndose.bench.findings import Level, Waiver
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import OneTake, each_take


@rule(
    "mixed-in-one-cup",
    Level.CAUTION,
    "Does the label speak of mixing?",
    needs=("the label's notes on mixing",),
    waiver=Waiver.PREPARER,
    over=each_take,
)
def mixed_in_one_cup(one: OneTake) -> Said | None:
    """Of each product every note that speaks against mixing; where there is none, its first note."""
    count = len(one.seen.takes)
    if count < 2:
        return None
    presentation = one.take.in_hand.presentation
    notes = presentation.notes_on("mixing")
    shown = tuple(note for note in notes if _speaks_against(note.says)) or notes[:1]
    told = " ".join(note.says for note in shown) or "nothing on mixing was read."
    says = f"{count} products share one cup. Of {one.take.in_hand.name}: {told}"
    do = "Mix only what your pharmacy or a current source holds compatible; use it at once."
    return Said(says, do, shown[0].origin if shown else presentation.label.origin)


def _speaks_against(says: str) -> bool:
    return any(word in says.lower() for word in ("not mix", "incompatible", "not be mixed", "separately"))


RULES = (mixed_in_one_cup,)
