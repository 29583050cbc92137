"""An order as the engine reads it, with what the record knows of the patient: the weight that the order counts with, and the age."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import lru_cache

from drawndose.bench.order import Order as Reading
from drawndose.bench.order import Question, read_order
from drawndose.bench.order.allergies import allergies_in
from drawndose.bench.order.model import Patient as Facts
from drawndose.bench.order.patient import implausible
from drawndose.department.work.models import Order, Patient
from drawndose.department.work.places import local
from drawndose.quantities import Quantity, Refused
from drawndose.reference import load


@lru_cache(maxsize=2048)
def reading_of(text: str) -> Reading:
    """The words alone. Refused with every fault. Kept: the same words are read the same way."""
    return read_order(text, catalogue=load())


def reading_for(order: Order, text: str = "") -> Reading:
    """The order with the patient's weight and age as they were when it was written, and the allergies of today.

    text: its words with what was answered since.
    """
    grams = order.weight_g if order.weight_g is not None else order.patient.weight_g
    on = local(order.site, order.ordered_at).date()
    return with_facts(reading_of(text or order.text), order.patient, grams, on)


def with_facts(reading: Reading, patient: Patient, grams: int | None, on: date) -> Reading:
    """The same order with weight and age out of the record where its words name none: what is written goes first."""
    weight, age = reading.patient.weight, reading.patient.age
    asked = reading.questions
    if weight is None and grams is not None:
        weight = kilograms(grams)
        asked = tuple(one for one in asked if not (one.field == "weight" and one.blocking))
    if age is None:
        age = age_on(patient.born, on)
    allergies = tuple(dict.fromkeys((*reading.patient.allergies, *allergies_of(patient))))
    facts = Facts(weight=weight, age=age, allergies=allergies)
    if (weight, age) != (reading.patient.weight, reading.patient.age):
        asked = (*asked, *implausible(facts, blocking=True))
    return replace(reading, patient=facts, questions=asked)


def allergies_of(patient: Patient) -> tuple[str, ...]:
    """What the patient does not tolerate, as the record has it today; words that are no name are kept whole, and told as unchecked."""
    if not patient.allergies:
        return ()
    try:
        return allergies_in(patient.allergies, book=load())
    except Refused:
        return (patient.allergies,)


def missing(reading: Reading) -> tuple[Question, ...]:
    """What keeps an order from being complete: everything that it leaves open and that stops a preparation."""
    return reading.blocking


def kilograms(grams: int) -> Quantity:
    """A weight out of the record."""
    return Quantity.of_text(Fraction(grams, 1000), "kg")


def age_on(born: date, on: date) -> Quantity:
    """The age in whole days up to a month, whole months up to two years, then whole years: as the trade tells it."""
    months = (on.year - born.year) * 12 + on.month - born.month - (on.day < born.day)
    if months < 1:
        return Quantity.of_text(max((on - born).days, 0), "day")
    return Quantity.of_text(months, "month") if months < 24 else Quantity.of_text(months // 12, "year")
