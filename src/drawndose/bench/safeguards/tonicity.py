"""What the airways answer to: a fill far below or far above isotonic, and a very acid liquid that nothing dilutes.

The bounds are liquids that were given to people: sodium chloride 0.3 % and 2.7 %, pH 2.6 (see the catalogue's liquids). Between
them nothing is said, and where nothing is printed or measured neither. A product that is labelled as it is, or is made milder,
is noted only; so is a hypertonic saline, which is ordered for that.
"""

from drawndose.bench.findings import Level, Waiver
from drawndose.bench.osmolarity import Estimate, Own, estimate, own
from drawndose.bench.safeguards.diluent import concentrate_undiluted
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import OneTake, Seen, each_take, the_way
from drawndose.quantities import Quantity, show, show_number
from drawndose.reference import Answer, ByNebulizer, load

NEEDS = ("the osmolarity of each liquid", "the volumes in the cup")


def _known(seen: Seen) -> Estimate | None:
    """The estimate of a fill that can be made, where anything is known of it. A concentrate undiluted is stopped already."""
    if seen.fill.questions or seen.fill.trouble or any(concentrate_undiluted.look(one) for one in each_take(seen)):
        return None
    found = estimate(seen.takes, seen.fill)
    return found if found.known else None


def _bound(name: str) -> tuple[Answer, Quantity]:
    answer = load().liquids.answers[name]
    assert isinstance(answer.value, Quantity)
    return answer, answer.value


def _sentence(found: Estimate, answer: Answer, bound: Quantity) -> str:
    isotonic = _bound("isotonic")[1]
    least = "at least " if found.unknown else ""
    return (
        f"The fill is {least}{found.value}; isotonic is {show_number(isotonic.value)}. At {show(bound)}, {answer.says}."
    )


def _alone(seen: Seen) -> Own | None:
    """What is known of a product that is the only one in the cup and is given as its label says."""
    if len(seen.takes) != 1 or seen.takes[0].in_hand.presentation.by_nebulizer is ByNebulizer.OFF_LABEL:
        return None
    return own(seen.takes[0].in_hand.presentation)


@rule(
    "fill-hypotonic",
    Level.CAUTION,
    "Is the fill far below isotonic?",
    needs=NEEDS,
    waiver=Waiver.PREPARER,
    over=the_way,
)
def fill_hypotonic(seen: Seen) -> Said | None:
    """Only where every liquid is known: one that nobody knows could bring the rest."""
    found = _known(seen)
    answer, bound = _bound("hypotonic")
    if found is None or found.unknown or found.high > bound.value:
        return None
    alone = _alone(seen)
    level = Level.NOTE if alone is not None and alone.high <= found.high else None
    do = "Ask whether sodium chloride 0.9 % may be added instead; watch for bronchospasm."
    return Said(_sentence(found, answer, bound), do if level is None else WATCH, answer.origin, level)


@rule(
    "fill-hypertonic",
    Level.CAUTION,
    "Is the fill far above isotonic?",
    needs=NEEDS,
    waiver=Waiver.PREPARER,
    over=the_way,
)
def fill_hypertonic(seen: Seen) -> Said | None:
    """What is known is enough here: the rest only adds to it."""
    found = _known(seen)
    answer, bound = _bound("hypertonic")
    if found is None or found.low < bound.value:
        return None
    alone = _alone(seen)
    ordered = any(take.in_hand.presentation.drug == "sodium-chloride" for take in seen.takes)
    level = Level.NOTE if ordered or (alone is not None and alone.low >= found.low) else None
    do = "Ask whether the two may be given apart; watch for bronchospasm."
    return Said(_sentence(found, answer, bound), do if level is None else WATCH, answer.origin, level)


WATCH = "Watch for cough and bronchospasm."


@rule(
    "very-acid",
    Level.NOTE,
    "Does a very acid liquid go in with nothing to dilute it?",
    needs=("the pH that the label prints",),
    waiver=Waiver.UNASKED,
    over=each_take,
)
def very_acid(one: OneTake) -> Said | None:
    """The pH of a mixture is not worked out: nothing printed would carry it."""
    liquids = load().liquids
    presentation, answer = one.take.in_hand.presentation, liquids.answers["acid"]
    printed = liquids.acidity.get(presentation.id)
    assert not isinstance(answer.value, Quantity)
    if printed is None or printed.low > answer.value or one.seen.fill.total != one.take.stock_in_cup:
        return None
    name, bound = presentation.name.partition(",")[0], show_number(answer.value)
    between = f"{show_number(printed.low)} to {show_number(printed.high)}"
    says = f"{name} has pH {between} by its label, and nothing dilutes it. At pH {bound}, {answer.says}."
    return Said(f"{says[:1].upper()}{says[1:]}", WATCH, answer.origin)


RULES = (fill_hypotonic, fill_hypertonic, very_acid)
