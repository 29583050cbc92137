"""The promised examples, from the order's text to the mark. Every number here was worked out by hand."""

from fractions import Fraction

import pytest

from drawndose import Status
from tests.bench.benches import BOTTLE, amount, found, made, ready, rules, says, volumes


def half(text: str) -> Fraction:
    return Fraction(text)


def test_2_5_mg_from_the_dropper_bottle_is_the_half_mark_and_2_5_ml_of_saline() -> None:
    plan = ready("albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours", BOTTLE)
    (take,) = plan.takes
    assert take.amounts == (amount("2.5", "mg", "albuterol"),)
    assert (take.volume, take.whole, take.containers) == (half("0.5"), 0, 1)
    assert (take.draw.instrument.id, take.draw.fills) == ("dropper-0.25-0.5", (half("0.5"),))
    assert take.draw.reading == "the lowest point of the curve at the 0.5 mL mark"
    assert (take.draw.error, take.risk) == (half("0.075"), half("0.15"))
    assert (plan.fill.need, plan.fill.added, plan.fill.total) == (half("2.5"), half("2.5"), 3)
    assert (plan.fill.diluent, plan.fill.drawn.instrument.id) == ("sodium chloride 0.9 %", "syringe-2.5-oral")
    assert plan.concentrations == (("albuterol", amount("5/6", "mg/mL", "albuterol")),)
    assert [(line.name, line.text) for line in plan.label][:2] == [
        ("dose", "albuterol 2.5 mg in 3 mL"),
        ("diluted with", "sodium chloride 0.9 %, 2.5 mL"),
    ]
    assert plan.additives[0].amount == amount(50, "mcg", "benzalkonium chloride")
    assert plan.questions == ()


def test_1_25_mg_from_the_dropper_bottle_is_the_quarter_mark() -> None:
    plan = ready("albuterol 1.25 mg by nebulizer, made up to 3 mL", BOTTLE)
    assert plan.takes[0].draw.fills == (half("0.25"),)
    assert plan.takes[0].draw.instrument.id == "dropper-0.25-0.5"
    assert plan.fill.need == half("2.75")
    assert (plan.fill.drawn.volume, plan.fill.total) == (half("2.8"), half("3.05"))
    assert found(plan, "diluent-line").says == (
        "The diluent needs 2.75 mL and is measured as 2.8 mL: the cup then holds 3.05 mL for 3 mL. The dose does not change."
    )


def test_2_mg_has_no_mark_on_the_dropper_and_takes_a_1_ml_syringe_to_0_4_ml() -> None:
    plan = ready("albuterol 2 mg by nebulizer, made up to 3 mL", BOTTLE)
    assert (plan.takes[0].draw.instrument.id, plan.takes[0].draw.fills) == ("syringe-1-oral", (half("0.4"),))
    # 1.5 % of 1 mL and 2 % of 0.4 mL: 0.023 mL of 0.4 mL
    assert plan.takes[0].risk == half("0.0575")
    assert plan.fill.added == half("2.6")
    lost = {one.what: one.why for one in plan.not_taken}
    assert (
        "0.4 mL has no mark on it"
        in lost["albuterol 0.5 % solution, dropper bottle, with calibrated dropper, marks at 0.25 and 0.5 mL"]
    )


def test_0_63_mg_of_levalbuterol_is_a_whole_unit_dose_and_nothing_is_measured() -> None:
    plan = ready("levalbuterol 0.63 mg by nebulizer three times daily")
    (take,) = plan.takes
    assert take.in_hand.presentation.id == "levalbuterol-0.63mg-3ml"
    assert (take.whole, take.draw, take.volume, take.risk) == (1, None, 3, 0)
    assert plan.fill.added == 0


def test_7_5_mg_as_three_ready_to_use_units_would_be_9_ml_and_is_held_back_by_a_6_ml_cup() -> None:
    plan = made("albuterol 7.5 mg by nebulizer", "albuterol-2.5mg-3ml")
    assert plan.status is Status.STOPPED
    assert plan.takes == ()
    assert found(plan, "fill-over-cup").says == "The fill is 9 mL; the 6 mL nebulizer cup holds 6 mL."


def test_7_5_mg_takes_three_concentrate_units_made_up_to_3_ml() -> None:
    plan = ready("albuterol 7.5 mg by nebulizer")
    (take,) = plan.takes
    assert take.in_hand.presentation.id == "albuterol-2.5mg-0.5ml"
    assert (take.whole, take.volume, take.amounts) == (3, half("1.5"), (amount("7.5", "mg", "albuterol"),))
    assert (plan.fill.by, plan.fill.need, plan.fill.total) == ("label", half("1.5"), 3)
    assert "fill-by-label" in rules(plan)
    held = [one for one in plan.not_taken if one.what == "albuterol 0.083 % solution, unit dose, 3 whole"]
    assert held[0].why == "The fill is 9 mL; the 6 mL nebulizer cup holds 6 mL."


def test_5_mg_of_epinephrine_opens_five_ampoules_and_the_filter_needle_comes_off_before_anything_leaves() -> None:
    plan = ready("epinephrine 5 mg by nebulizer once")
    (take,) = plan.takes
    assert (take.containers, take.volume, take.whole, take.left) == (5, 5, 0, 0)
    assert (take.draw.instrument.id, take.draw.instrument.tip) == ("syringe-10", "luer")
    texts = [step.says for step in plan.steps]
    (on,) = [place for place, text in enumerate(texts) if "Filter needle or filter straw on the 10 mL syringe" in text]
    (draws,) = [place for place, text in enumerate(texts) if text.startswith("Draw slowly")]
    (off,) = [place for place, text in enumerate(texts) if text.startswith("Filter needle off BEFORE anything leaves")]
    (out,) = [place for place, text in enumerate(texts) if text.startswith("Push the air out and trim")]
    (cup,) = [place for place, text in enumerate(texts) if text.startswith("Put it into the cup, with no needle on")]
    assert on < draws < off < out < cup
    assert "(1 mL from each of 5)" in texts[draws]
    assert found(plan, "many-containers").says.startswith("One dose opens 5 of ")
    assert "off-label" in rules(plan)


def test_4_5_mg_of_epinephrine_takes_half_of_the_fifth_ampoule() -> None:
    plan = ready("epinephrine 4.5 mg by nebulizer once")
    assert (plan.takes[0].containers, plan.takes[0].left) == (5, half("0.5"))
    assert "(1 mL from each of 4, 0.5 mL from the last)" in says(plan)


def test_1_5_mg_of_epinephrine_takes_half_of_the_second_ampoule() -> None:
    assert "(1 mL from the first, 0.5 mL from the last)" in says(ready("epinephrine 1.5 mg by nebulizer once"))


def test_250_mcg_of_ipratropium_is_half_of_the_unit_and_the_rest_is_thrown_away() -> None:
    plan = ready("ipratropium 250 mcg by nebulizer")
    assert volumes(plan) == ["5/4"]
    assert plan.takes[0].left == half("1.25")
    assert plan.leftovers[0].fate == "Throw away what is left, 1.25 mL by the label's contents."


@pytest.mark.parametrize(
    ("ident", "volume", "left"), [("acetylcysteine-10pct", "6", "4"), ("acetylcysteine-20pct", "3", "1")]
)
def test_600_mg_of_acetylcysteine_is_6_ml_of_10_percent_and_3_ml_of_20_percent(
    ident: str, volume: str, left: str
) -> None:
    plan = ready("acetylcysteine 600 mg by nebulizer", ident)
    assert volumes(plan) == [volume]
    assert plan.takes[0].left == Fraction(left)
    assert plan.leftovers[0].fate == (
        "Keep up to 96 h after opening by its label, refrigerated, for inhalation only, dated, for this person."
    )


@pytest.mark.parametrize(
    ("weight", "volume", "whole", "mg", "limit"),
    [
        (8, "0.4", 0, "9", ""),
        (10, "0.5", 1, "11.25", ""),
        (12, "0.5", 1, "11.25", "0.6 mL by weight is more than the order's maximum 0.5 mL: 0.5 mL"),
    ],
)
def test_racepinephrine_by_weight_is_capped_at_the_orders_maximum(
    weight: int, volume: str, whole: int, mg: str, limit: str
) -> None:
    text = f"racepinephrine 2.25 % 0.05 mL/kg max 0.5 mL by nebulizer, to 3 mL, weight {weight} kg"
    plan = ready(text)
    (take,) = plan.takes
    assert (take.volume, take.whole) == (Fraction(volume), whole)
    assert take.amounts == (amount(mg, "mg", "racepinephrine"),)
    assert plan.doses[0].amount == amount(mg, "mg", "racepinephrine")
    assert plan.doses[0].limit == limit
    assert ("order-limit" in rules(plan)) is bool(limit)
    assert plan.fill.total == 3


def test_an_orders_minimum_acts_below_it() -> None:
    plan = ready("albuterol 0.15 mg/kg min 2.5 mg max 5 mg by nebulizer to 3 mL, weight 10 kg", BOTTLE)
    assert plan.takes[0].amounts == (amount("2.5", "mg", "albuterol"),)
    assert found(plan, "order-limit").says == ("1.5 mg by weight is less than the order's minimum 2.5 mg: 2.5 mg.")


def test_a_dose_per_day_is_divided_by_what_the_order_says() -> None:
    plan = ready("albuterol 10 mg/day divided in 4 doses by nebulizer to 3 mL", BOTTLE)
    assert plan.takes[0].amounts == (amount("2.5", "mg", "albuterol"),)
    asked = made("albuterol 10 mg/day by nebulizer to 3 mL", BOTTLE)
    assert asked.status is Status.ASK
    assert "10 mg per day of albuterol: in how many doses?" in [question.asks for question in asked.questions]
    thrice = ready("albuterol 7.5 mg/day by nebulizer three times daily to 3 mL", BOTTLE)
    assert thrice.takes[0].amounts == (amount("2.5", "mg", "albuterol"),)


def test_300_mg_of_pentamidine_is_the_whole_vial_made_up_with_water() -> None:
    plan = ready("pentamidine 300 mg by nebulizer once")
    (take,) = plan.takes
    assert (take.whole, take.volume, take.draw) == (1, 6, None)
    assert "draw 6 mL of sterile water and put it into the vial" in says(plan)
    assert plan.fill.added == 0


def test_pentamidine_with_saline_is_stopped() -> None:
    plan = made("pentamidine 300 mg by nebulizer, to 6 mL with normal saline")
    assert plan.status is Status.STOPPED
    assert found(plan, "liquid-never").says.startswith("sodium chloride 0.9 % with pentamidine isethionate 300 mg")


def test_a_million_units_of_colistimethate_asks_which_equivalence_the_facility_uses() -> None:
    plan = made("colistimethate 1 million units by nebulizer twice daily")
    assert plan.status is Status.ASK
    (question,) = [one for one in plan.questions if one.field == "equivalence"]
    assert question.options == (
        "expert-society: 1,000,000 units is 30 mg, so 30 mg of colistin base activity",
        "hospital-guide: 1,000,000 units is 33 mg, so 33 mg of colistin base activity",
    )
    both = made(
        "colistimethate 1 million units by nebulizer to 3 mL with normal saline",
        equivalences=("expert-society", "hospital-guide"),
    )
    assert both.status is Status.ASK


@pytest.mark.parametrize(
    ("chosen", "mg", "volume"), [("expert-society", "30", "0.4"), ("hospital-guide", "33", "0.44")]
)
def test_a_chosen_equivalence_gives_the_volume_of_75_mg_per_ml(chosen: str, mg: str, volume: str) -> None:
    text = "colistimethate 1 million units by nebulizer twice daily to 3 mL with normal saline"
    plan = ready(text, equivalences=(chosen,))
    assert plan.takes[0].amounts == (amount(mg, "mg", "colistin base activity"),)
    assert volumes(plan) == [str(Fraction(volume))]
    assert f"1,000,000 units is {mg} mg" in found(plan, "moiety-converted").says


def test_10_mg_an_hour_for_4_hours_at_25_ml_an_hour_is_8_ml_and_92_ml() -> None:
    text = "10 mg/h albuterol by nebulizer for 4 h, output 25 mL/h"
    plan = ready(text, BOTTLE, cup="reservoir-240")
    (take,) = plan.takes
    assert (take.amounts, take.volume) == ((amount(40, "mg", "albuterol"),), 8)
    assert (plan.fill.by, plan.fill.added, plan.fill.total) == ("output", 92, 100)
    (carried,) = plan.additives
    assert (carried.amount, carried.per_hour) == (
        amount(800, "mcg", "benzalkonium chloride"),
        amount(200, "mcg/h", "benzalkonium chloride"),
    )
    finding = found(plan, "preservative-carried")
    assert finding.level.value == "caution"
    assert "800 mcg" in finding.says
    assert "200 mcg per h" in finding.says
    assert "25 mL per h continuously" in [line.text for line in plan.label]


def test_0_03_ml_is_reached_by_a_first_dilution_with_its_worst_case_error() -> None:
    plan = ready("albuterol 0.15 mg by nebulizer to 3 mL", BOTTLE)
    (take,) = plan.takes
    mixed = take.first_dilution
    assert (mixed.stock.volume, mixed.total.volume, mixed.part.volume) == (half("0.5"), 10, half("0.6"))
    assert mixed.stock.volume * mixed.part.volume / mixed.total.volume == half("0.03")
    # stock 0.5 mL of 1 mL: 5 %; part 0.6 mL of 1 mL: 5 %; total 10 mL of 10 mL: 4 %
    assert take.risk == Fraction(105, 100) ** 2 / Fraction(96, 100) - 1
    assert found(plan, "first-dilution").says.endswith("may put it off by about 14.8 %.")
    assert take.stock_in_cup == half("0.03")
    # 0.03 mL of 0.1 mg per mL
    assert plan.additives[0].amount == amount(3, "mcg", "benzalkonium chloride")


def test_the_steps_of_a_first_dilution_draw_the_stock_make_it_up_and_only_then_take_the_part() -> None:
    plan = ready("albuterol 0.15 mg by nebulizer to 3 mL", BOTTLE)
    texts = [step.says for step in plan.steps]
    wanted = (
        "Second label check, then draw 0.5 mL with the 1 mL syringe, oral tip.",
        "Let it fall into a new 10 mL syringe, oral tip, not into the cup, from above.",
        "First dilution: draw sodium chloride 0.9 % to it, up to 10 mL in all",
        "From the first dilution, never from the container: draw 0.6 mL with another new 1 mL syringe",
        "Add fresh, sterile, single-dose sodium chloride 0.9 %: 2.4 mL",
    )
    places = [next(place for place, text in enumerate(texts) if text.startswith(start)) for start in wanted]
    assert places == sorted(places)
    assert "Label this syringe at once: albuterol 2.5 mg in 10 mL." in texts[places[2]]
    assert "0.15 mg at 5 mg per mL is 0.03 mL, which no instrument here measures" in texts[2]
    assert [text for text in texts if "draw 0.6 mL" in text] == [texts[places[3]]]
    assert {rest.what for rest in plan.leftovers} >= {"first dilution"}


def test_a_first_dilution_is_not_offered_with_a_60_ml_syringe_alone() -> None:
    plan = made("albuterol 0.15 mg by nebulizer to 3 mL", BOTTLE, using=("syringe-60-oral",))
    assert plan.status is Status.STOPPED
    assert plan.takes == ()
    assert "Ask the pharmacy." in plan.ways_out


def test_3_mg_of_albuterol_sulfate_is_2_5_mg_of_base_and_0_5_ml() -> None:
    plan = ready("3 mg albuterol sulfate by nebulizer to 3 mL", BOTTLE)
    assert plan.takes[0].amounts == (amount("2.5", "mg", "albuterol"),)
    assert volumes(plan) == ["1/2"]
    assert found(plan, "moiety-converted").says == (
        "The order counts albuterol sulfate, the label albuterol: 3 mg is 2.5 mg, by the published 1.2 mg for 1 mg."
    )


def test_the_combination_vial_serves_both_drugs_only_when_both_amounts_match() -> None:
    both = ready("albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer every 6 hours")
    assert [take.in_hand.presentation.id for take in both.takes] == ["ipratropium-0.5mg-albuterol-2.5mg-3ml"]
    assert both.takes[0].lines == (1, 0)
    other = ready("albuterol 2.5 mg and ipratropium 0.25 mg by nebulizer every 6 hours")
    assert [take.in_hand.presentation.id for take in other.takes] == ["albuterol-2.5mg-3ml", "ipratropium-500mcg-2.5ml"]
    reasons = {one.what: one.why for one in other.not_taken}
    combined = "ipratropium bromide 0.5 mg with albuterol 2.5 mg solution, unit dose"
    assert reasons.get(combined, "its fixed amounts do not match the ordered ones together") == (
        "its fixed amounts do not match the ordered ones together"
    )


def test_half_of_the_combination_vial_serves_half_of_both() -> None:
    ident = "ipratropium-0.5mg-albuterol-2.5mg-3ml"
    plan = ready("albuterol 1.25 mg and ipratropium 0.25 mg by nebulizer every 6 hours", ident)
    assert volumes(plan) == ["3/2"]
    assert plan.takes[0].amounts == (
        amount("0.25", "mg", "ipratropium bromide"),
        amount("1.25", "mg", "albuterol"),
    )


def test_the_combination_vial_is_no_way_for_one_of_its_drugs() -> None:
    plan = made("albuterol 2.5 mg by nebulizer", "ipratropium-0.5mg-albuterol-2.5mg-3ml")
    assert plan.status is Status.STOPPED
    assert plan.not_taken[0].why == "it also holds a drug that the order does not name"


def test_a_volume_of_a_named_percent_takes_the_labels_own_amount_and_not_the_rounded_percent() -> None:
    plan = ready("albuterol 0.083 % 3 mL by nebulizer")
    assert plan.takes[0].amounts == (amount("2.5", "mg", "albuterol"),)
    assert plan.takes[0].whole == 1
    assert plan.doses[0].amount == amount("2.49", "mg", "albuterol")
    assert str(plan.doses[0].amount.unit) == "mg"
    assert "label-disagrees" in rules(plan)
