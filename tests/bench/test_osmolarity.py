"""The osmolarity of a fill: every liquid counted by its volume, ranges carried along, and the unknown named."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.bench.osmolarity import CALCULATED, GATHERED, PRINTED, Estimate, Own, estimate, own
from tests.bench.benches import BOOK, BOTTLE, ready

SALT_7 = "sodium-chloride-7pct-unit-dose"


@pytest.mark.parametrize(
    ("text", "idents", "told"),
    [
        ("sodium chloride 3 % 4 mL by nebulizer", (), "1,027 mOsm per L, by the labels' calculated values"),
        ("sodium chloride 7 % 4 mL by nebulizer", (), "2,396 mOsm per L, calculated"),
        # "isotonic" on a label is taken as the two figures of 0.9 % sodium chloride
        ("ipratropium 0.5 mg by nebulizer", (), "about 282 to 308 mOsm per L, from printed and measured values"),
        ("levalbuterol 0.63 mg by nebulizer", (), "not known: no label in this cup prints one"),
        # 0.5 mL of 60 to 100 and 2.5 mL of 308 mOsm per L in 3 mL: 800 / 3 to 820 / 3
        (
            "albuterol 2.5 mg by nebulizer to 3 mL",
            (BOTTLE,),
            "about 266 to 274 mOsm per L, from printed and measured values",
        ),
        # 2.5 mL of 308 mOsm per L in 3 mL
        (
            "albuterol 2.5 mg by nebulizer to 3 mL",
            ("albuterol-2.5mg-0.5ml",),
            "about 257 mOsm per L from the rest of the fill, by the labels' calculated values; that of albuterol 0.5 % "
            "concentrate is not printed",
        ),
    ],
)
def test_the_osmolarity_says_how_much_of_it_is_known(text: str, idents: tuple[str, ...], told: str) -> None:
    assert ready(text, *idents).osmolarity == told


def test_the_osmolarity_of_a_first_dilution_counts_the_diluent_in_the_part() -> None:
    # 0.03 mL of 60 to 100 mOsm per L in 3 mL, the rest 308: 305.52 to 305.92
    plan = ready("albuterol 0.15 mg by nebulizer to 3 mL", BOTTLE)
    assert plan.fill is not None
    found = estimate(plan.takes, plan.fill)
    assert (found.low, found.high) == (Fraction(30552, 100), Fraction(30592, 100))
    assert plan.osmolarity == "about 305 to 306 mOsm per L, from printed and measured values"
    part = ready("epinephrine 0.03 mg by nebulizer once", "epinephrine-1mg-1ml-ampoule")
    assert part.osmolarity == "308 mOsm per L, calculated"


def test_what_a_label_prints_goes_before_what_was_measured_and_nothing_is_made_up() -> None:
    told = {one.id: own(one) for one in BOOK.presentations}
    assert told["levalbuterol-0.63mg-3ml"] is None
    hows = {ident: known.how for ident, known in told.items() if known is not None}
    assert hows["sodium-chloride-0.9pct-unit-dose"] == PRINTED
    assert hows[SALT_7] == hows["ribavirin-6g-vial"] == CALCULATED
    assert hows[BOTTLE] == hows["cromolyn-20mg-unit-dose-2ml"] == GATHERED
    assert not {one.id for one in BOOK.presentations if one.osmolarity is not None} & set(BOOK.liquids.osmotic)


@given(st.fractions(0, 5000, max_denominator=1000), st.fractions(0, 5000, max_denominator=1000))
def test_a_range_is_told_low_to_high_and_one_number_once(one: Fraction, other: Fraction) -> None:
    low, high = sorted((one, other))
    liquid = Own(low=low, high=high, how=PRINTED)
    told = Estimate(parts=((Fraction(3), liquid),), total=Fraction(3), unknown=()).value
    assert told.endswith(" mOsm per L")
    assert told.count("about ") <= 1
    assert (" to " in told) is (low != high)
    if low != high:
        shown = [int(word) for word in told.replace(",", "").split() if word.isdigit()]
        assert shown[0] <= low <= high <= shown[1]
