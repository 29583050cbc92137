"""Giving: in time, to the right person, charted after, and nothing unaccounted for."""

from fractions import Fraction

from drawndose.bench.draws import ml
from drawndose.bench.findings import HOUSE, Level, Waiver
from drawndose.bench.limits import limit
from drawndose.bench.moments import is_over, told
from drawndose.bench.preparation import Preparation, the_preparation
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.reference import How, Origin

IDENTIFIERS = Origin(source="tjc-npg-correct-patient-2026", at="Goal 1", how=How.SECONDARY)
CONTROLLED = Origin(source="from-memory", at="controlled drugs", how=How.MEMORY)
LEAST = 2
"""Identifiers. No setting: the goal says two, and two are what the pages match."""


@rule(
    "limit-time-passed",
    Level.STOP,
    "Does giving start within the limit time?",
    needs=("when preparing began", "when giving starts, or the moment", "the limit"),
    waiver=Waiver.NOBODY,
    over=the_preparation,
)
def limit_time_passed(made: Preparation) -> Said | None:
    """Counted from the START of preparing to the start of giving."""
    until = limit(made.plan.takes, made.plan.policy, made.started)
    begins = made.given_at or made.now
    assert until.until is not None
    if is_over(begins, until.until):  # two times of one place compare by its clock, which shows an hour twice in autumn
        return None
    says = (
        f"Preparing began {told(made.started)}; giving was to start by {told(until.until)}, and it is {told(begins)}."
    )
    return Said(says, "Throw it away and make the dose anew.", until.within_origin)


@rule(
    "identifiers-not-matched",
    Level.STOP,
    "Were two identifiers of the person matched?",
    needs=("how many identifiers matched", "whether it is given"),
    waiver=Waiver.NOBODY,
    over=the_preparation,
)
def identifiers_not_matched(made: Preparation) -> Said | None:
    """Two, of the person; a room or a bed is none."""
    if made.given_at is None or made.identifiers >= LEAST:
        return None
    says = f"{made.identifiers} of the person's identifiers matched; {LEAST} are needed, and room or bed is none."
    return Said(says, "Match two before giving.", IDENTIFIERS)


@rule(
    "charted-before-giving",
    Level.STOP,
    "Was it charted after it was given?",
    needs=("when it was charted", "when it was given"),
    waiver=Waiver.NOBODY,
    over=the_preparation,
)
def charted_before_giving(made: Preparation) -> Said | None:
    """Never before."""
    if made.charted_at is None:
        return None
    if made.given_at is not None and is_over(made.given_at, made.charted_at):
        return None
    given = f"it was given {told(made.given_at)}" if made.given_at is not None else "it has not been given"
    return Said(f"Charted {told(made.charted_at)}, and {given}.", "Chart what was done, when it is done.", HOUSE)


@rule(
    "waste-does-not-add-up",
    Level.STOP,
    "Is prepared what was given, wasted and left?",
    needs=("what was prepared", "given", "wasted", "left"),
    waiver=Waiver.PREPARER,
    over=the_preparation,
)
def waste_does_not_add_up(made: Preparation) -> Said | None:
    """Exact, to the last drop that was measured. A difference is written down with its reason; waste of a controlled drug has a rule."""
    if made.given is None or made.wasted is None or made.left is None or made.plan.fill is None:
        return None
    prepared, sum_ = made.plan.fill.total, made.given + made.wasted + made.left
    if prepared == sum_:
        return None
    says = (
        f"{ml(prepared)} was prepared; {ml(made.given)} given, {ml(made.wasted)} wasted and {ml(made.left)} left make "
        f"{ml(sum_)}."
    )
    return Said(says, "Enter what is missing, or the reason.", HOUSE)


@rule(
    "waste-witness",
    Level.STOP,
    "Was the waste of a controlled drug witnessed?",
    needs=("the facility's list of controlled drugs", "what was wasted", "the witness"),
    waiver=Waiver.NOBODY,
    over=the_preparation,
)
def waste_witness(made: Preparation) -> Said | None:
    """Two people, both named."""
    drugs = [take.in_hand.presentation.drug for take in made.plan.takes]
    controlled = [drug for drug in drugs if drug in made.plan.policy.controlled]
    wasted = made.wasted or Fraction(0)
    if not controlled or not wasted or made.witness not in {"", made.prepared_by, made.given_by}:
        return None
    who = "nobody else saw it" if not made.witness else f"{made.witness} handled it too"
    return Said(
        f"{ml(wasted)} of {controlled[0]} was wasted, and {who}.", "Have another person see it and sign.", CONTROLLED
    )


RULES = (limit_time_passed, identifiers_not_matched, charted_before_giving, waste_does_not_add_up, waste_witness)
