"""What may have turned a published dose into the ordered one: a factor of ten or a thousand, what is counted, another drug,
another strength. An explanation is offered only where a published value comes out exactly."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import permutations
from typing import NamedTuple

from drawndose.bench.compared import Compared
from drawndose.bench.held import Held
from drawndose.bench.published import ENDS, names_alike, published
from drawndose.quantities import Quantity, show_about, show_strength
from drawndose.quantities.numbers import show_number
from drawndose.reference import Catalogue, Equivalence

POWERS = (
    (1, "10 times"),
    (-1, "a tenth of"),
    (2, "100 times"),
    (-2, "a hundredth of"),
    (3, "1,000 times"),
    (-3, "a thousandth of"),
)


def slip(compared: Compared, book: Catalogue) -> str:
    """One sentence that explains a dose outside every published one, or nothing."""
    told = (power_of_ten(compared), _counted(compared), _other_drug(compared, book), _other_strength(compared, book))
    return next((one for one in told if one), "")


def power_of_ten(compared: Compared, *, single: bool = False) -> str:
    """The dose as a power of ten of a published value; of one that is the only value of its text when `single`."""
    values = _values(compared, single=single)
    for power, words in POWERS:
        base = compared.dose.base / Fraction(10) ** power
        if base in values:
            value = compared.amount(values[base], base)
            alike = ": mg and mcg look alike" if abs(power) == 3 and value.dimension == (("mass", 1),) else ""
            return f"{show_about(compared.dose)} is {words} {show_about(value)}{alike}."
    return ""


def _values(compared: Compared, *, single: bool = False) -> dict[Fraction, Held]:
    """The published values in base units, each with its text: one that is a text's only value goes first."""
    found: dict[Fraction, Held] = {}
    for one in sorted(compared.texts, key=lambda one: one.low != one.high):
        if not single or (one.low == one.high and not one.text.per_kg):
            for end in (one.low, one.high):
                if end is not None:
                    found.setdefault(end, one)
    return found


def _counted(compared: Compared) -> str:
    """The mass of a salt written as its base, or the other way round."""
    other = counted_otherwise(compared)
    if other is None:
        return ""
    return f"{show_about(compared.dose)} is {show_about(other.value)} counted as {other.of}."


class Otherwise(NamedTuple):
    """A published value that comes out when the dose's number counts another moiety. value: as the order counts; of: that moiety."""

    value: Quantity
    of: str
    stated: Equivalence


def counted_otherwise(compared: Compared) -> Otherwise | None:
    """The published value that the dose's number would be of another moiety; None where there is none."""
    for moiety in compared.line.drug.moieties:
        for stated in moiety.equivalences:
            sides = {stated.this.of: stated.this, stated.equals.of: stated.equals}
            if stated.this.dimension != stated.equals.dimension or compared.dose.of not in sides:
                continue
            own = sides.pop(compared.dose.of)
            ((of, other),) = sides.items()
            for base, held in _values(compared).items():
                if compared.dose.base * own.base == base * other.base:
                    return Otherwise(compared.amount(held, base), of[0][0], stated)
    return None


def is_published(compared: Compared) -> bool:
    """True when the dose itself is an end of a published text."""
    return compared.dose.base in _values(compared)


def _other_drug(compared: Compared, book: Catalogue) -> str:
    """A published dose of a drug whose name is alike."""
    for other in names_alike(compared.line.drug, book):
        texts = published(other.id, book, other.moieties[0].id).texts
        ends = (getattr(text, end) for text in texts if text.kind == compared.dose.dimension for end in ENDS)
        if any(end is not None and not end.per_kg and end.base == compared.dose.base for end in ends):
            return f"{show_about(compared.dose)} is a published dose of {other.name}, another drug."
    return ""


def _other_strength(compared: Compared, book: Catalogue) -> str:
    """The whole number by which two strengths of the drug differ; not where the order names the strength."""
    if compared.line.dose.strength is not None:
        return ""
    for more, less, factor in _strengths(compared, book):
        times, differ = show_number(factor), f"as {more} is of {less}"
        for base, held in _values(compared).items():
            dose, value = show_about(compared.dose), show_about(compared.amount(held, base))
            if compared.dose.base == base * factor:
                return f"{dose} is {times} times {value}, {differ}."
            if compared.dose.base * factor == base:
                return f"{value} is {times} times {dose}, {differ}."
    return ""


def _strengths(compared: Compared, book: Catalogue) -> Iterator[tuple[str, str, Fraction]]:
    """Pairs of strengths of one moiety in words, with the whole number by which the one is more."""
    counts = {moiety.id for moiety in compared.line.drug.moieties}
    held = [
        part.strength
        for one in book.presentations_of(compared.line.drug.id)
        for part in one.actives
        if part.moiety in counts
    ]
    for more, less in permutations(held, 2):
        factor = more.ratio.over(less.ratio) if more.ratio.like(less.ratio) else Fraction(0)
        if factor > 1 and factor.denominator == 1:
            yield show_strength(more), show_strength(less), factor
