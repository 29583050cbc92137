"""An order out of a form's fields: the same phrases as in a text, each in its own box, every fault at its own field.

Fields: drug, dose, strength, minimum, maximum (and the same with _2 and _3 for more drugs in one cup), fill_rule ("to a
total", "add", "undiluted" or empty), fill, diluent, route, device, frequency, as_needed, duration, output, weight, age, cup, allergies
("sulfites, albuterol", or "none known"), last_dose ("2026-11-25 10:00").
An empty field was not filled in; a field that is not known is a fault.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from drawndose.bench.order import doses, phrases
from drawndose.bench.order.allergies import allergies_in
from drawndose.bench.order.last_dose import ACCEPTED, last_dose_in
from drawndose.bench.order.model import Fill, FillRule, Frequency, Order, Patient, Question
from drawndose.bench.order.pairing import Item, Kind, pair
from drawndose.bench.order.patient import AGE, WEIGHT, implausible, read_age, read_weight
from drawndose.bench.order.phrases import Phrase
from drawndose.bench.order.questions import questions_of
from drawndose.quantities import Fault, Manner, Quantity, Refused, read_quantity, read_strength
from drawndose.quantities.reading import tidy
from drawndose.reference import Catalogue

OF_A_DRUG = ("drug", "dose", "strength", "minimum", "maximum")
OF_THE_ORDER = (
    "fill_rule", "fill", "diluent", "route", "device", "frequency", "as_needed", "duration", "output", "weight", "age", "cup",
    "allergies", "last_dose",
)  # fmt: skip
SUFFIXES = ("", "_2", "_3")
FIELDS = (*(f"{name}{suffix}" for suffix in SUFFIXES for name in OF_A_DRUG), *OF_THE_ORDER)
MOST_CHARACTERS = 200
"""No single field needs more; a longer one was pasted into the wrong box."""


class _Reading:
    """The fields while they are read: texts by name, and every fault."""

    def __init__(self, fields: Mapping[str, str]) -> None:
        self.texts = {name: tidy(text) for name, text in fields.items() if text.strip()}
        self.faults: list[Fault] = []
        for name, text in self.texts.items():
            if name not in FIELDS:
                self.fault(name, "the field is not known", text, ", ".join(FIELDS))
            elif len(text) > MOST_CHARACTERS:
                self.fault(name, f"a field has at most {MOST_CHARACTERS} characters", text, "a shorter text")

    def fault(self, name: str, rule: str, came: str, accepted: str) -> None:
        self.faults.append(Fault(field=name, rule=rule, came=came, accepted=accepted))

    def text(self, name: str) -> str:
        """The field's text; nothing where it is too long, which is a fault already."""
        text = self.texts.get(name, "")
        return text if len(text) <= MOST_CHARACTERS else ""

    def read(self, name: str, reader: Callable[[str], object], accepted: str) -> object:
        """What a field is read as, or None; a reader that returns None did not understand it."""
        text = self.text(name)
        if not text:
            return None
        try:
            value = reader(text)
        except Refused as refused:
            self.faults += [
                Fault(field=name, rule=one.rule, came=one.came, accepted=one.accepted) for one in refused.faults
            ]
            return None
        if value is None:
            self.fault(name, "this was not understood", text, accepted)
        return value


def read_fields(fields: Mapping[str, str], *, catalogue: Catalogue) -> Order:
    """Read an order from fields. Raises Refused with every fault, each under its field's name."""
    reading = _Reading(fields)
    items = [item for suffix in SUFFIXES for item in _drug_items(reading, suffix, catalogue)]
    lines, questions = pair(items, reading.faults, catalogue)
    weight = reading.read("weight", _whole(WEIGHT, read_weight), "8 kg")
    age = reading.read("age", _age, "4 years, 18 months")
    allergies = reading.read("allergies", lambda text: allergies_in(text, book=catalogue), "sulfites, or none known")
    patient = Patient(weight=weight, age=age, allergies=allergies or ())  # type: ignore[arg-type]
    order = Order(
        lines=lines,
        fill=_fill(reading, questions),
        diluent=str(reading.read("diluent", _phrases(phrases.DILUENTS), "0.9 % sodium chloride, sterile water") or ""),
        route=str(reading.read("route", _route, "by nebulizer") or ""),
        device=str(reading.read("device", _phrases(phrases.DEVICES), "jet nebulizer, with mask") or ""),
        cup=reading.read("cup", _volume("cup"), "6 mL"),  # type: ignore[arg-type]
        frequency=_frequency(reading),
        as_needed=str(reading.read("as_needed", _as_needed, "wheeze, shortness of breath") or ""),
        duration=reading.read("duration", _of_dimension("duration", "time"), "4 h"),  # type: ignore[arg-type]
        output=reading.read("output", _output, "25 mL per h"),  # type: ignore[arg-type]
        patient=patient,
        last_dose=reading.read("last_dose", last_dose_in, ACCEPTED),  # type: ignore[arg-type]
        questions=tuple(questions),
        text="; ".join(f"{name.replace('_', ' ')} {reading.text(name)}" for name in FIELDS if reading.text(name)),
    )
    if reading.faults:
        raise Refused(dict.fromkeys(reading.faults))
    by_weight = any(("kg", -1) in line.dose.amount.unit.parts for line in order.lines if line.dose.amount is not None)
    return questions_of(order, implausible(patient, blocking=by_weight))


def _drug_items(reading: _Reading, suffix: str, catalogue: Catalogue) -> list[Item]:
    """The pieces of one drug, as the pairing of a text would get them; the place keeps each drug's pieces together."""
    start = SUFFIXES.index(suffix) * 100
    items: list[Item] = []
    name = reading.text(f"drug{suffix}")
    known = catalogue.names.get(name.lower())
    if name and known is None:
        reading.fault(f"drug{suffix}", "the drug is not in the catalogue", name, "a generic name of the catalogue")
    elif known is not None:
        items.append(Item(start, Kind.DRUG, name, known[0], known[1]))
    elif any(reading.text(f"{one}{suffix}") for one in OF_A_DRUG[1:]):
        reading.fault(f"drug{suffix}", "a dose needs its drug", "", "albuterol")
    of = (known[1] if known else None) or name or None
    for place, (field, kind) in enumerate(
        (("dose", Kind.DOSE), ("minimum", Kind.MINIMUM), ("maximum", Kind.MAXIMUM)), 1
    ):
        items += _dose_items(reading, f"{field}{suffix}", kind, start + place, of or "the drug")
    strength = reading.read(
        f"strength{suffix}",
        lambda text: read_strength(text, field=f"strength{suffix}", manner=Manner.ORDER, of=of),
        "0.5 %, 5 mg per mL, 2.5 mg in 3 mL",
    )
    if strength is not None:
        items.append(Item(start + 9, Kind.STRENGTH, reading.text(f"strength{suffix}"), value=strength))
    return items


def _dose_items(reading: _Reading, field: str, kind: Kind, place: int, of: str) -> list[Item]:
    """A dose's pieces. It is read here already, so that its faults stand at its own field, whatever the drug is."""
    text = reading.text(field)
    if not text:
        return []
    divided = doses.DIVIDED.search(text) if "day" in text.lower() else None
    amount = text[: divided.start()].rstrip(" ,") if divided is not None else text
    ranged = doses.RANGE.fullmatch(amount)
    single = doses.DOSE.fullmatch(amount)
    match = ranged or single
    if match is None:
        reading.fault(field, "a dose is a number and its unit", text, "2.5 mg, 0.15 mg per kg, 10 mg per h")
        return []
    read = doses.read_range if ranged is not None else doses.read_dose
    if reading.read(field, lambda _: read(match, of), "2.5 mg") is None:
        return []
    items = [Item(place, kind, amount, match=match, ranged=ranged is not None)]
    if divided is not None:
        items.append(Item(place + 5, Kind.DIVIDED, divided["n"]))
    return items


def _whole(pattern: re.Pattern[str], read: Callable[[re.Match[str]], object]) -> Callable[[str], object]:
    def reader(text: str) -> object:
        match = pattern.fullmatch(text)
        return read(match) if match is not None else None

    return reader


def _phrases(group: tuple[Phrase, ...]) -> Callable[[str], object]:
    def reader(text: str) -> object:
        for phrase in group:
            match = phrase.pattern.fullmatch(text) or phrase.pattern.fullmatch(f"with {text}")
            if match is not None:
                return phrase.read(match)
        return None

    return reader


def _age(text: str) -> object:
    match = AGE.fullmatch(text) or AGE.fullmatch(f"age {text}")
    return read_age(match) if match is not None else None


def _as_needed(text: str) -> object:
    """The reason, with or without the words before it; the same closed list as in a text."""
    for words in (text, f"as needed for {text}"):
        match = phrases.AS_NEEDED[0].pattern.fullmatch(words)
        if match is not None:
            return phrases.AS_NEEDED[0].read(match)
    return None


def _route(text: str) -> object:
    if phrases.OTHER_ROUTES.fullmatch(text):
        rule = "plans are made for nebulized inhalation only"
        raise Refused([Fault(field="route", rule=rule, came=text, accepted="by nebulizer")])
    return _phrases(phrases.ROUTES)(text)


def _volume(field: str) -> Callable[[str], object]:
    return _of_dimension(field, "volume")


def _of_dimension(field: str, dimension: str) -> Callable[[str], object]:
    def reader(text: str) -> object:
        quantity = read_quantity(text, field=field, manner=Manner.ORDER)
        return quantity if quantity.dimension == ((dimension, 1),) and quantity.value else None

    return reader


def _output(text: str) -> object:
    quantity = read_quantity(text, field="output", manner=Manner.ORDER)
    return quantity if quantity.dimension == (("time", -1), ("volume", 1)) and quantity.value else None


def _frequency(reading: _Reading) -> Frequency | None:
    accepted = "every 4 hours, 3 times daily, once"
    return reading.read("frequency", _phrases(phrases.FREQUENCIES), accepted)  # type: ignore[return-value]


def _fill(reading: _Reading, questions: list[Question]) -> Fill | None:
    """The fill needs its rule: 3 mL in all and 3 mL added are not the same."""
    rule, text = reading.text("fill_rule"), reading.text("fill")
    known = {one.value: one for one in FillRule if one is not FillRule.UNCLEAR}
    if rule and rule not in known:
        reading.fault("fill_rule", "the rule is one of a list", rule, ", ".join(known))
        return None
    volume = reading.read("fill", _volume("fill"), "3 mL")
    if not isinstance(volume, Quantity):
        if rule and known[rule] is not FillRule.UNDILUTED and not text:
            reading.fault("fill", "the rule needs its volume", "", "3 mL")
        undiluted = bool(rule) and known[rule] is FillRule.UNDILUTED
        return Fill(rule=FillRule.UNDILUTED, volume=None, says="undiluted") if undiluted else None
    if rule and known[rule] is FillRule.UNDILUTED:
        reading.fault("fill", "undiluted leaves no volume to fill", text, "an empty field")
        return None
    return Fill(rule=known[rule] if rule else FillRule.UNCLEAR, volume=volume, says=text)
