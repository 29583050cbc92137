"""What the airways answer to: a fill far below or far above isotonic, and a very acid liquid that nothing dilutes.

The bounds are liquids that were given to people: sodium chloride 0.3 % and 2.7 %, pH 2.6 (see the catalogue's liquids). Between
them nothing is said, and where nothing is printed or measured neither. A product that is labelled as it is, or is made milder,
is noted only; so is a hypertonic saline, which is ordered for that.
"""

from collections.abc import Callable

from drawndose.bench.findings import Level, Waiver
from drawndose.bench.osmolarity import Estimate, Own, estimate, own
from drawndose.bench.safeguards.diluent import concentrate_undiluted
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.safeguards.seen import OneTake, Seen, each_take, the_way
from drawndose.quantities import show_number
from drawndose.reference import Answer, ByNebulizer, load

WATCH = "Watch for cough and bronchospasm."


@rule(
    "fill-not-isotonic",
    Level.CAUTION,
    "Is the fill far from isotonic?",
    needs=("the osmolarity of each liquid", "the volumes in the cup"),
    waiver=Waiver.PREPARER,
    over=the_way,
)
def fill_not_isotonic(seen: Seen) -> Said | None:
    """Below, only where every liquid is known, since one that nobody knows could bring the rest; above, it only adds to it."""
    if seen.fill.questions or seen.fill.trouble:
        return None
    found = estimate(seen.takes, seen.fill)
    if not found.parts:
        return None
    answers = load().liquids.answers
    low, high = answers["hypotonic"], answers["hypertonic"]
    if not found.unknown and found.high <= low.value:
        return _said(seen, found, low, expected=_as_it_is(seen, lambda mine: mine.high <= found.high))
    if found.low >= high.value:
        salt = any(take.in_hand.presentation.drug == "sodium-chloride" for take in seen.takes)
        return _said(seen, found, high, expected=salt or _as_it_is(seen, lambda mine: mine.low >= found.low))
    return None


def _as_it_is(seen: Seen, no_further: Callable[[Own], bool]) -> bool:
    """True where the one product in the cup is labelled, and the fill is no further from isotonic than it is by itself."""
    presentation = seen.takes[0].in_hand.presentation
    mine = own(presentation)
    alone = len(seen.takes) == 1 and presentation.by_nebulizer is not ByNebulizer.OFF_LABEL
    return alone and mine is not None and no_further(mine)


def _said(seen: Seen, found: Estimate, answer: Answer, *, expected: bool) -> Said | None:
    if any(concentrate_undiluted.look(one) for one in each_take(seen)):
        return None
    least = "at least " if found.unknown else ""
    isotonic = show_number(load().liquids.answers["isotonic"].value)
    says = f"The fill is {least}{found.value}; isotonic is {isotonic}. At {show_number(answer.value)}, {answer.says}."
    if expected:
        return Said(says, WATCH, answer.origin, Level.NOTE)
    return Said(says, f"Ask whether it may be given otherwise, nearer to isotonic. {WATCH}", answer.origin)


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
    presentation, liquids = one.take.in_hand.presentation, load().liquids
    printed, answer = liquids.acidity.get(presentation.id), liquids.answers["acid"]
    if printed is None or printed.low > answer.value or one.seen.fill.total != one.take.stock_in_cup:
        return None
    name = presentation.name.partition(",")[0]
    between = f"{show_number(printed.low)} to {show_number(printed.high)}"
    says = f"{name} has pH {between} by its label, and nothing dilutes it. At pH {show_number(answer.value)}, {answer.says}."
    return Said(f"{says[:1].upper()}{says[1:]}", WATCH, answer.origin)


RULES = (fill_not_isotonic, very_acid)
