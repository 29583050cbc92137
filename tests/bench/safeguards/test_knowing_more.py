"""Knowing more never lets more through: over every published dose, a weight or an age added to an order takes no stop away."""

from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest

from drawndose.bench.compared import Compared, compare
from drawndose.bench.dosing import resolve
from drawndose.bench.findings import Level
from drawndose.bench.order import Dose, DrugLine, Frequency, Order, Patient
from drawndose.bench.order.patient import weights_at
from drawndose.bench.policy import Policy
from drawndose.bench.published import printed_doses
from drawndose.quantities import Quantity, read_quantity, show
from tests.bench.benches import BOOK, order
from tests.bench.safeguards.ordered import on

FACTORS = [Fraction(*one) for one in ((1, 1000), (1, 10), (1, 3), (1, 1), (3, 2), (10, 1))]
OFTEN = (None, Frequency(says="10 times daily", in_a_day=10))
AGES = [read_quantity(one) for one in ("2 weeks", "3 years", "11 years", "40 years")]
KGS = [Quantity.of_text(Fraction(kg), "kg") for kg in ("0.3", "14", "41", "350")]
GRAVE = {Level.STOP: 2, Level.CAUTION: 1, Level.NOTE: 0}


def amounts(drug: str) -> list[Quantity]:
    """Every amount that a text prints as one dose of anybody; of a dose per kg, that of 20 kg."""
    texts = printed_doses(drug, BOOK)[0]
    ends = [end for text in texts for end in (text.low, text.high, text.least, text.most) if end is not None]
    each = [one.amount * read_quantity("20 kg") if one.per_kg else one.amount for one in ends]
    return list({(one.base, one.dimension, one.of): one for one in each}.values())


def asked(drug: str, amount: Quantity, often: Frequency | None) -> Order:
    runs = ("time", -1) in amount.dimension
    line = DrugLine(drug=BOOK.drug(drug), moiety=amount.of[0][0], as_written=drug, dose=Dose(amount=amount))
    duration = Quantity.of_text(4, "h") if runs else None
    return Order(lines=(line,), route="nebulized", frequency=None if runs else often, duration=duration)


def gravest(one: Order) -> int:
    return max((GRAVE[found.level] for found in on(one)), default=-1)


def allows(one: Order) -> bool:
    """True when a text for this very patient allows the dose."""
    compared = compare(resolve(one.lines[0], one), one, BOOK, Policy())
    assert isinstance(compared, Compared)
    return not compared.anyone and any(held.may for held in compared.texts)


def fuller(one: Patient) -> list[Patient]:
    """The same patient with one thing more known, weight and age going together."""
    found = [] if one.age is not None else [replace(one, age=age) for age in AGES]
    found += [] if one.weight is not None else [replace(one, weight=kg) for kg in KGS]
    return [each for each in found if _together(each)]


def _together(one: Patient) -> bool:
    if one.age is None or one.weight is None:
        return True
    least, most = weights_at(one.age)
    return least <= one.weight <= most


DRUGS = [one.id for one in BOOK.drugs if printed_doses(one.id, BOOK)[0]]


@pytest.mark.parametrize("drug", DRUGS)
def test_a_stop_stays_a_stop_when_weight_or_age_become_known(drug: str) -> None:
    looked = 0
    for amount in amounts(drug):
        for factor, often in product(FACTORS, OFTEN):
            bare = asked(drug, amount * factor, often)
            found: dict[Patient, int] = {}
            for less in (Patient(), *fuller(Patient())):
                if less not in found:
                    found[less] = gravest(replace(bare, patient=less))
                for more in fuller(less) if found[less] == GRAVE[Level.STOP] else ():
                    if more not in found:
                        found[more] = gravest(replace(bare, patient=more))
                    looked += 1
                    told = replace(bare, patient=more)
                    assert found[more] == GRAVE[Level.STOP] or allows(told), (show(amount * factor), less, more)
    assert looked


def test_a_text_for_that_very_weight_may_allow_what_is_stopped_without_it_and_nothing_else() -> None:
    assert gravest(order("albuterol 12 mg by nebulizer")) == GRAVE[Level.STOP]
    assert gravest(order("albuterol 12 mg by nebulizer, 80 kg")) == GRAVE[Level.STOP]
    assert allows(order("albuterol 10 mg by nebulizer, 80 kg"))
    assert not allows(order("albuterol 12 mg by nebulizer, 80 kg"))
