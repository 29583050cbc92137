"""The label of what was made: is there one, and does it say everything that it must for whoever gives it."""

from drawndose.bench.findings import Level, Waiver
from drawndose.bench.labels import TO_WRITE
from drawndose.bench.preparation import Preparation, the_preparation
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.reference import How, Origin

GOALS = Origin(source="tjc-npg-labelling-2026", at="NPG.14.03.01", how=How.SECONDARY)
ALWAYS = ("dose", "route", "started", "start giving by")
FOR_ANOTHER = ("person", "made by")


@rule(
    "label-missing",
    Level.STOP,
    "Is it labelled, unless its preparer gives it at once?",
    needs=("the label", "who gives it", "whether at once"),
    waiver=Waiver.NOBODY,
    over=the_preparation,
)
def label_missing(made: Preparation) -> Said | None:
    """At once: carried straight to the person, with no break, by the one who made it."""
    if made.label or made.gives_itself:
        return None
    who = "another person" if made.given_by not in {"", made.prepared_by} else "its preparer, not at once,"
    return Said(
        f"The cup carries no label, and {who} gives it.",
        "Label it now; an unlabelled one that is found is thrown away.",
        GOALS,
    )


@rule(
    "label-incomplete",
    Level.STOP,
    "Does the label say everything that it must?",
    needs=("every part of the label", "who gives it"),
    waiver=Waiver.NOBODY,
    over=the_preparation,
)
def label_incomplete(made: Preparation) -> Said | None:
    """Name, amount, total, diluent, route, when made and until when; for another giver also the person and the preparer."""
    if not made.label:
        return None
    wanted = [*ALWAYS, *(["diluted with"] if made.plan.fill is not None and made.plan.fill.added else [])]
    if made.given_by not in {"", made.prepared_by}:
        wanted += FOR_ANOTHER
    written = {line.name for line in made.label if line.text and TO_WRITE not in line.text}
    missing = [name for name in wanted if name not in written]
    if not missing:
        return None
    return Said(
        f"The label lacks {len(missing)} of {len(wanted)} parts: {', '.join(missing)}.",
        "Write them on the label.",
        GOALS,
    )


RULES = (label_missing, label_incomplete)
