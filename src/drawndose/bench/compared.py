"""An ordered dose held against what is published: within, above, below, or open because age or weight is missing.

Every text that may hold for this patient counts, whatever its presentation and purpose: the widest range is the range.
Without an age each set of texts that holds at some age is looked at by itself, and a dose is outside only where all of
them say so. Where no text holds at this age or weight, a dose beyond what is published for anyone is outside all the same.

Knowing more never lets more through: a weight takes no stop away unless a text allows the dose at that very weight.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction

from drawndose.bench.dosing import Resolved
from drawndose.bench.held import Held, firm, hold, most_printed
from drawndose.bench.order import DrugLine, Order, Patient
from drawndose.bench.order.model import is_rate
from drawndose.bench.policy import Policy
from drawndose.bench.printed import prints
from drawndose.bench.published import Published, Text, published
from drawndose.quantities import Quantity
from drawndose.reference import Catalogue, PublishedDose


class Side(Enum):
    """Where a dose lies. OPEN: it cannot be said without the age or the weight."""

    WITHIN = "within"
    ABOVE = "above"
    BELOW = "below"
    OPEN = "open"


OUTSIDE = frozenset({Side.ABOVE, Side.BELOW})


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """The texts that hold together at some age, and where the dose lies among them. days: those that only limit a day."""

    side: Side
    texts: tuple[Held, ...]
    days: tuple[Held, ...]

    @property
    def firm(self) -> bool:
        """True when what bounds the dose is sure; the most in a day bounds a dose from above, too."""
        return firm((*self.texts, *self.days) if self.side is Side.ABOVE else self.texts)

    @property
    def far(self) -> bool:
        """True when the dose is far outside every text that bounds it."""
        return self.side in OUTSIDE and all(one.far for one in self.texts if one.over or one.under)

    @property
    def stops(self) -> bool:
        """True when the dose is not prepared: far outside, or surely above. Less than published, but not far, is a question."""
        return self.far or (self.side is Side.ABOVE and self.firm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One drug line's dose beside what is published.

    dose: one dose, or what runs in an hour (runs). side: where it lies, whatever the age; None when nothing comparable is
    published. cells: one for a known age. anyone: no text holds for this patient, and the dose is outside all of them. texts:
    every text of every cell, each once. others: every text of this kind, whatever the age, with those that only limit a day.
    uncounted: what texts count that no stated ratio leads to from the order. words: texts without such an amount.
    """

    line: DrugLine
    dose: Quantity
    runs: bool
    patient: Patient
    side: Side | None
    cells: tuple[Cell, ...]
    anyone: bool
    texts: tuple[Held, ...]
    others: tuple[Held, ...]
    uncounted: tuple[str, ...]
    words: tuple[PublishedDose, ...]

    @property
    def stops(self) -> bool:
        """True when the dose is outside what is published, whatever the age, so far or so surely that it is not prepared."""
        return self.side in OUTSIDE and all(cell.stops for cell in self.cells)

    def amount(self, held: Held, base: Fraction) -> Quantity:
        """A value of a text, in base units: as it is printed, else in the order's own unit."""
        return held.shown(base) or Quantity(base / self.dose.unit.factor, self.dose.unit, self.dose.of)


def compare(resolved: Resolved, order: Order, book: Catalogue, policy: Policy) -> Compared | None:
    """A line's dose beside what is published; None while the order leaves the dose open."""
    if resolved.amount is None:
        return None
    dose, runs = _dose(resolved, order, book)
    known = published(resolved.line.drug.id, book, dose.of[0][0] if dose.of else "", policy.equivalences)
    found = _for(order.patient, resolved.line, dose, runs, known, policy.far_beyond)
    if order.patient.weight is None or found.stops or any(one.may for one in found.texts):
        return found
    lighter = _for(replace(order.patient, weight=None), resolved.line, dose, runs, known, policy.far_beyond)
    return replace(lighter, patient=order.patient) if lighter.stops else found


def _for(patient: Patient, line: DrugLine, dose: Quantity, runs: bool, known: Published, far: int) -> Compared:
    kind = [(place, text) for place, text in enumerate(known.texts) if text.kind == dose.dimension]
    cap = most_printed(text for _, text in kind)
    held = {place: hold(text, dose.base, patient, cap, far) for place, text in kind if _speaks_of(text, line, patient)}
    sets = dict.fromkeys(tuple(place for place in cell if place in held) for cell in known.cells(patient))
    cells = tuple(cell for some in sets if (cell := _cell([held[place] for place in some])) is not None)
    anyone = () if cells else _anyone(list(held.values()))
    cells = cells or anyone
    return Compared(
        line=line,
        dose=dose,
        runs=runs,
        patient=patient,
        side=_whatever_the_age({cell.side for cell in cells}),
        cells=cells,
        anyone=bool(anyone),
        texts=tuple({id(one): one for cell in cells for one in cell.texts}.values()),
        others=tuple(hold(text, dose.base, patient, cap, far) for _, text in kind),
        uncounted=known.uncounted,
        words=tuple(one for one in known.words if patient.age is None or one.age.admit(patient.age)),
    )


def _anyone(texts: list[Held]) -> tuple[Cell, ...]:
    """All texts as one, where none holds for this patient: only for a dose above them all, or far below."""
    cell = _cell(texts)
    return (cell,) if cell is not None and (cell.side is Side.ABOVE or cell.far) else ()


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
