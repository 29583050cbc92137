"""Far from isotonic, and very acid: what brings it up, what is only noted, and that ordinary orders are left in peace."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose import Plan, Status
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.osmolarity import estimate
from drawndose.quantities import read_quantity
from tests.bench.benches import BOOK, BOTTLE, EXAMPLES, found, made, ready, rules

MINE = {"fill-not-isotonic", "very-acid"}
ACETYLCYSTEINE, IPRATROPIUM = "acetylcysteine-20pct", "ipratropium-500mcg-2.5ml"
CROMOLYN, INJECTION = "cromolyn-20mg-unit-dose-2ml", "glycopyrrolate-0.2mg-per-ml-injection"


def mine(plan: Plan) -> set[str]:
    return rules(plan) & MINE


def test_a_fill_of_water_is_cautioned_and_one_of_saline_is_not() -> None:
    # 0.5 mL of 60 to 100 mOsm per L in 3 mL of water: 10 to 16.7
    finding = found(made("albuterol 2.5 mg by nebulizer to 3 mL with sterile water", BOTTLE), "fill-not-isotonic")
    assert (finding.level, finding.waiver) == (Level.CAUTION, Waiver.PREPARER)
    assert finding.says == (
        "The fill is about 10 to 17 mOsm per L; isotonic is 308. At 103, sodium chloride 0.3 % narrowed the "
        "airways of people with asthma, in a 1981 study."
    )
    assert finding.origin.source in BOOK.sources
    for text in ("to 3 mL with normal saline", "to 3 mL with 0.45 % sodium chloride", "add 2.5 mL saline"):
        assert mine(made(f"albuterol 2.5 mg by nebulizer {text}", BOTTLE)) == set()


def test_a_liquid_that_nobody_knows_keeps_the_lower_bound_silent_and_not_the_upper_one() -> None:
    water = made("albuterol 2.5 mg by nebulizer to 3 mL with sterile water", "albuterol-2.5mg-0.5ml")
    assert water.fill is not None
    assert estimate(water.takes, water.fill).unknown == ("albuterol 0.5 % concentrate",)
    assert mine(water) == set()
    text = "acetylcysteine 800 mg and levalbuterol 1.25 mg by nebulizer"
    finding = found(made(text, ACETYLCYSTEINE, "levalbuterol-1.25mg-3ml", cup="cup-10"), "fill-not-isotonic")
    # 4 mL of 2,450 mOsm per L in 7 mL
    assert finding.says.startswith("The fill is at least 1,400 mOsm per L; isotonic is 308. At 924, sodium")
    assert (finding.level, finding.waiver) == (Level.CAUTION, Waiver.PREPARER)


def test_a_mixture_far_above_isotonic_is_cautioned_and_a_diluted_one_is_not() -> None:
    text = "acetylcysteine 600 mg and ipratropium 0.5 mg by nebulizer"
    assert found(made(text, ACETYLCYSTEINE, IPRATROPIUM), "fill-not-isotonic").level is Level.CAUTION
    # 1 mL of 2,450 and 2.5 mL of 282 to 308: below 924
    little = made("acetylcysteine 200 mg and ipratropium 0.5 mg by nebulizer", ACETYLCYSTEINE, IPRATROPIUM)
    assert mine(little) == set()


def test_a_hypertonic_saline_that_is_ordered_is_what_it_is() -> None:
    for share in ("3 %", "7 %"):
        finding = found(ready(f"sodium chloride {share} 4 mL by nebulizer"), "fill-not-isotonic")
        assert (finding.level, finding.waiver, finding.do) == (
            Level.NOTE,
            Waiver.UNASKED,
            "Watch for cough and bronchospasm.",
        )
    both = made("albuterol 2.5 mg and sodium chloride 7 % 4 mL by nebulizer", "albuterol-2.5mg-3ml",
                "sodium-chloride-7pct-unit-dose", cup="cup-10")  # fmt: skip
    assert found(both, "fill-not-isotonic").level is Level.NOTE


def test_a_product_that_is_labelled_as_it_is_or_is_made_milder_is_noted_only() -> None:
    assert found(ready("cromolyn 20 mg by nebulizer"), "fill-not-isotonic").level is Level.NOTE
    assert found(ready("acetylcysteine 600 mg by nebulizer", ACETYLCYSTEINE), "fill-not-isotonic").level is Level.NOTE
    milder = made("acetylcysteine 600 mg by nebulizer to 6 mL with normal saline", ACETYLCYSTEINE)
    assert found(milder, "fill-not-isotonic").level is Level.NOTE
    further = made("cromolyn 20 mg by nebulizer to 4 mL with sterile water", CROMOLYN)
    assert found(further, "fill-not-isotonic").level is Level.CAUTION
    assert mine(made("cromolyn 20 mg by nebulizer to 4 mL with normal saline", CROMOLYN)) == set()


def test_a_concentrate_undiluted_is_stopped_and_not_judged_twice() -> None:
    plan = made("albuterol 2.5 mg undiluted by nebulizer", BOTTLE)
    assert "concentrate-undiluted" in rules(plan)
    assert mine(plan) == set()


def test_a_fill_that_cannot_be_made_or_is_asked_about_is_not_judged() -> None:
    asked = made("cromolyn 20 mg by nebulizer, 4 mL", CROMOLYN)
    assert asked.status is Status.ASK
    assert mine(asked) == set()
    short = made("acetylcysteine 600 mg by nebulizer to 2 mL", ACETYLCYSTEINE)
    assert short.status is Status.STOPPED
    assert mine(short) == set()


def test_a_very_acid_liquid_is_noted_where_nothing_dilutes_it() -> None:
    finding = found(ready("glycopyrrolate 0.2 mg by nebulizer", INJECTION), "very-acid")
    assert finding.level is Level.NOTE
    assert finding.says == (
        "Glycopyrrolate 0.2 mg per mL injection with benzyl alcohol has pH 2 to 3 by its label, and nothing dilutes it. "
        "At pH 2.6, isotonic saline made healthy people cough, in a 1988 study."
    )
    diluted = made("glycopyrrolate 0.2 mg by nebulizer to 3 mL with normal saline", INJECTION)
    assert "very-acid" not in rules(diluted)
    assert "very-acid" not in rules(ready("ipratropium 0.5 mg by nebulizer"))


@pytest.mark.parametrize(("text", "idents", "cup"), EXAMPLES)
def test_ordinary_orders_bring_no_caution_of_tonicity(text: str, idents: tuple[str, ...], cup: str) -> None:
    plan = ready(text, *idents, cup=cup)
    assert [one for one in plan.findings if one.rule in MINE and one.level is Level.CAUTION] == []


@given(st.integers(6, 60))
def test_saline_added_to_a_bottle_never_brings_it_up_whatever_the_fill(tenths: int) -> None:
    volume = read_quantity(f"{Fraction(tenths, 10)} mL").value
    text = f"albuterol 2.5 mg by nebulizer to {tenths // 10}.{tenths % 10} mL".replace(".0 mL", " mL")
    assert volume > Fraction(1, 2)
    assert mine(made(text, BOTTLE, cup="cup-10")) == set()


def test_every_sentence_is_under_forty_words_and_names_both_numbers() -> None:
    said = [
        found(made("albuterol 2.5 mg by nebulizer to 3 mL with sterile water", BOTTLE), "fill-not-isotonic"),
        found(ready("sodium chloride 7 % 4 mL by nebulizer"), "fill-not-isotonic"),
        found(ready("glycopyrrolate 0.2 mg by nebulizer", INJECTION), "very-acid"),
    ]
    for finding in said:
        assert len(finding.says.split()) < 40
        assert sum(any(sign.isdigit() for sign in word) for word in finding.says.split()) >= 3
