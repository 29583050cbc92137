"""The ordered dose against what is published: outside every text, not to be compared, or of a purpose that is not said."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from fractions import Fraction
from typing import NamedTuple

from drawndose.bench.compared import OUTSIDE, Cell, Compared, Side, compare
from drawndose.bench.dosing import Resolved
from drawndose.bench.findings import HOUSE, Level, Waiver
from drawndose.bench.held import DOUBTFUL, Held
from drawndose.bench.order import Order, Patient
from drawndose.bench.policy import Policy
from drawndose.bench.safeguards.rule import Said, rule
from drawndose.bench.slips import power_of_ten, slip
from drawndose.quantities import Quantity, show, show_about
from drawndose.reference import Catalogue, How, PublishedDose

DOSE = ("the dose", "the published doses of the drug")
MOST_QUOTED = 15
"""A longer text is not quoted in a finding; the catalogue shows it whole."""
ASK = "Ask the prescriber; only a changed order goes on."


class Ordered(NamedTuple):
    """One drug line with its dose beside what is published, the order, when preparing began, if it was said, and the settings."""

    compared: Compared
    order: Order
    started: datetime | None
    book: Catalogue
    policy: Policy


def each_ordered(
    order: Order, doses: Iterable[Resolved], book: Catalogue, policy: Policy, started: datetime | None
) -> tuple[Ordered, ...]:
    """Every line whose dose is known: the context of the rules on what is ordered."""
    compared = (compare(resolved, order, book, policy) for resolved in doses)
    return tuple(Ordered(one, order, started, book, policy) for one in compared if one is not None)


def each_line(ordered: tuple[Ordered, ...]) -> tuple[Ordered, ...]:
    """Every line of an order."""
    return ordered


def whom(patient: Patient) -> str:
    """For whom a range holds, in words: " at 4 years and 16 kg"; nothing when neither was said."""
    known = [show_about(one) for one in (patient.age, patient.weight) if one is not None]
    return f" at {' and '.join(known)}" if known else ""


@rule(
    "dose-outside-published",
    Level.STOP,
    "Is the dose within what is published for this age and weight?",
    needs=DOSE,
    waiver=Waiver.PRESCRIBER,
    over=each_line,
)
def outside_published(one: Ordered) -> Said | None:
    """More than the highest, or less than the lowest of every text that may hold, whatever the age and the weight.

    Stopped where it is far outside (a power of ten), or surely above. Less than published but not far, and what one source
    alone bounds, is cautioned.
    """
    compared = one.compared
    if compared.side not in OUTSIDE:
        return None
    above = compared.side is Side.ABOVE
    held, base = _bound(compared.texts, above=above)
    says = (
        f"{show_about(compared.dose)} of {compared.line.drug.name}{whom(compared.patient)} is {'above' if above else 'below'} "
        f"every published dose{' for anyone' if compared.anyone else ''}: {show_about(compared.amount(held, base))} at "
        f"{'most' if above else 'least'}"
    )
    explained = slip(compared, one.book)
    says += f". {explained}" if explained else f" ({_basis(held, base, compared, above=above)})."
    origin = held.text.dose.origin
    if compared.stops:
        return Said(says, ASK, origin)
    do = "Ask the prescriber whether so little is meant."
    if above or not all(cell.firm for cell in compared.cells):
        do = f"Read the label and ask the prescriber: {_doubt(origin.how)}."
    return Said(says, do, origin, Level.CAUTION, Waiver.PREPARER)


def _bound(texts: Iterable[Held], *, above: bool) -> tuple[Held, Fraction]:
    """The text that reaches farthest towards the dose, and its end; of equals the one that was read most surely."""
    ends = [(one, end) for one in texts if (end := one.high if above else one.bottom) is not None]
    farthest = (max if above else min)(end for _, end in ends)
    return min(((one, end) for one, end in ends if end == farthest), key=lambda pair: _sureness(pair[0]))


def _sureness(one: Held) -> int:
    how = one.text.dose.origin.how
    return 0 if how is How.READ else 2 if how in DOUBTFUL else 1


def _basis(one: Held, base: Fraction, compared: Compared, *, above: bool) -> str:
    """Where an end comes from: its purpose, and its amount per kg where a weight made it, be it the least that is accepted."""
    end, weight = one.text.high if above else one.text.low, compared.patient.weight
    if end is None or not end.per_kg:
        return one.text.dose.purpose
    if weight is not None:
        by_weight = end.base * weight.base == base
        return f"{show(end.amount)}, {one.text.dose.purpose}" if by_weight else one.text.dose.purpose
    if above or one.shown(base) is not None:
        return one.text.dose.purpose
    return f"{show(end.amount)} at only {show_about(Quantity.of_text(base / end.base, 'kg'))}, {one.text.dose.purpose}"


def _doubt(how: How) -> str:
    return "this figure is from memory" if how in DOUBTFUL else "one source alone bounds this figure"


@rule(
    "no-dose-for-population",
    Level.CAUTION,
    "Is there a published dose for a patient of this age?",
    needs=(*DOSE, "the age"),
    waiver=Waiver.PREPARER,
    over=each_line,
)
def no_dose_for_population(one: Ordered) -> Said | None:
    """A text says that it has no dose for this age, and no other text gives one."""
    told = _denied(one.compared)
    if told is None:
        return None
    says = f"No dose of {one.compared.line.drug.name} is published{whom(one.compared.patient)}. For {told.population}: {told.says}."
    return Said(says, "Ask the prescriber; go on only where policy provides for it.", told.origin)


def _denied(compared: Compared) -> PublishedDose | None:
    if (compared.cells and not compared.anyone) or compared.patient.age is None:
        return None
    return next((told for told in compared.words if told.no_dose), None)


@rule(
    "published-dose-missing",
    Level.NOTE,
    "Is there anything published to hold the dose against?",
    needs=("the dose",),
    waiver=Waiver.UNASKED,
    over=each_line,
)
def published_dose_missing(one: Ordered) -> Said | None:
    """Nothing to compare with, and that is said."""
    compared = one.compared
    if compared.cells or _denied(compared) is not None:
        return None
    name = compared.line.drug.name
    told = compared.words[0] if compared.words else None
    says = f"No published dose of {name}{whom(compared.patient)} is in the catalogue: this one is not compared."
    if compared.uncounted:
        counts = compared.dose.of[0][0] if compared.dose.of else show(compared.dose)
        says = (
            f"The order counts {counts}, the published doses {', '.join(compared.uncounted)}; no stated ratio leads there: "
            "not compared."
        )
    elif compared.runs:
        says = f"No published dose of {name} per hour is in the catalogue: this one is not compared."
    elif told is not None and told.delivered:
        says = f"Published doses of {name} count what the device delivers, not what the cup holds: not compared."
    elif told is not None:
        says = f"No published amount of {name} is in the catalogue: not compared.{_quoted(told, compared)}"
    return Said(says, "Read the label; have the dose confirmed where policy asks.", told.origin if told else HOUSE)


def _quoted(told: PublishedDose, compared: Compared) -> str:
    """What the text says, where it is short and the order does not name a strength, which may be another one."""
    if compared.line.dose.strength is not None or len(told.says.split()) > MOST_QUOTED:
        return ""
    return f" For {told.population}: {told.says}."


@rule(
    "range-needs-age-or-weight",
    Level.CAUTION,
    "Are the age and the weight known that the range depends on?",
    needs=DOSE,
    waiver=Waiver.PREPARER,
    over=each_line,
)
def range_needs_age_or_weight(one: Ordered) -> Said | None:
    """Noted; cautioned where the dose is above what some age may have, or a power of ten away from a published one.

    A text per kg that prints no maximum makes any dose its own when a lost point makes the weight ten times more.
    """
    compared = one.compared
    outside = min((cell for cell in compared.cells if cell.side in OUTSIDE), key=_above_first, default=None)
    if compared.side not in {Side.OPEN, Side.WITHIN} or (compared.side is Side.WITHIN and outside is None):
        return None
    dose, name = show_about(compared.dose), compared.line.drug.name
    waiting = next((held for held in compared.texts if not held.sure), None)
    if compared.side is Side.OPEN and waiting is not None and (outside is None or outside.side is Side.BELOW):
        told = waiting.text.dose
        says = f"{dose} of {name} is not compared with the dose for {told.population}: it goes by weight, and the order gives none."
        ten = power_of_ten(compared, single=True)
        level = Level.CAUTION if ten else Level.NOTE
        return Said(f"{says} {ten}".rstrip(), "Know the weight: add it to the order.", told.origin, level)
    assert outside is not None
    above = outside.side is Side.ABOVE
    bound, base = _bound(outside.texts, above=above)
    says = (
        f"{dose} of {name} is {'more' if above else 'less'} than the {show_about(compared.amount(bound, base))} published for "
        f"{bound.text.dose.population}; the order gives no age."
    )
    return Said(
        says, "Know the age: add it to the order.", bound.text.dose.origin, Level.CAUTION if above else Level.NOTE
    )


def _above_first(cell: Cell) -> int:
    return 0 if cell.side is Side.ABOVE else 1


@rule(
    "floor-dose",
    Level.NOTE,
    "Does a minimum act, so that the purpose decides the dose?",
    needs=(*DOSE, "the weight"),
    waiver=Waiver.UNASKED,
    over=each_line,
)
def floor_dose(one: Ordered) -> Said | None:
    """One text's minimum is more than another text's dose at this weight: which is meant, nobody can tell from the dose."""
    compared = one.compared
    for cell in compared.cells:
        for floored in (held for held in cell.texts if held.floor):
            other = next((held for held in cell.texts if _apart(floored, held)), None)
            if other is not None:
                return _floor(floored, other, compared)
    return None


def _apart(floored: Held, other: Held) -> bool:
    """The dose is of the one and outside the other, which is of another purpose."""
    if other.text.dose.purpose == floored.text.dose.purpose or not other.sure:
        return False
    return (floored.may and other.over) or (floored.under and other.may)


def _floor(floored: Held, other: Held, compared: Compared) -> Said:
    ends = [
        show_about(compared.amount(other, end)) for end in dict.fromkeys((other.low, other.high)) if end is not None
    ]
    assert floored.low is not None
    says = (
        f"{show_about(compared.dose)} of {compared.line.drug.name}{whom(compared.patient)}: never less than "
        f"{show_about(compared.amount(floored, floored.low))} ({floored.text.dose.purpose}), {' to '.join(ends)} "
        f"({other.text.dose.purpose}). The order does not say which."
    )
    return Said(says, "Ask what the dose is for.", floored.text.dose.origin)


RULES = (
    outside_published,
    no_dose_for_population,
    published_dose_missing,
    range_needs_age_or_weight,
    floor_dose,
)
