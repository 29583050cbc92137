"""Weight and age out of an order or a field: kg only, and plausible together.

The plausibility bounds are wide house bounds from memory, meant to catch a pound written as a kilogram, a lost point or
a swapped field; they are not growth data.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from drawndose.bench.order.model import Patient, Question
from drawndose.bench.order.phrases import CASELESS, N
from drawndose.quantities import Fault, Manner, Quantity, Refused, read_quantity, show, show_about

POUND = Fraction(45359237, 100_000_000)
"""One international avoirdupois pound in kg, exact (NIST Handbook 44, Appendix C)."""

WEIGHT = re.compile(
    rf"(?:\b(?:patient\s{{1,3}})?(?:weight|weighs|weighing|wt|body weight|at)\s{{0,3}}(?:of|is|:|=)?\s{{0,3}})?\(?(?P<n>{N})\s{{0,3}}"
    r"(?P<unit>kgs?|kilograms?|lbs?|pounds?|stone)\b\)?(?:\s{1,3}(?:child|patient|infant|adult|body weight))?",
    CASELESS,
)
AGE = re.compile(
    rf"(?:\b(?:aged?|age)\s{{0,3}}(?:of|is|:|=)?\s{{0,3}}(?P<n>{N})\s{{0,3}}-?(?P<unit>years?|yrs?|y|months?|mo|weeks?|wk|days?|d)\b(?:\s{{0,3}}old)?"
    rf"|(?P<n2>{N})[\s-]{{0,3}}(?P<unit2>years?|yrs?|y|months?|mo|weeks?|wk|days?|d)[\s-]{{0,3}}(?:old|of age|/o|o\b)(?:\s{{1,3}}(?:child|patient|infant|boy|girl))?)",
    CASELESS,
)

BANDS = (
    ("1 month", "0.3 kg", "7 kg"),
    ("1 year", "1 kg", "16 kg"),
    ("5 years", "4 kg", "45 kg"),
    ("10 years", "9 kg", "90 kg"),
    ("16 years", "15 kg", "200 kg"),
    ("120 years", "20 kg", "350 kg"),
)
"""Up to this age, from this weight to that one. From memory: wide, to catch slips only; no setting, as no dose follows from it."""

LIGHTEST, HEAVIEST = (Quantity.of_text(kg, "kg") for kg in (Fraction(3, 10), Fraction(350)))
"""The weights that are accepted at all."""


def read_weight(match: re.Match[str]) -> Quantity:
    """The weight in kg. Refused for pounds, with the conversion shown, and for a weight that no patient has."""
    if not match["unit"].lower().startswith("k"):
        raise Refused([_not_kg(match)])
    weight = read_quantity(f"{match['n']} kg", field="weight", manner=Manner.ORDER)
    if not LIGHTEST <= weight <= HEAVIEST:
        rule = "a patient's weight lies between 0.3 and 350 kg"
        raise Refused([Fault(field="weight", rule=rule, came=match[0].strip(), accepted="8 kg")])
    return weight


def _not_kg(match: re.Match[str]) -> Fault:
    rule = "weight is taken in kg only"
    accepted = "the weight in kg, measured in kg"
    if match["unit"].lower() in {"lb", "lbs", "pound", "pounds"}:
        pounds = read_quantity(f"{match['n']} lb", field="weight", manner=Manner.DATA)
        kilograms = Quantity.of_text(pounds.value * POUND, "kg")
        rule += f" ({show(pounds)} is {show_about(kilograms, 4)}: 1 lb is 0.45359237 kg)"
    return Fault(field="weight", rule=rule, came=match[0].strip(), accepted=accepted)


def read_age(match: re.Match[str]) -> Quantity:
    """The age. Refused above 120 years."""
    number, unit = match["n"] or match["n2"], match["unit"] or match["unit2"]
    age = read_quantity(f"{number} {unit}", field="age", manner=Manner.ORDER)
    if age > read_quantity("120 years"):
        raise Refused([Fault(field="age", rule="an age is at most 120 years", came=match[0], accepted="4 years")])
    return age


def weights_at(age: Quantity) -> tuple[Quantity, Quantity]:
    """The least and the most that somebody of this age weighs, by the wide bands above."""
    return next(((least, most) for up_to, least, most in bands() if age <= up_to), bands()[-1][1:])


@lru_cache(maxsize=1)
def bands() -> tuple[tuple[Quantity, Quantity, Quantity], ...]:
    """The bands as quantities: up to this age, from this weight to that one."""
    return tuple((read_quantity(age), read_quantity(least), read_quantity(most)) for age, least, most in BANDS)


def implausible(patient: Patient, *, blocking: bool) -> tuple[Question, ...]:
    """A question when weight and age do not go together."""
    if patient.weight is None or patient.age is None:
        return ()
    least, most = weights_at(patient.age)
    if least <= patient.weight <= most:
        return ()
    asks = f"{show(patient.weight)} at {show(patient.age)} old does not go together. Which one is right?"
    return (Question(field="weight", asks=asks, blocking=blocking),)
