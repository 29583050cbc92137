"""An order out of a text. Every word must be claimed by a phrase, or be one of a few that carry no meaning alone.

What is left over is a fault, never ignored: a word that was not understood may be the one that matters. What is missing is
a question. All faults of a text come back together.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache

from drawndose.bench.moments import told
from drawndose.bench.order import doses, phrases
from drawndose.bench.order.allergies import find_allergies
from drawndose.bench.order.last_dose import LAST_DOSE, read_last_dose
from drawndose.bench.order.model import Fill, FillRule, Frequency, Order, Patient, Question, Span
from drawndose.bench.order.pairing import Item, Kind, pair
from drawndose.bench.order.patient import AGE, WEIGHT, implausible, read_age, read_weight
from drawndose.bench.order.phrases import Phrase
from drawndose.bench.order.questions import questions_of
from drawndose.quantities import Fault, Quantity, Refused, show
from drawndose.reference import Catalogue

MOST_CHARACTERS = 10_000
CLAIMED = "\x00"
FILLERS = frozenset(
    (
        *("a", "an", "and", "by", "for", "in", "is", "of", "plus", "the", "using", "via", "with"),
        *("dose", "give", "inhalation", "inhale", "inhaled", "order", "please", "solution", "use"),
        *("ampoule", "ampule", "bottle", "child", "nebuliser", "nebulizer", "patient", "vial", "weight"),
    )
)
"""Words that change nothing, whatever stands beside them. Not here: up, to, per, then, from, at, on, one, each, total, diluted."""
OF_AN_ORDER = frozenset({"route", "device", "frequency", "as needed", "duration", "fill"})
"""What is said once of a whole order."""
_YEARS = re.compile(r"[0-9][0-9.]{0,5} ?(?:years?|yrs?|months?|mos?)(?![a-z])", phrases.CASELESS)
_LEFT = re.compile(r"[^\s,;:.()+&\x00]{1,60}")
_UNIT_DOSE = re.compile(r"\bunit[ -]dose\b", phrases.CASELESS)
_LOST_POINT = re.compile(r"(?<![0-9])\.\s{0,3}(?=[0-9])")
_BETWEEN_NAMES = re.compile(r"\s?[/-]\s?")
_HYPERTONIC = re.compile(
    rf"(?P<strength>{phrases.N}\s?%)\s{{0,3}}(?:hypertonic\s{{1,3}})?(?:saline|sodium chloride|nacl)\b(?!\s{{0,3}}{phrases.N}\s?%)"
    rf"|(?:hypertonic\s{{1,3}})?(?:saline|sodium chloride|nacl)\s{{0,3}}(?P<strength2>{phrases.N}\s?%)",
    phrases.CASELESS,
)


@dataclass(slots=True)
class Reader:
    """A text while it is read: what is not claimed yet, what was found, and every fault."""

    text: str
    rest: str
    catalogue: Catalogue
    found: dict[str, list[object]] = field(default_factory=dict)
    items: list[Item] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    spans: list[Span] = field(default_factory=list)

    def claim(self, match: re.Match[str], name: str, reading: str) -> None:
        """Take the match out of the text that is left, and keep what it was read as."""
        self.claim_at(*match.span(), name, reading)

    def claim_at(self, start: int, end: int, name: str, reading: str) -> None:
        """The same for a piece by its place."""
        assert CLAIMED not in self.rest[start:end], "a phrase reached into what another one claimed"
        self.rest = self.rest[:start] + CLAIMED * (end - start) + self.rest[end:]
        self.spans.append(Span(start=start, end=end, field=name, reading=reading))

    def keep(self, name: str, value: object) -> None:
        """Keep a value of a field; a second one is a fault of the whole order."""
        self.found.setdefault(name, []).append(value)

    def one(self, name: str) -> object:
        """The one value of a field, or None; two different ones are a fault."""
        values = self.found.get(name, [])
        if len({_meaning(value) for value in values}) > 1:
            came = ", ".join(_spoken(value) for value in values)
            self.faults.append(
                Fault(field=name, rule="the order says it twice, differently", came=came, accepted="one")
            )
        return values[0] if values else None


def _meaning(value: object) -> object:
    """What must not be said twice differently: not the words of a fill or a frequency, but what they mean."""
    if isinstance(value, Fill):
        return value.rule, value.volume
    if isinstance(value, Frequency) and (value.interval is not None or value.in_a_day is not None):
        return value.interval, value.in_a_day, value.count, value.days
    return value


def _spoken(value: object) -> str:
    if isinstance(value, Quantity):
        return show(value)
    if isinstance(value, datetime):
        return told(value)
    return str(getattr(value, "says", value))


def read_order(text: str, *, catalogue: Catalogue) -> Order:
    """Read an order as written. Raises Refused with every fault; what is missing comes back as questions of the order.

    >>> from drawndose.reference import load
    >>> order = read_order("albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours", catalogue=load())
    >>> order.lines[0].drug.id, order.blocking
    ('albuterol', ())
    """
    if len(text) > MOST_CHARACTERS:
        rule = f"an order has at most {MOST_CHARACTERS:,} characters"
        raise Refused([Fault(field="order", rule=rule, came=f"{len(text):,} characters", accepted="a shorter order")])
    plain = _tidy(text)
    if not plain.strip():
        raise Refused([Fault(field="order", rule="the order is empty", came=text[:20], accepted=EXAMPLE)])
    reader = Reader(plain, plain, catalogue)
    _dangers(reader)
    _facts(reader)
    _hypertonic(reader)
    _amounts_with_fill(reader)
    _drugs(reader)
    _together(reader)
    lines, questions = pair(sorted(reader.items, key=lambda item: item.start), reader.faults, catalogue, plain)
    _left_over(reader)
    order = _order(reader, lines, [*questions, *_one_cup(reader)])
    if reader.faults:
        raise Refused(_distinct(reader.faults))
    return order


EXAMPLE = "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours"


def _tidy(text: str) -> str:
    """Every blank as one plain space, one micro sign; the length of the text stays that of what is read."""
    plain = text.replace("\x00", " ").replace("\u03bc", "\u00b5").replace("\u00a0", " ").replace("\u202f", " ")
    return re.sub(r"\s+", " ", plain).strip()


def _distinct(faults: list[Fault]) -> list[Fault]:
    return list(dict.fromkeys(faults))


def _dangers(reader: Reader) -> None:
    for pattern, rule, accepted in phrases.DANGERS:
        for match in pattern.finditer(reader.rest):
            reader.faults.append(Fault(field="order", rule=rule, came=match[0].strip(), accepted=accepted))
            reader.claim(match, "not accepted", rule)
    for match in phrases.OTHER_ROUTES.finditer(reader.rest):
        rule = "plans are made for nebulized inhalation only"
        reader.faults.append(Fault(field="route", rule=rule, came=match[0], accepted="by nebulizer"))
        reader.claim(match, "not accepted", rule)


def _facts(reader: Reader) -> None:
    """Everything but the drugs, doses and fill: patient, how often, why, how long, by what."""
    _allergies(reader)
    for name, pattern, read in (
        ("last dose", LAST_DOSE, read_last_dose),
        ("weight", WEIGHT, read_weight),
        ("age", AGE, read_age),
    ):
        for match in pattern.finditer(reader.rest):
            _take(reader, match, name, read)
    groups = (phrases.AS_NEEDED, phrases.FREQUENCIES, phrases.OUTPUTS, phrases.DURATIONS, phrases.CUPS, phrases.DEVICES)
    for group in (*groups, phrases.ROUTES):
        for phrase in group:
            for match in phrase.pattern.finditer(reader.rest):
                _take(reader, match, phrase.field, phrase.read)
    for match in _UNIT_DOSE.finditer(reader.rest):
        reader.claim(match, "container", "unit dose")
    devices = [str(value) for value in reader.found.get("device", [])]
    if any("nebulizer" in one for one in devices):
        reader.keep("route", "nebulized")
    for kinds in ({one for one in devices if "nebulizer" in one}, {one for one in devices if "nebulizer" not in one}):
        if len(kinds) > 1:
            rule, came = "the order names two devices of one kind", ", ".join(sorted(kinds))
            reader.faults.append(Fault(field="device", rule=rule, came=came, accepted="by jet nebulizer with mask"))


def _allergies(reader: Reader) -> None:
    """Every list of allergies. That none is known, and one beside it, is a fault."""
    lists = list(find_allergies(reader.rest, reader.catalogue))
    for start, end, found in lists:
        reader.claim_at(start, end, "allergies", ", ".join(found) or "none known")
    named = tuple(dict.fromkeys(one for _, _, found in lists for one in found))
    if named and any(not found for _, _, found in lists):
        rule, came = "the order says that no allergy is known, and names one", ", ".join(named)
        reader.faults.append(Fault(field="allergies", rule=rule, came=came, accepted="one of the two"))
    if named:
        reader.keep("allergies", named)


def _take(reader: Reader, match: re.Match[str], name: str, read: object) -> None:
    assert callable(read)
    try:
        value = read(match)
    except Refused as refused:
        reader.faults += refused.faults
        reader.claim(match, name, "not accepted")
        return
    reader.keep(name, value)
    reader.claim(match, name, _spoken(value))


def _hypertonic(reader: Reader) -> None:
    """Sodium chloride in a strength that is a treatment is a drug, not a diluent."""
    for match in _HYPERTONIC.finditer(reader.rest):
        words = match["strength"] or match["strength2"]
        if words.replace(" ", "") in {"0.9%", "0.45%"}:
            continue
        strength = doses.STRENGTH.fullmatch(words)
        assert strength is not None
        try:
            value = doses.read_named_strength(strength, "sodium chloride")
        except Refused as refused:
            reader.faults += refused.faults
            continue
        reader.items.append(Item(match.start(), Kind.DRUG, match[0], "sodium-chloride", "sodium chloride"))
        reader.items.append(Item(match.start() + 1, Kind.STRENGTH, words, value=value))
        reader.claim(match, "drug", f"sodium chloride {words}")


def _amounts_with_fill(reader: Reader) -> None:
    for match in doses.LIMIT.finditer(reader.rest):
        kind = Kind.MAXIMUM if match["which"].lower().rstrip(".") in doses.MOST else Kind.MINIMUM
        reader.items.append(Item(match.start(), kind, match[0], match=match))
        reader.claim(match, kind.value, match[0])
    for pattern, rule, accepted in phrases.UNSURE_FILLS:
        for match in pattern.finditer(reader.rest):
            reader.faults.append(Fault(field="fill", rule=rule, came=match[0], accepted=accepted))
            reader.claim(match, "fill", "not accepted")
    for match in filter(doses.same_kind, doses.RANGE.finditer(reader.rest)):
        reader.items.append(Item(match.start(), Kind.DOSE, match[0], match=match, ranged=True))
        reader.claim(match, "dose", match[0])
    for phrase in phrases.FILLS:
        for match in phrase.pattern.finditer(reader.rest):
            _fill(reader, match, phrase)
    for phrase in phrases.DILUENTS:
        for match in phrase.pattern.finditer(reader.rest):
            _take(reader, match, "diluent", phrase.read)
    for match in doses.STRENGTH.finditer(reader.rest):
        reader.items.append(Item(match.start(), Kind.STRENGTH, match[0], match=match))
        reader.claim(match, "strength", match[0])
    for match in doses.DOSE.finditer(reader.rest):
        reader.items.append(Item(match.start(), Kind.DOSE, match[0], match=match))
        reader.claim(match, "dose", match[0])
    if any("day" in item.text.lower() or item.text.lower().endswith("/d") for item in reader.items):
        for match in doses.DIVIDED.finditer(reader.rest):
            reader.items.append(Item(match.start(), Kind.DIVIDED, match["n"]))
            reader.claim(match, "dose", match[0])


def _fill(reader: Reader, match: re.Match[str], phrase: Phrase) -> None:
    try:
        value = phrase.read(match)
    except Refused as refused:
        reader.faults += refused.faults
        reader.claim(match, "fill", "not accepted")
        return
    assert isinstance(value, tuple)
    fill, diluent = value
    reader.keep("fill", fill)
    if diluent:
        reader.keep("diluent", diluent)
    reader.claim(match, "fill", f"{fill.rule.value}: {match[0]}")


@lru_cache(maxsize=4)
def _name_pattern(names: tuple[str, ...]) -> re.Pattern[str]:
    longest_first = sorted(names, key=len, reverse=True)
    # A digit beside a name is refused: "l" and "1" look alike there, and the dose may have lost its first digit.
    any_name = "|".join(re.escape(name) for name in longest_first)
    return re.compile(rf"(?<![a-z0-9])(?:{any_name})(?![a-z0-9])", phrases.CASELESS)


def _drugs(reader: Reader) -> None:
    names = reader.catalogue.names
    for match in _name_pattern(tuple(names)).finditer(reader.rest):
        drug, moiety = names[match[0].lower()]
        reader.items.append(Item(match.start(), Kind.DRUG, match[0], drug, moiety))
        reader.claim(match, "drug", moiety or drug)
    if not any(item.kind is Kind.DRUG for item in reader.items):
        _diluent_as_drug(reader)


def _diluent_as_drug(reader: Reader) -> None:
    """An order for sodium chloride 0.9 % alone: what looked like a diluent is the drug, its volume the dose."""
    named = [str(value) for value in reader.found.get("diluent", []) if "%" in str(value)]
    fills = [fill for fill in reader.found.get("fill", []) if isinstance(fill, Fill)]
    if len(named) != 1 or len(fills) > 1 or (fills and fills[0].rule is FillRule.TO_TOTAL):
        return
    percent = doses.STRENGTH.search(named[0])
    assert percent is not None
    strength = doses.read_named_strength(percent, "sodium chloride")
    reader.items.append(Item(0, Kind.DRUG, named[0], "sodium-chloride", "sodium chloride"))
    reader.items.append(Item(1, Kind.STRENGTH, percent[0], value=strength))
    if fills:
        reader.items.append(Item(2, Kind.DOSE, fills[0].says, value=fills[0].volume))
    reader.found.pop("diluent", None)
    reader.found["fill"] = []


def _together(reader: Reader) -> None:
    for match in phrases.TOGETHER.finditer(reader.rest):
        reader.keep("together", True)
        reader.claim(match, "together", "in one cup")


def _one_cup(reader: Reader) -> list[Question]:
    """Two orders in one text are not one cup: a route, a frequency or a fill between two drugs may end the first order."""
    places = [item.start for item in reader.items if item.kind in {Kind.DRUG, Kind.DOSE}]
    drugs = [item.text for item in reader.items if item.kind is Kind.DRUG]
    if len(drugs) < 2 or "together" in reader.found:
        return []
    between = [span for span in reader.spans if span.field in OF_AN_ORDER and min(places) < span.start < max(places)]
    if not between:
        return []
    asks = f"Are {' and '.join(drugs)} mixed in one cup, or are these orders of their own?"
    return [Question(field="drug", asks=asks, options=("mixed together", "one order at a time"))]


def _names_joined(reader: Reader) -> None:
    """A stroke or a hyphen may stand before or between drugs ("0.5 mg/albuterol"); anywhere else it may mean per or minus."""
    names = {span.start for span in reader.spans if span.field == "drug"}
    ends = {span.end for span in reader.spans if span.field in {"drug", "dose", "strength"}}
    for match in _BETWEEN_NAMES.finditer(reader.rest):
        if match.end() in names and match.start() in ends:
            reader.rest = reader.rest[: match.start()] + CLAIMED * len(match[0]) + reader.rest[match.end() :]


def _left_over(reader: Reader) -> None:
    """Every word that no phrase claimed. A number or an unknown word is a fault; one fault for a run of them."""
    _names_joined(reader)
    for match in _LOST_POINT.finditer(reader.text):
        if reader.rest[match.start()] == ".":
            rule = "a point before a number could be a decimal point"
            came = reader.text[match.start() : match.end() + 1]
            reader.faults.append(
                Fault(field="order", rule=rule, came=came, accepted="0.5 mg, or a comma for the point")
            )
    words = [match for match in _LEFT.finditer(reader.rest) if match[0].lower() not in FILLERS]
    run: list[re.Match[str]] = []
    for match in words:
        if run and reader.rest[run[-1].end() : match.start()].strip(" ,;:.()") != "":
            _report(reader, run)
            run = []
        run.append(match)
    _report(reader, run)


def _report(reader: Reader, run: list[re.Match[str]]) -> None:
    if run:
        came = reader.text[run[0].start() : run[-1].end()]
        rule = "this was not understood, and nothing in an order is skipped"
        accepted = f"an order such as: {EXAMPLE}"
        if (years := _YEARS.search(came)) is not None:
            rule = f"{years[0]} may be an age or how long it goes on: say which"
            accepted = f"age {years[0]}, {years[0]} old, or without it"
        reader.faults.append(Fault(field="order", rule=rule, came=came, accepted=accepted))
        for match in run:
            reader.spans.append(Span(start=match.start(), end=match.end(), field="not understood", reading=""))


def _order(reader: Reader, lines: tuple[object, ...], questions: list[Question]) -> Order:
    weight, age = reader.one("weight"), reader.one("age")
    patient = Patient(weight=weight, age=age, allergies=reader.one("allergies") or ())  # type: ignore[arg-type]
    order = Order(
        lines=lines,  # type: ignore[arg-type]
        fill=reader.one("fill"),  # type: ignore[arg-type]
        diluent=str(reader.one("diluent") or ""),
        route=str(reader.one("route") or ""),
        device=" with ".join(dict.fromkeys(str(value) for value in reader.found.get("device", []))),
        cup=reader.one("cup"),  # type: ignore[arg-type]
        frequency=reader.one("frequency"),  # type: ignore[arg-type]
        as_needed=str(reader.one("as needed") or ""),
        duration=reader.one("duration"),  # type: ignore[arg-type]
        output=reader.one("output"),  # type: ignore[arg-type]
        patient=patient,
        last_dose=reader.one("last dose"),  # type: ignore[arg-type]
        questions=tuple(questions),
        text=reader.text,
        spans=tuple(sorted(reader.spans, key=lambda span: span.start)),
    )
    return questions_of(order, implausible(patient, blocking=_by_weight(order)))


def _by_weight(order: Order) -> bool:
    return any("kg" in str(line.dose.amount.unit) for line in order.lines if line.dose.amount is not None)
