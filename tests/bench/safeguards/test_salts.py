"""A salt in the order with the number of the base: stopped, and silent wherever the amount of the salt makes sense."""

import pytest

from drawndose.bench.findings import Level, Waiver
from drawndose.bench.published import printed_doses
from drawndose.bench.safeguards.salts import RULES
from drawndose.quantities import show
from tests.bench.benches import BOOK
from tests.bench.safeguards.ordered import rules_on, the

RULE = "salt-or-base"


def test_the_number_of_the_base_counted_as_the_salt_is_stopped_with_both_amounts() -> None:
    finding = the("albuterol sulfate 2.5 mg by nebulizer, made up to 3 mL", RULE)
    assert (finding.level, finding.waiver) == (Level.STOP, Waiver.PRESCRIBER)
    assert finding.says == (
        "2.5 mg of albuterol sulfate is about 2.08 mg of albuterol, which the labels count. 2.5 mg is a published dose of "
        "albuterol."
    )
    assert finding.do == "Ask the prescriber which is meant, and have it written as albuterol."
    assert finding.origin.source in BOOK.sources
    assert [one.id for one in RULES] == [RULE]


def test_a_dose_by_weight_is_looked_at_too() -> None:
    child = "by nebulizer to 3 mL, weight 30 kg, 9 years old"
    assert RULE in rules_on(f"albuterol sulfate 0.15 mg/kg {child}")
    assert RULE not in rules_on(f"albuterol 0.15 mg/kg {child}")


@pytest.mark.parametrize(
    "text",
    [
        "albuterol sulfate 3 mg by nebulizer to 3 mL",  # 2.5 mg of albuterol
        "albuterol sulfate 6 mg by nebulizer to 3 mL",
        "albuterol sulfate 3.5 mg by nebulizer to 3 mL",  # no published number of either
        "albuterol 3 mg by nebulizer to 3 mL",  # what labels count
        "arformoterol tartrate 22 mcg by nebulizer",
        "magnesium sulfate 150 mg by nebulizer",
    ],
)
def test_where_the_salt_makes_sense_or_the_label_counts_it_nothing_is_said(text: str) -> None:
    assert RULE not in rules_on(text)


@pytest.mark.parametrize("drug", [one.id for one in BOOK.drugs])
def test_no_dose_that_is_published_is_taken_for_a_salt(drug: str) -> None:
    for text in printed_doses(drug, BOOK)[0]:
        for end in (text.low, text.high):
            if end is not None and not end.per_kg and end.amount.of and end.amount.dimension != (("volume", 1),):
                order = f"{end.amount.of[0][0]} {show(end.amount).replace(',', '')} by nebulizer"
                assert RULE not in rules_on(order), order
