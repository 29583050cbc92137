"""One published text held against one dose: its ends for this patient, and whether the dose is beyond them, or far beyond.

Without a weight an end per kg waits for it, with two limits that hold at any weight: the lower end is never less than that of
the lightest body that the text may mean, and no dose per kg is more than the most that is printed for anyone.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench.order import Patient
from drawndose.bench.order.patient import LIGHTEST, weights_at
from drawndose.bench.published import End, Text
from drawndose.quantities import Quantity
from drawndose.reference import How

DOUBTFUL = {How.MEMORY, How.PRACTICE}
"""How a value was read that never gives more than a caution, unless the dose is far beyond it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One text for one patient. low, high: its ends in base units; None: there is no such end, or it waits for the weight.

    bottom: the least that its lower end can be at any weight it may mean. sure: nothing in it waits for the weight. over,
    under: the dose is above it, below it; far: so many times or more as the policy says. floor: its minimum acts.
    """

    text: Text
    low: Fraction | None
    high: Fraction | None
    bottom: Fraction | None
    sure: bool
    over: bool
    under: bool
    far: bool
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


def most_printed(texts: Iterable[Text]) -> Fraction | None:
    """The largest amount, in base units, that any of these texts prints as one dose of anybody; None where all go by weight."""
    ends = (end for text in texts for end in (text.low, text.high, text.least, text.most))
    return max((end.base for end in ends if end is not None and not end.per_kg), default=None)


def hold(text: Text, dose: Fraction, patient: Patient, cap: Fraction | None, far: int) -> Held:
    """The text for this patient, against this dose in base units.

    cap: what a dose per kg without a maximum never exceeds. far: so many times beyond an end is far beyond it.
    """
    weight = None if patient.weight is None else patient.weight.base
    least, most = _at(text.least, None), _at(text.most, None)
    if most is None and text.high is not None and text.high.per_kg:
        most = cap
    low, high = _at(text.low, weight), _at(text.high, weight)
    bottom = low
    if low is None and text.low is not None:  # it waits for the weight
        bottom = _at(text.low, _lightest(text, patient))
    floor = low is not None and least is not None and low < least
    high = high if high is None or least is None else max(high, least)
    if most is not None:
        high = most if high is None else min(high, most)
    bottom = _from_below(bottom, least, most)
    return Held(
        text=text,
        low=_from_below(low, least, most),
        high=high,
        bottom=bottom,
        sure=weight is not None or not (text.per_kg or text.dose.weight.ends),
        over=high is not None and dose > high,
        under=bottom is not None and dose < bottom,
        far=(high is not None and dose >= high * far) or (bottom is not None and dose * far <= bottom),
        floor=floor,
    )


def _from_below(low: Fraction | None, least: Fraction | None, most: Fraction | None) -> Fraction | None:
    """A lower end between the least and the most; the least itself where the end waits for the weight."""
    if low is None:
        return least
    low = low if least is None else max(low, least)
    return low if most is None else min(low, most)


def _at(end: End | None, weight: Fraction | None) -> Fraction | None:
    """The end for this weight; None where there is none, and where it waits for the weight."""
    if end is None or not end.per_kg:
        return None if end is None else end.base
    return None if weight is None else end.base * weight


def _lightest(text: Text, patient: Patient) -> Fraction:
    """The least that somebody weighs whom the text may mean, in the base unit of weight."""
    age, bounds = patient.age or text.dose.age.at_least, text.dose.weight
    young = LIGHTEST if age is None else weights_at(age)[0]
    ends = [one for one in (bounds.at_least, bounds.above) if one is not None]
    return max([young, *ends]).base
