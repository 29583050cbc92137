"""The published doses of a drug as exact amounts: every presentation's texts together, and which hold at which age.

A text that gives a volume counts it in its own presentation's strength; each active part of a combination has its own.
Amounts of another moiety are counted as the order counts, by a stated ratio only.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from drawndose.bench.order import Patient
from drawndose.bench.order.patient import bands, weights_at
from drawndose.quantities import Form, Quantity
from drawndose.quantities.units import Parts
from drawndose.reference import Active, Catalogue, Drug, Equivalence, Presentation, PublishedDose

DAY = Quantity.of_text(1, "day")
KG = ("body mass", -1)
ENDS = {
    "low": ("from", "each", "per_kg", "per_hour", "per_kg_hour"),
    "high": ("to", "each", "per_kg", "per_hour", "per_kg_hour"),
    "least": ("minimum",),
    "most": ("maximum",),
    "in_a_day": ("most_in_a_day",),
}
"""Which values of a published dose are which end of a text, the first that it gives."""


class End(NamedTuple):
    """One end of a text: the amount as counted, its value in base units, and whether it is per kg."""

    amount: Quantity
    base: Fraction
    per_kg: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One published dose as amounts of one moiety.

    low, high: its ends, perhaps per kg, perhaps per hour. least, most: what it is never below or above, whatever the
    weight. in_a_day: the most in 24 h. None where the text gives none. kind: the dimension of one dose, or of what runs
    in an hour. in_volume_of: the active part, where the text gives a volume of it. gives: False for a text that only
    limits the day. per_kg: an end depends on the weight. times_a_day: how often in a day at most. apart: the shortest
    time from dose to dose. course: after how many doses it ends.
    """

    dose: PublishedDose
    moiety: str
    kind: Parts
    low: End | None
    high: End | None
    least: End | None
    most: End | None
    in_a_day: End | None
    in_volume_of: Active | None
    gives: bool
    per_kg: bool
    times_a_day: Fraction | None
    apart: Quantity | None
    course: Fraction | None


class AtAge(NamedTuple):
    """One age that tells the texts apart, the weights that go with it (in kg), and which texts hold, by their places."""

    age: Quantity
    least: Fraction
    most: Fraction
    texts: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """What is published of a drug, counted as one moiety.

    words: texts without an amount that can be compared. uncounted: moieties of texts that no stated ratio leads to.
    """

    texts: tuple[Text, ...]
    words: tuple[PublishedDose, ...]
    uncounted: tuple[str, ...]
    ages: tuple[AtAge, ...]

    def cells(self, patient: Patient) -> tuple[tuple[int, ...], ...]:
        """The texts that hold, by their places: one set for a known age, else each set of a possible age once."""
        if patient.age is not None:
            return (_holding(self.texts, patient.age),)
        weight = None if patient.weight is None else patient.weight.base
        possible = (one.texts for one in self.ages if weight is None or one.least <= weight <= one.most)
        return tuple(dict.fromkeys(possible))


@lru_cache(maxsize=64)
def published(drug: str, book: Catalogue, moiety: str, chosen: tuple[str, ...] = ()) -> Published:
    """What the catalogue has published of a drug, counted as this moiety. Doses of a diluent are none of a drug.

    chosen: ids of equivalences to be used where several are stated; without one every ratio counts, and so the widest range.
    """
    known, (printed, words) = book.drug(drug), printed_doses(drug, book)
    texts: list[Text] = []
    uncounted: dict[str, None] = {}
    for text in printed:
        ways = tuple(_recounted(text, known, moiety, chosen))
        texts += ways
        uncounted |= {} if ways else {text.moiety: None}
    whole = tuple(texts)
    return Published(texts=whole, words=words, uncounted=tuple(uncounted), ages=_ages(whole))


@lru_cache(maxsize=64)
def printed_doses(drug: str, book: Catalogue) -> tuple[tuple[Text, ...], tuple[PublishedDose, ...]]:
    """The drug's doses in amounts as each label counts them, and the doses without an amount."""
    counts = {moiety.id for moiety in book.drug(drug).moieties}
    texts: dict[Text, None] = {}
    words: dict[PublishedDose, None] = {}
    for presentation in book.presentations_of(drug):
        for dose in () if presentation.diluent else presentation.doses:
            found = () if dose.delivered else tuple(_texts(dose, presentation, counts))
            texts |= dict.fromkeys(found)
            words |= {} if found else {dose: None}
    return tuple(texts), tuple(words)


def _texts(dose: PublishedDose, presentation: Presentation, counts: set[str]) -> Iterator[Text]:
    for active in presentation.actives:
        if active.moiety in counts and (text := _text(dose, active)) is not None and text.moiety in counts:
            yield text


def _text(dose: PublishedDose, active: Active) -> Text | None:
    """The dose as amounts of this active part, or None where it gives none."""
    given = {end: value for end, keys in ENDS.items() if (value := dose.value(*keys)) is not None}
    volumes = any(("volume", 1) in value.dimension for value in given.values())
    if not given or (volumes and active.strength.form is Form.PER_CONTAINER):
        return None
    ends = {end: _end(value * active.strength.ratio if volumes else value) for end, value in given.items()}
    first = next(iter(ends.values())).amount
    often = dose.value("most_often")
    return Text(
        dose=dose,
        moiety=first.of[0][0],
        kind=tuple(part for part in first.dimension if part != KG),
        in_volume_of=active if volumes else None,
        gives=any(end in ends for end in ("low", "high", "least", "most")),
        per_kg=any(end in ends and ends[end].per_kg for end in ("low", "high")),
        times_a_day=None if often is None else (often * DAY).base,
        apart=dose.value("least_interval"),
        course=None if (course := dose.value("course")) is None else course.base,
        **{end: ends.get(end) for end in ENDS},
    )


def _end(amount: Quantity) -> End:
    return End(amount, amount.base, KG in amount.dimension)


def _recounted(text: Text, drug: Drug, moiety: str, chosen: tuple[str, ...]) -> Iterator[Text]:
    """The text as it stands when it counts this moiety; else once by every stated ratio, or by those that were chosen."""
    if text.moiety == moiety:
        yield text
        return
    stated = drug.equivalences_between(text.moiety, moiety)
    for one in [each for each in stated if each.id in chosen] or stated:
        yield _by(text, one, moiety)


def _by(text: Text, stated: Equivalence, moiety: str) -> Text:
    ratio = stated.equals / stated.this if stated.this.of[0][0] == text.moiety else stated.this / stated.equals
    given = {end: one.amount * ratio for end in ENDS if (one := getattr(text, end)) is not None}
    kind = tuple(part for part in next(iter(given.values())).dimension if part != KG)
    ends = {end: _end(amount) for end, amount in given.items()}
    return replace(text, moiety=moiety, kind=kind, **ends)  # type: ignore[arg-type]


def _holding(texts: tuple[Text, ...], age: Quantity) -> tuple[int, ...]:
    return tuple(place for place, text in enumerate(texts) if text.dose.age.admit(age))


def _ages(texts: tuple[Text, ...]) -> tuple[AtAge, ...]:
    """Ages enough to meet every set of texts that can hold together, and every band of plausible weights."""
    ends = [end for text in texts for end in text.dose.age.ends] + [up_to for up_to, _, _ in bands()]
    cuts = sorted({end.base: end for end in (Quantity.of_text(0, "day"), *ends)}.values())
    between = [(low + high) / 2 for low, high in pairwise(cuts)]
    found = []
    for age in sorted([*cuts, *between]):
        least, most = weights_at(age)
        found.append(AtAge(age, least.base, most.base, _holding(texts, age)))
    return tuple(found)


def names_alike(drug: Drug, book: Catalogue) -> Iterable[Drug]:
    """Drugs whose name holds this one's, or is held by it: levalbuterol and albuterol."""
    return (one for one in book.drugs if one.id != drug.id and (one.id in drug.id or drug.id in one.id))
