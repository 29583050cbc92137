"""What was read against the plan, and by the second reader: a reading beside the plan, readings that differ, the same person."""

from fractions import Fraction

from drawndose.bench.draws import ml
from drawndose.bench.findings import HOUSE, Level, Waiver
from drawndose.bench.preparation import Preparation, the_preparation
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.takes import Take, percent
from drawndose.quantities import show_number
from drawndose.reference import How, Origin

DOUBLE = Origin(source="ismp-double-checks", at="independent", how=How.SECONDARY)
TENFOLDS = (1000, 100, 10)


@rule(
    "reading-beside-plan",
    Level.STOP,
    "Was the planned volume drawn?",
    needs=("what was read", "the plan"),
    waiver=Waiver.NOBODY,
    over=the_preparation,
)
def reading_beside_plan(made: Preparation) -> Said | None:
    """Another volume than the plan's: a factor of ten is named."""
    for take, read in zip(made.measured, made.readings, strict=False):
        planned = _planned(take)
        if read != planned:
            says = f"You read {ml(read)}; the plan is {ml(planned)}. That is {_how_far(read, planned)}."
            return Said(says, "Look again: trim to the line, or throw it away and draw again.", HOUSE)
    return None


def _planned(take: Take) -> Fraction:
    assert take.draw is not None
    return take.draw.volume


def _how_far(read: Fraction, planned: Fraction) -> str:
    for factor in TENFOLDS:
        if read == planned * factor:
            return f"{show_number(Fraction(factor))} times the plan"
        if read * factor == planned:
            return f"the plan divided by {show_number(Fraction(factor))}"
    return f"{percent(read / planned - 1)} {'more' if read > planned else 'less'}"


@rule(
    "second-reader-missing",
    Level.STOP,
    "Has a second person read what the facility selects?",
    needs=("the facility's list", "who read it"),
    waiver=Waiver.NOBODY,
    over=the_preparation,
)
def second_reader_missing(made: Preparation) -> Said | None:
    """Selected, and nobody else has read it."""
    if not made.plan.second_reader or made.read_by:
        return None
    says = f"A second person reads this one ({', '.join(made.plan.second_reader)}); nobody has."
    return Said(says, "Have a second person read it, apart.", DOUBLE)


@rule(
    "second-reader-is-first",
    Level.STOP,
    "Is the second reader another person?",
    needs=("who prepared it", "who read it"),
    waiver=Waiver.NOBODY,
    over=the_preparation,
)
def second_reader_is_first(made: Preparation) -> Said | None:
    """Nobody checks their own reading."""
    if not made.read_by or made.read_by != made.prepared_by:
        return None
    return Said(f"{made.prepared_by} made it and read it a second time.", "Another person must read.", DOUBLE)


@rule(
    "readings-differ",
    Level.STOP,
    "Do both readers read the same?",
    needs=("what both read",),
    waiver=Waiver.NOBODY,
    over=the_preparation,
)
def readings_differ(made: Preparation) -> Said | None:
    """Two people, two answers: neither is right until the cause is known."""
    if not made.second or made.second == made.readings:
        return None
    if len(made.second) != len(made.readings):
        says = f"The first reader read {len(made.readings)} volumes, the second {len(made.second)}."
    else:
        first, second = next(pair for pair in zip(made.readings, made.second, strict=True) if pair[0] != pair[1])
        says = f"The first reader read {ml(first)}, the second {ml(second)}."
    return Said(says, "Find out why; draw again where it cannot be told.", DOUBLE)


RULES = (reading_beside_plan, second_reader_missing, second_reader_is_first, readings_differ)
