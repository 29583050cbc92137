"""The ways not taken: each with the one reason why it lost, and few enough to be read."""

from dataclasses import replace

from drawndose import InHand
from drawndose.bench.plans import origins
from tests.bench.benches import BOOK, BOTTLE, bench, made, ready

# ------------------------------------------------------------------------------------------ ways not taken


def test_every_reason_of_a_lost_way_names_what_it_lost_by() -> None:
    reasons = {way.why for way in ready("albuterol 2.5 mg by nebulizer").not_taken}
    assert "measures a volume where whole containers hold the dose" in reasons
    assert "2 handlings against 1" in reasons
    waste = {way.why for way in made("iloprost 10 mcg by nebulizer").not_taken}
    assert "throws away 1 mL, against 0 mL" in waste
    bottle = {way.why for way in ready("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE).not_taken}
    passes = "passes over the calibrated dropper that the bottle comes with; finer: off by up to 5 % of the dose, against 15 %"
    assert passes in bottle
    epinephrine = {way.why for way in ready("epinephrine 5 mg by nebulizer once").not_taken}
    assert any(why.startswith("may be off by") and why.endswith("of the dose, against 4 %") for why in epinephrine)
    ampoule = {way.why for way in ready("epinephrine 4.5 mg by nebulizer once").not_taken}
    assert "a larger instrument than the volume needs" in ampoule


def test_a_full_syringe_leaves_no_room_to_trim_and_loses() -> None:
    plan_of = ready("acetylcysteine 200 mg by nebulizer", "acetylcysteine-20pct")
    assert plan_of.takes[0].draw.instrument.id == "syringe-2"
    assert "leaves no room to draw past the line and trim back" in {way.why for way in plan_of.not_taken}


def test_equal_ways_are_decided_by_the_catalogue() -> None:
    twin = replace(BOOK.presentation("budesonide-0.5mg-unit-dose-2ml"), id="budesonide-0.5mg-unit-dose-2ml-twin")
    have = [*bench("budesonide-0.5mg-unit-dose-2ml"), InHand(presentation=twin, pack=twin.packs[0])]
    plan_of = ready("budesonide 0.5 mg by nebulizer", have=have)
    assert "as good in every respect that counts; the order of the catalogue decided" in {
        way.why for way in plan_of.not_taken
    }


def test_an_off_label_way_loses_to_a_labelled_one() -> None:
    twin = replace(
        BOOK.presentation("epinephrine-1mg-1ml-ampoule"),
        id="labelled-twin",
        by_nebulizer=BOOK.presentation(BOTTLE).by_nebulizer,
    )
    have = [*bench("epinephrine-1mg-1ml-ampoule"), InHand(presentation=twin, pack=twin.packs[0])]
    plan_of = ready("epinephrine 1 mg by nebulizer", have=have)
    assert plan_of.takes[0].in_hand.presentation.id == "labelled-twin"
    assert "not labelled for this use by nebulizer, where another one is" in {way.why for way in plan_of.not_taken}


def test_a_list_of_ways_stays_short_enough_to_be_read() -> None:
    assert len(ready("albuterol 2.5 mg by nebulizer").not_taken) <= 12


def without(dose: str, *tools: str) -> dict[str, str]:
    """The ways not taken for a bottle and these syringes, by what they are."""
    made_of = made(f"albuterol {dose} by nebulizer to 3 mL", BOTTLE, using=tools)
    return {way.what.partition("bottle, ")[2].removeprefix("with "): way.why for way in made_of.not_taken}


def test_a_measure_that_was_put_there_is_told_with_the_lines_beside_the_volume() -> None:
    five = "5 mL syringe, luer lock"
    assert without("2.35 mg", "syringe-1", "syringe-3", "syringe-5") == {
        "3 mL syringe": "0.47 mL has no line on it: it lies between 0.4 mL (about 15 % less) and 0.5 mL (about 6.4 % more)",
        "calibrated dropper, marks at 0.25 and 0.5 mL": "0.47 mL has no mark on it (marks at 0.25 mL, 0.5 mL)",
        five: "0.47 mL has no line on it: it lies between 0.4 mL (about 15 % less) and 0.6 mL (about 28 % more); none is near enough",
    }
    assert without("2.2 mg", "syringe-1", "syringe-5")[five] == (
        "0.44 mL may be off by about 29.8 % of the dose, more than 20 %, and lies between its lines at 0.4 mL and 0.6 mL"
    )


def test_of_a_few_measures_none_is_left_out_and_of_many_some_are() -> None:
    few = ("syringe-1", "syringe-5", "syringe-10", "syringe-20", "syringe-30")
    told = without("2.5 mg", *few)
    assert [sum(what.endswith(f"{name} mL syringe, luer lock") for what in told) for name in (1, 5, 10, 20, 30)] == [
        1
    ] * 5
    nothing = without("2.57 mg", *few[1:])
    assert len(nothing) == 5, "where nothing can be drawn, too"
    many = without("2.5 mg", *few, "syringe-60", "syringe-2", "syringe-3")
    assert len(many) < 9


def test_origins_name_each_place_once() -> None:
    plan_of = ready("albuterol 2.5 mg by nebulizer")
    told = origins(plan_of)
    assert len(set(told)) == len(told)
    assert plan_of.limit.origin in told
    assert origins(made("albuterol 2.5 mg undiluted by nebulizer", BOTTLE))
