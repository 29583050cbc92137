"""Which dose, strength and limits belong to which drug of an order. What does not pair one to one is asked, not guessed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

from drawndose.bench.order import doses
from drawndose.bench.order.agreement import day_limit, dose_faults, dose_questions, limit_fault, per_day
from drawndose.bench.order.model import Dose, DrugLine, Question
from drawndose.quantities import Fault, Quantity, Refused, Strength, show, show_strength
from drawndose.reference import Catalogue


class Kind(Enum):
    """What a piece of the order is, for pairing."""

    DRUG = "drug"
    DOSE = "dose"
    STRENGTH = "strength"
    MINIMUM = "minimum"
    MAXIMUM = "maximum"
    DIVIDED = "divided"


@dataclass(frozen=True, slots=True)
class Item:
    """One piece with its place. A drug has its id and moiety; an amount its match, or its value when already read."""

    start: int
    kind: Kind
    text: str
    drug: str = ""
    moiety: str | None = None
    match: re.Match[str] | None = None
    ranged: bool = False
    value: object = None


def pair(
    items: list[Item], faults: list[Fault], catalogue: Catalogue, text: str = ""
) -> tuple[tuple[DrugLine, ...], list[Question]]:
    """The drug lines of the items in text order, and the questions about what is missing.

    text: where the items stand; with it, a strength between two drugs is held against the marks around it.
    """
    groups = _groups(items)
    faults += _astray(groups, text)
    questions: list[Question] = []
    if not groups:
        asks = "Which drug? Write the full generic name."
        return (), [Question(field="drug", asks=asks)]
    lines = [_line(group, faults, questions, catalogue) for group in groups]
    seen: set[str] = set()
    for line in lines:
        if line.drug.id in seen:
            rule = "the order names the drug twice"
            faults.append(Fault(field="drug", rule=rule, came=line.as_written, accepted="one line for each drug"))
        seen.add(line.drug.id)
    return tuple(lines), questions


def _groups(items: list[Item]) -> list[list[Item]]:
    """Items of one drug each. The order of the first two pieces says whether the dose stands before or after its drug."""
    drugs = [item for item in items if item.kind is Kind.DRUG]
    if not drugs:
        return []
    if len(drugs) == 1:
        return [items]
    kinds = [item.kind for item in items if item.kind in {Kind.DRUG, Kind.DOSE}]
    if kinds[: len(drugs)] == [Kind.DRUG] * len(drugs) and kinds.count(Kind.DOSE) == len(drugs):
        return _in_columns(items, drugs)
    if kinds[0] is Kind.DRUG:
        return _cut(items, [drug.start for drug in drugs])
    firsts = []
    for place, item in enumerate(items):
        before = items[place - 1].kind if place else None
        if item.kind is Kind.DOSE and before in {None, Kind.DRUG, Kind.STRENGTH, Kind.MAXIMUM, Kind.MINIMUM}:
            firsts.append(item.start)
    return _cut(items, firsts)


def _cut(items: list[Item], starts: list[int]) -> list[list[Item]]:
    groups: list[list[Item]] = []
    for item in items:
        if item.start in starts or not groups:
            groups.append([])
        groups[-1].append(item)
    return groups


_MARK = re.compile(r"[,;.+&()]|\b(?:and|plus|with)\b", re.IGNORECASE)


def _astray(groups: list[list[Item]], text: str) -> list[Fault]:
    """A strength at the border of two drugs must be joined to the one and parted from the other."""
    faults = []
    for before, after in pairwise(groups):
        last, first = before[-1], after[0]
        if not text or len(before) < 2 or last.kind is not Kind.STRENGTH or last.value is not None:
            continue
        inside = text[before[-2].start + len(before[-2].text) : last.start]
        between = text[last.start + len(last.text) : first.start]
        if _MARK.search(inside) or not _MARK.search(between):
            rule = "a strength stands between two drugs, and could belong to either"
            faults.append(Fault(field="strength", rule=rule, came=last.text, accepted="0.5 mL of albuterol 0.5 %, and"))
    return faults


def _in_columns(items: list[Item], drugs: list[Item]) -> list[list[Item]]:
    """All drugs first, then as many doses ("ipratropium and albuterol 0.5 mg and 2.5 mg"): the first to the first."""
    rest = [item for item in items if item.kind is not Kind.DRUG]
    columns = _cut(rest, [item.start for item in rest if item.kind is Kind.DOSE])
    return [[drug, *column] for drug, column in zip(drugs, columns, strict=False)]


def _line(group: list[Item], faults: list[Fault], questions: list[Question], catalogue: Catalogue) -> DrugLine:
    drugs = [item for item in group if item.kind is Kind.DRUG]
    named = drugs[0] if drugs else None
    if named is None or len(drugs) > 1:
        came = ", ".join(item.text for item in (drugs or group))
        rule = "each drug needs its own dose beside it"
        faults.append(Fault(field="drug", rule=rule, came=came, accepted="albuterol 2.5 mg and ipratropium 0.5 mg"))
        named = named or Item(0, Kind.DRUG, came, catalogue.drugs[0].id)
    drug = catalogue.drug(named.drug)
    moiety = _moiety(group, named, drug.in_units)
    dose = _dose(group, moiety, named.text, drug.in_units, faults, questions)
    faults += dose_faults(dose, named.text, drug.in_units)
    if dose.amount is None and not faults:
        asks = f"How much {named.text}? The order names no dose."
        questions.append(Question(field="dose", asks=asks))
    if moiety is None and dose.amount is not None and any(name == "mass" for name, _ in dose.amount.dimension):
        counted = tuple(one.id for one in drug.moieties if one.kind != "units")
        asks = f"{named.text}: counted as what? Its labels count different things."
        questions.append(Question(field="drug", asks=asks, options=counted))
    questions += dose_questions(dose, named.text, tuple(item.text for item in group))
    return DrugLine(drug=drug, moiety=moiety, as_written=named.text, dose=dose)


def _moiety(group: list[Item], named: Item, in_units: str | None) -> str | None:
    """A dose in units counts the drug's units, whatever salt the name says."""
    amounts = [item for item in group if item.kind is Kind.DOSE] or group
    return in_units if in_units and any(_says_units(item) for item in amounts) else named.moiety


def _says_units(item: Item) -> bool:
    return re.search(r"(?:\b|[0-9])(?:units?|iu)\b", item.text, re.IGNORECASE | re.ASCII) is not None


def _dose(
    group: list[Item],
    moiety: str | None,
    name: str,
    in_units: str | None,
    faults: list[Fault],
    questions: list[Question],
) -> Dose:
    amounts: list[Quantity] = []
    upper: Quantity | None = None
    strength: Strength | None = None
    limits: dict[Kind, Quantity] = {}
    divided: int | None = None
    for item in group:
        of = in_units if in_units and _says_units(item) else moiety or name
        try:
            if item.kind is Kind.DOSE:
                low, upper = _amount(item, of, upper)
                amounts.append(low)
            elif item.kind is Kind.STRENGTH:
                strength = _strength(item, of, strength, faults)
            elif item.kind is Kind.DIVIDED:
                divided = _divided(item, divided)
            elif item.kind is not Kind.DRUG:
                limits[item.kind] = _limit(item, of, limits)
        except Refused as refused:
            faults += refused.faults
    first, second = _two(amounts, upper is not None, name, faults)
    _hold(limits, group, first, name, faults, questions)
    return Dose(
        amount=first,
        upper=upper,
        also=second,
        strength=strength,
        minimum=limits.get(Kind.MINIMUM),
        maximum=limits.get(Kind.MAXIMUM),
        divided_by=divided,
    )


def _amount(item: Item, of: str, upper: Quantity | None) -> tuple[Quantity, Quantity | None]:
    if isinstance(item.value, Quantity):
        return item.value, upper
    assert item.match is not None
    if item.ranged:
        return doses.read_range(item.match, of)
    return doses.read_dose(item.match, of), upper


def _divided(item: Item, before: int | None) -> int:
    if before is not None and before != int(item.text):
        rule = "the order divides the day's dose twice, differently"
        raise Refused([Fault(field="dose", rule=rule, came=item.text, accepted="divided in 2 doses")])
    return int(item.text)


def _limit(item: Item, of: str, limits: dict[Kind, Quantity]) -> Quantity:
    """The quantity of a minimum or maximum. Refused when it is a range, or a second one that differs."""
    assert item.match is not None
    if item.ranged:
        rule = f"a {item.kind.value} is one amount"
        raise Refused([Fault(field="dose", rule=rule, came=item.text, accepted=f"{item.kind.value} 5 mg")])
    limit = doses.read_dose(item.match, of)
    if limits.get(item.kind, limit) != limit:
        rule = f"the order gives two of a {item.kind.value}"
        raise Refused([Fault(field="dose", rule=rule, came=item.text, accepted=f"one {item.kind.value}")])
    return limit


def _hold(
    limits: dict[Kind, Quantity],
    group: list[Item],
    amount: Quantity | None,
    name: str,
    faults: list[Fault],
    questions: list[Question],
) -> None:
    """Hold each limit against the dose; one of a whole day beside a single dose is asked about, and no limit of the dose."""
    texts = {item.kind: item.text for item in group}
    for kind, limit in list(limits.items()):
        fault = limit_fault(kind.value, limit, texts[kind], amount)
        if fault is not None:
            faults.append(fault)
        elif amount is not None and per_day(limit):
            questions.append(day_limit(kind.value, limit, name))
            del limits[kind]


def _strength(item: Item, of: str, before: Strength | None, faults: list[Fault]) -> Strength:
    if isinstance(item.value, Strength):
        made = item.value
    else:
        assert item.match is not None
        made = doses.read_named_strength(item.match, of)
    if before is not None and before.ratio != made.ratio:
        both = f"{show_strength(before)} and {show_strength(made)}"
        rule = f"the order names two strengths for one drug: {both}"
        faults.append(Fault(field="strength", rule=rule, came=item.text, accepted="one strength"))
    return made


def _two(
    amounts: list[Quantity], ranged: bool, name: str, faults: list[Fault]
) -> tuple[Quantity | None, Quantity | None]:
    """One amount, or an amount and a volume that say the same dose two ways. Anything else is a fault."""
    if len(amounts) <= 1:
        return (amounts[0] if amounts else None), None
    volumes = [one for one in amounts if one.dimension == (("volume", 1),)]
    others = [one for one in amounts if one.dimension != (("volume", 1),)]
    if len(volumes) == 1 and len(others) == 1 and not ranged:
        return others[0], volumes[0]
    came = " and ".join(show(one) for one in amounts)
    rule = f"the order gives {len(amounts)} doses of {name}"
    faults.append(Fault(field="dose", rule=rule, came=came, accepted="one dose for each drug"))
    return amounts[0], None
