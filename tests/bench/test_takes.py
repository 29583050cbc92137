"""What is taken out of a container: a powder made up here, whose liquid is measured too and counts in the dose."""

from fractions import Fraction

from drawndose import Status
from drawndose.bench.findings import Level
from drawndose.bench.plan_data import plan_data
from drawndose.bench.takes import dilution_risk
from tests.bench.benches import UNPUBLISHED, found, made, ready, rules

COLISTIN = "colistimethate-150mg-vial"
TWO_MG = "colistimethate base activity 2 mg by nebulizer to 3 mL with normal saline"


def test_a_part_of_a_vial_that_is_made_up_here_is_cautioned_and_a_whole_one_is_not() -> None:
    part = ready("colistimethate base activity 30 mg by nebulizer to 3 mL with normal saline", COLISTIN)
    finding = found(part, "part-of-powder")
    assert finding.level is Level.CAUTION
    assert (
        "0.4 mL is a part of 2 mL made up here: the 2 mL of liquid, off by up to 0.095 mL with the 5 mL syringe"
        in finding.says
    )
    whole = ready("colistimethate base activity 150 mg by nebulizer to 3 mL with normal saline", COLISTIN)
    assert "part-of-powder" not in rules(whole)


def test_what_the_liquid_of_a_powder_is_off_by_counts_in_the_dose_at_risk() -> None:
    (take,) = ready("colistimethate base activity 30 mg by nebulizer to 3 mL with normal saline", COLISTIN).takes
    drawn, liquid = take.draw, take.liquid
    assert (drawn.volume, liquid.volume, liquid.error) == (Fraction(2, 5), Fraction(2), Fraction(19, 200))
    # 30 mg in 0.4 mL of 2 mL; at worst 0.4 mL and its error out of 1.905 mL, so of a stronger liquid.
    worst = (drawn.volume + drawn.error) / Fraction(381, 200) * 2 / drawn.volume - 1
    assert take.risk == worst
    assert take.risk > drawn.error / drawn.volume
    assert take.error_amounts[0] == take.amounts[0] * worst
    (whole,) = ready("colistimethate base activity 150 mg by nebulizer to 3 mL with normal saline", COLISTIN).takes
    assert (whole.liquid, whole.risk, whole.error_amounts) == (None, 0, ())
    assert (take.off_by, whole.off_by) == (", with up to 0.095 mL of the powder's liquid", "")


def test_where_no_measure_shows_the_liquid_it_is_said_that_it_is_not_counted() -> None:
    text = "colistimethate base activity 30 mg by nebulizer to 3 mL with normal saline"
    says = found(made(text, COLISTIN, using=("syringe-1-step-0.02",), most_fills=1), "part-of-powder").says
    assert "no measure on this bench shows the 2 mL of liquid" in says
    assert says.endswith("is not in the about 5.8 % of this plan.")


def test_a_powder_that_is_made_up_in_two_steps_has_no_one_measure() -> None:
    part = made("ribavirin 3 g by nebulizer", "ribavirin-6g-vial", cup="reservoir-240", most_fills=9)
    assert "no measure on this bench shows the 75 mL of liquid" in found(part, "part-of-powder").says


def test_the_liquid_of_a_powder_is_told_as_data_with_what_it_is_off_by() -> None:
    (drawn,) = plan_data(ready("colistimethate base activity 30 mg by nebulizer to 3 mL with normal saline", COLISTIN))[
        "draws"
    ]
    assert drawn["liquid"]["asked"]["text"] == "2 mL"
    assert drawn["liquid"]["permissible_error"]["text"] == "0.095 mL"
    assert drawn["risk"] == "14/127"
    (whole,) = plan_data(
        ready("colistimethate base activity 150 mg by nebulizer to 3 mL with normal saline", COLISTIN)
    )["draws"]
    assert (whole["liquid"], whole["risk"]) == (None, "0")


def test_a_first_dilution_of_a_powder_counts_its_liquid_as_the_fourth_volume() -> None:
    # at worst too little liquid, too much stock, too little in all and too much of that: more than 20 %, so it is not offered
    assert made(TWO_MG, COLISTIN, book=UNPUBLISHED).status is Status.STOPPED
    wide = {"refuse_above": Fraction(25, 100), "book": UNPUBLISHED}
    plan = ready(TWO_MG, COLISTIN, **wide)
    (take,) = plan.takes
    alone = dilution_risk(take.first_dilution)
    assert alone < Fraction(20, 100)
    assert take.risk == (1 + alone) * 2 / (2 - take.liquid.error) - 1
    assert take.error_amounts == (take.amounts[0] * take.risk,)
    finding = found(plan, "first-dilution")
    assert "the four measured volumes, the powder's liquid among them, together" in finding.says
    assert finding.do.endswith("have a second person check all four volumes.")
    assert "part-of-powder" not in rules(plan)


def test_where_no_measure_shows_the_liquid_a_first_dilution_says_so_too() -> None:
    # 0.025 mL lies between two lines of the 1 mL syringe, which shows the 2 mL of liquid in no one fill
    text = "colistimethate base activity 1.875 mg by nebulizer, add 3 mL normal saline"
    one = {"using": ("syringe-1",), "most_fills": 1, "refuse_above": Fraction(40, 100)}
    plan = ready(text, COLISTIN, book=UNPUBLISHED, **one)
    (take,) = plan.takes
    assert take.liquid is None
    assert take.risk == dilution_risk(take.first_dilution)
    assert "the three measured volumes together" in found(plan, "first-dilution").says
    assert "no measure on this bench shows the 2 mL of liquid" in found(plan, "part-of-powder").says
