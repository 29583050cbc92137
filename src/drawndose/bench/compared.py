"""An ordered dose held against what is published: within, above, below, or open because age or weight is missing.

Every text that may hold for this patient counts, whatever its presentation and purpose: the widest range is the range.
Without an age each set of texts that holds at some age is looked at by itself, and a dose is outside only where all of
them say so.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from drawndose.bench.dosing import Resolved
from drawndose.bench.order import DrugLine, Order, Patient
from drawndose.bench.order.model import is_rate
from drawndose.bench.policy import Policy
from drawndose.bench.printed import prints
from drawndose.bench.published import End, Text, published
from drawndose.quantities import Quantity
from drawndose.reference import Catalogue, How, PublishedDose

DOUBTFUL = {How.MEMORY, How.PRACTICE}
"""How a value was read that never gives more than a caution."""


class Side(Enum):
    """Where a dose lies. OPEN: it cannot be said without the age or the weight."""

    WITHIN = "within"
    ABOVE = "above"
    BELOW = "below"
    OPEN = "open"


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One text for one patient. low, high: its ends in base units; None: there is no such end, or it waits for the weight.

    sure: nothing in it waits for the weight. over, under: the dose is above it, below it. floor: its minimum acts.
    """

    text: Text
    low: Fraction | None
    high: Fraction | None
    sure: bool
    over: bool
    under: bool
    floor: bool

    @property
    def may(self) -> bool:
        """True when the dose may be this text's dose."""
        return not (self.over or self.under)

    def shown(self, base: Fraction) -> Quantity | None:
        """A value of this text in the unit in which it is printed; None when the weight made it."""
        ends = (self.text.low, self.text.high, self.text.least, self.text.most)
        return next((end.amount for end in ends if end is not None and not end.per_kg and end.base == base), None)

    @property
    def endless(self) -> bool:
        """True when it has no upper end; one that waits for the weight has no say beside one that is known."""
        return self.high is None and self.text.high is None


def firm(texts: Iterable[Held]) -> bool:
    """True when more than one source stands behind texts, or one that was read itself. Memory counts for none."""
    origins = [one.text.dose.origin for one in texts if one.text.dose.origin.how not in DOUBTFUL]
    return any(one.how is How.READ for one in origins) or len({one.source for one in origins}) > 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """The texts that hold together at some age, and where the dose lies among them. days: those that only limit a day."""

    side: Side
    texts: tuple[Held, ...]
    days: tuple[Held, ...]

    @property
    def firm(self) -> bool:
        """True when what bounds the dose is sure enough to stop it; the most in a day bounds a dose from above, too."""
        return firm((*self.texts, *self.days) if self.side is Side.ABOVE else self.texts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One drug line's dose beside what is published.

    dose: one dose, or what runs in an hour (runs). side: where it lies, whatever the age; None when nothing comparable is
    published. cells: one for a known age. texts: every text of every cell, each once.
    uncounted: what texts count that no stated ratio leads to from the order. words: texts without such an amount.
    """

    line: DrugLine
    dose: Quantity
    runs: bool
    patient: Patient
    side: Side | None
    cells: tuple[Cell, ...]
    texts: tuple[Held, ...]
    uncounted: tuple[str, ...]
    words: tuple[PublishedDose, ...]

    def amount(self, held: Held, base: Fraction) -> Quantity:
        """A value of a text, in base units: as it is printed, else in the order's own unit."""
        return held.shown(base) or Quantity(base / self.dose.unit.factor, self.dose.unit, self.dose.of)


def compare(resolved: Resolved, order: Order, book: Catalogue, policy: Policy) -> Compared | None:
    """A line's dose beside what is published; None while the order leaves the dose open."""
    line, patient = resolved.line, order.patient
    if resolved.amount is None:
        return None
    dose, runs = _dose(resolved, order, book)
    known = published(line.drug.id, book, dose.of[0][0] if dose.of else "", policy.equivalences)
    base, weight = dose.base, None if patient.weight is None else patient.weight.base
    held = {
        place: _held(text, base, weight)
        for place, text in enumerate(known.texts)
        if text.kind == dose.dimension and _speaks_of(text, line, patient)
    }
    sets = dict.fromkeys(tuple(place for place in cell if place in held) for cell in known.cells(patient))
    cells = tuple(cell for some in sets if (cell := _cell([held[place] for place in some])) is not None)
    return Compared(
        line=line,
        dose=dose,
        runs=runs,
        patient=patient,
        side=_whatever_the_age({cell.side for cell in cells}),
        cells=cells,
        texts=tuple({id(one): one for cell in cells for one in cell.texts}.values()),
        uncounted=known.uncounted,
        words=tuple(one for one in known.words if patient.age is None or one.age.admit(patient.age)),
    )


def _whatever_the_age(sides: set[Side]) -> Side | None:
    if len(sides) <= 1:
        return next(iter(sides), None)
    return Side.WITHIN if Side.WITHIN in sides else Side.OPEN


def _dose(resolved: Resolved, order: Order, book: Catalogue) -> tuple[Quantity, bool]:
    """One dose, or what runs in an hour. A volume of a printed strength is what the label says that it holds."""
    amount, dose, drug = resolved.amount, resolved.line.dose, resolved.line.drug
    assert amount is not None
    assert dose.amount is not None
    if resolved.volume is not None and dose.strength is not None:
        counts = {moiety.id for moiety in drug.moieties}
        parts = (part for one in book.presentations_of(drug.id) for part in one.actives if part.moiety in counts)
        label = next((part for part in parts if prints(part, dose.strength)), None)
        amount = label.strength.ratio * resolved.volume if label is not None else amount
    if order.duration is None or not is_rate(dose.amount):
        return amount, False
    return amount / order.duration.to("h"), True


def _speaks_of(text: Text, line: DrugLine, patient: Patient) -> bool:
    """False for another weight, and for a volume of another strength than the one that the order names."""
    bounds, strength, active = text.dose.weight, line.dose.strength, text.in_volume_of
    if patient.weight is not None and bounds.ends and not bounds.admit(patient.weight):
        return False
    return strength is None or active is None or prints(active, strength)


def _held(text: Text, dose: Fraction, weight: Fraction | None) -> Held:
    """The text for this weight, against this dose; both in base units."""
    low, high = _at(text.low, weight), _at(text.high, weight)
    least, most = _at(text.least, None), _at(text.most, None)
    floor = low is not None and least is not None and low < least
    if least is not None:
        low = least if low is None else max(low, least)
        high = None if high is None else max(high, least)
    if most is not None:
        low = None if low is None else min(low, most)
        high = most if high is None else min(high, most)
    return Held(
        text=text,
        low=low,
        high=high,
        sure=weight is not None or not (text.per_kg or text.dose.weight.ends),
        over=high is not None and dose > high,
        under=low is not None and dose < low,
        floor=floor,
    )


def _at(end: End | None, weight: Fraction | None) -> Fraction | None:
    """The end for this weight; None where there is none, and where it waits for the weight."""
    if end is None or not end.per_kg:
        return None if end is None else end.base
    return None if weight is None else end.base * weight


def _cell(texts: list[Held]) -> Cell | None:
    giving = tuple(one for one in texts if one.text.gives)
    days = tuple(one for one in texts if not one.text.gives)
    return Cell(side=_side(giving), texts=giving, days=days) if giving else None


def _side(texts: tuple[Held, ...]) -> Side:
    ended = [one for one in texts if one.high is not None]
    if ended and all(one.over for one in ended) and not any(one.endless for one in texts):
        return Side.ABOVE
    if all(one.under for one in texts):
        return Side.BELOW
    waiting = not all(one.sure for one in texts)
    return Side.OPEN if waiting and not any(one.sure and one.may for one in texts) else Side.WITHIN
