"""How sure a plan is: read off the exact plan, answered in ranges, and never a change to the dose."""

import re
from dataclasses import replace
from fractions import Fraction
from math import sqrt

import numpy as np
import pytest
import uncertainties

from drawndose import Plan
from drawndose.bench.dead_space import Change
from drawndose.bench.draws import Draw
from drawndose.bench.plan_data import plan_data
from drawndose.quantities import Refused
from drawndose.science.drawing import OPERATOR, Conditions, Operator, Reading
from drawndose.science.losses import dry_needle_losses, needle_loss
from drawndose.science.surety import BEYOND, Sureness, how_sure
from tests.bench.benches import BOOK, BOTTLE, UNPUBLISHED, amount, made, ready

SIX = "albuterol 1.675 mg by nebulizer, made up to 3 mL"  # 0.335 mL, between two lines of a 1 mL syringe


def syringe_plan(
    text: str = "albuterol 2 mg by nebulizer, made up to 3 mL", tool: str = "syringe-1-oral", **more: object
) -> Plan:
    return ready(text, BOTTLE, using=(tool,), **more)


def only(plan: Plan, **more: object) -> Sureness:
    (found,) = how_sure(plan, **more).takes  # type: ignore[arg-type]
    return found


def chance(found: Sureness, by: Fraction) -> float:
    return dict(found.beyond)[by].value


def test_a_plan_that_is_not_ready_is_refused() -> None:
    plan = made("albuterol by nebulizer")
    with pytest.raises(Refused, match="only a plan that is ready"):
        how_sure(plan)


def test_the_interval_holds_the_dose_and_lies_inside_the_limits() -> None:
    plan = syringe_plan()
    found = only(plan)
    ((low, high),) = found.intervals
    assert low < 2 < high
    assert high - 2 == pytest.approx(2 - low, rel=0.05)
    limit = found.budget.limit
    assert 1 - limit < low / 2
    assert high / 2 < 1 + limit
    # 0.4 mL in 1 mL: 2.3 % of 1 mL and half a line are 5.75 % and 1.25 % of the volume; the temperature adds 0.1 %
    assert limit == pytest.approx(0.0575 + 0.0125 + 0.00105, rel=1e-6)


def test_what_is_exact_stays_exact() -> None:
    found = only(syringe_plan())
    assert found.ordered == found.planned == (amount(2, "mg", "albuterol"),)
    assert isinstance(found.planned[0].value, Fraction)


def test_nothing_of_the_plan_changes() -> None:
    plan = syringe_plan()
    before = plan_data(plan)
    how_sure(plan)
    assert plan_data(plan) == before


def test_the_same_seed_gives_the_same_answer() -> None:
    plan = syringe_plan()
    assert how_sure(plan, seed=5) == how_sure(plan, seed=5)
    assert only(plan, seed=5).trial != only(plan, seed=6).trial


def test_the_chances_are_those_of_a_rectangle_for_a_dropper() -> None:
    found = only(ready("albuterol 2.5 mg by nebulizer, made up to 3 mL", BOTTLE), conditions=Conditions(away_degC=0.0))
    for by in BEYOND:
        assert chance(found, by) == pytest.approx(1 - float(by) / 0.15, abs=0.005)
    assert found.budget.misleads == "k times u is wider than all the limits added up"


def test_a_wider_share_is_passed_less_often() -> None:
    found = only(syringe_plan())
    assert chance(found, BEYOND[0]) > chance(found, BEYOND[1])


def test_a_larger_syringe_is_less_sure_and_the_smaller_one_is_the_thing_to_improve() -> None:
    text = "ipratropium 0.1 mg by nebulizer, with sodium chloride 0.9 % to 3 mL"
    large = only(ready(text, "ipratropium-500mcg-2.5ml", book=UNPUBLISHED, using=("syringe-3-oral",)))
    assert large.improvement is not None
    assert large.improvement.does == "Use the 1 mL syringe, oral tip"
    small = only(ready(text, "ipratropium-500mcg-2.5ml", book=UNPUBLISHED, using=("syringe-1-oral",)))
    assert large.improvement.before == pytest.approx(large.budget.half_width)
    assert large.improvement.after == pytest.approx(small.budget.half_width)
    assert large.improvement.says.startswith("Use the 1 mL syringe, oral tip: within 17 % becomes within 5.8 %")


def test_only_instruments_that_are_there_are_advised() -> None:
    text = "ipratropium 0.1 mg by nebulizer, with sodium chloride 0.9 % to 3 mL"
    plan = ready(text, "ipratropium-500mcg-2.5ml", book=UNPUBLISHED, using=("syringe-3-oral",))
    found = only(plan, instruments=[BOOK.instrument("syringe-3-oral")])
    assert found.improvement is not None
    assert found.improvement.does == "Read to half a line"
    still = only(plan, instruments=[], conditions=Conditions(reading=Reading.HALF_LINE))
    assert still.improvement is None


def test_where_the_person_spreads_most_it_is_the_person() -> None:
    found = only(syringe_plan(), conditions=Conditions(operator=Operator(cv=0.11, nu=29.0)))
    assert found.budget.dominant.name == OPERATOR
    assert found.improvement.does.startswith("Practise")
    assert "the person's own spread: weigh ten draws and set it" not in found.not_in_it


def test_a_line_accepted_beside_the_volume_is_off_the_order_from_the_start() -> None:
    plan = ready(SIX, BOTTLE, using=("syringe-1-oral",), accepted_line=Fraction(34, 100))
    found = only(plan)
    assert found.ordered == (amount("1.675", "mg", "albuterol"),)
    assert found.planned == (amount("1.7", "mg", "albuterol"),)
    assert found.trial.mean == pytest.approx(1.7 / 1.675, abs=0.001)
    below = only(ready(SIX, BOTTLE, using=("syringe-1-oral",), accepted_line=Fraction(33, 100)))
    assert below.trial.mean == pytest.approx(1.65 / 1.675, abs=0.001)


def test_a_dry_needle_takes_its_share_of_the_dose() -> None:
    plan = syringe_plan()
    lost = needle_loss(Fraction(4, 10), Change.DRY_AFTER, keeps=Fraction(1, 20))
    found = only(plan, losses={0: lost})
    assert found.trial.mean == pytest.approx(0.875, abs=0.001)
    assert chance(found, BEYOND[1]) > 0.6
    assert not any("needle" in one for one in found.not_in_it)
    assert "how far the known loss is from its figure, and drops on the tip" in found.not_in_it
    rough = only(plan, losses={0: replace(lost, half_width_mL=0.02)})
    assert not any("known loss" in one for one in rough.not_in_it)
    assert rough.budget.u > found.budget.u


def test_a_dry_needle_after_every_line_takes_from_every_measured_dose() -> None:
    needle, filtering = (one for one in BOOK.needles if one.id in {"needle-21g", "filter-needle"})
    fills = dry_needle_losses(syringe_plan(), needle)
    assert {place: one.lost_mL for place, one in fills.items()} == {0: 0.05}
    diluted = dry_needle_losses(ready("albuterol 0.15 mg by nebulizer to 3 mL", BOTTLE), needle)
    assert diluted[0].lost_mL == 0.05
    assert dry_needle_losses(ready("albuterol 2.5 mg by nebulizer", "albuterol-2.5mg-3ml"), needle) == {}
    with pytest.raises(Refused, match="no figure was found"):
        dry_needle_losses(syringe_plan(), filtering)


def test_whole_containers_are_not_measured_and_no_chance_is_claimed() -> None:
    answer = how_sure(ready("albuterol 2.5 mg by nebulizer", "albuterol-2.5mg-3ml"))
    (found,) = answer.takes
    assert (found.trial, found.budget, found.intervals, found.beyond) == (None, None, (), ())
    assert found.contributions == answer.any_beyond == ()
    assert answer.says == ""
    assert found.says == ("Nothing is measured: the dose is what the emptied containers hold by their labels.",)


def test_what_a_whole_container_brings_is_not_unsure_here_but_told() -> None:
    plan = ready("albuterol 3.5 mg by nebulizer", "albuterol-2.5mg-3ml", using=("syringe-3-oral",))
    assert (plan.takes[0].whole, plan.takes[0].draw.volume) == (1, Fraction(12, 10))
    found = only(plan)
    assert found.budget.limit < 0.05  # 1 mg of 3.5 mg is measured, at up to 12 %
    assert "what a whole container holds beside its label" in found.not_in_it
    assert found.intervals[0][0] > 2.5


def test_two_drugs_drawn_with_one_syringe_are_wrong_together() -> None:
    text = "albuterol 2 mg and ipratropium 0.1 mg by nebulizer"
    idents = (BOTTLE, "ipratropium-500mcg-2.5ml")
    answer = how_sure(
        ready(text, *idents, book=UNPUBLISHED, using=("syringe-1-oral",)), conditions=Conditions(away_degC=0.0)
    )
    chances = [chance(one, BEYOND[0]) for one in answer.takes]
    together = dict(answer.any_beyond)[BEYOND[0]].value
    assert len(chances) == 2
    assert max(chances) <= together < sum(chances) - 0.5 * min(chances)
    assert answer.says.startswith("Chance that at least one dose is off its order by more than 5 %: ")


def test_a_first_dilution_counts_all_three_volumes() -> None:
    plan = ready("albuterol 0.15 mg by nebulizer to 3 mL", BOTTLE)
    found = only(plan, conditions=Conditions(away_degC=0.0))
    names = {part.name: part.u for part in found.budget.contributions}
    # stock 0.5 mL and part 0.6 mL in one kind of 1 mL syringe, 5 % each, which err together; total 10 mL, 4 %
    assert names["calibration of the 1 mL syringe, oral tip"] == pytest.approx(0.10 / 3**0.5, rel=0.01)
    assert names["calibration of the 10 mL syringe, oral tip (diluting)"] == pytest.approx(0.04 / 3**0.5, rel=0.01)
    risk = float(plan.takes[0].risk)
    assert found.trial.high.value - 1 < risk


def test_a_first_dilution_agrees_with_the_uncertainties_library_with_its_shared_errors() -> None:
    """Stock and part share one syringe's error and all three the temperature; each is read for itself."""
    plan = ready("albuterol 0.15 mg by nebulizer to 3 mL", BOTTLE)
    made = plan.takes[0].first_dilution
    calibration = {one.instrument.id: uncertainties.ufloat(0, 1 / sqrt(3)) for one in (made.stock, made.total)}
    warmth = uncertainties.ufloat(0, 5 * 2.1e-4 / sqrt(3))

    def share(drawn: Draw) -> object:
        volume, reading = float(drawn.volume), uncertainties.ufloat(0, float(drawn.instrument.step) / 2 / sqrt(3))
        limit = float(drawn.instrument.permissible_error(drawn.volume))
        return 1 + (calibration[drawn.instrument.id] * limit + reading) / volume + warmth

    expected = share(made.stock) * share(made.part) / share(made.total)
    found = only(plan).budget
    assert made.stock.instrument == made.part.instrument
    assert len(made.stock.fills) == len(made.total.fills) == len(made.part.fills) == 1
    assert found.u == pytest.approx(expected.std_dev, rel=2e-3)  # a step of one u is not quite a derivative
    apart = sqrt(sum(share(one).std_dev ** 2 for one in (made.stock, made.part, made.total)))
    assert found.u > 1.15 * apart  # what one syringe does twice does not average out


COLISTIN = "colistimethate-150mg-vial"


def of_powder(dose: str, *, fill: str = "to 6 mL with", **more: object) -> Plan:
    text = f"colistimethate base activity {dose} by nebulizer {fill} normal saline"
    return ready(text, COLISTIN, book=UNPUBLISHED, **more)  # type: ignore[arg-type]


def drawn_terms(drawn: Draw) -> object:
    """A volume of one fill over what was read off, by the uncertainties library, without the temperature."""
    half, limit = float(drawn.instrument.step) / 2, float(drawn.instrument.permissible_error(drawn.volume))
    off = uncertainties.ufloat(0, limit / sqrt(3)) + uncertainties.ufloat(0, half / sqrt(3))
    return 1 + off / float(drawn.volume)


@pytest.mark.parametrize(("dose", "whole"), [("30 mg", 0), ("180 mg", 1)])
def test_the_liquid_of_a_powder_counts_where_a_part_is_taken(dose: str, whole: int) -> None:
    """Too little liquid is a stronger one, out of which the part is drawn; a vial that is emptied whole holds all its drug."""
    plan = of_powder(dose)
    (take,) = plan.takes
    found = only(plan, conditions=Conditions(away_degC=0.0)).budget
    share = float(take.draw.volume / take.volume)
    expected = (1 - share) + share * drawn_terms(take.draw) / drawn_terms(take.liquid)
    assert take.whole == whole
    assert found.u == pytest.approx(expected.std_dev, rel=5e-3)
    assert f"calibration of the {take.liquid.instrument.name} (diluting)" in {one.name for one in found.contributions}
    alone = share * drawn_terms(take.draw).std_dev
    assert found.u > 1.2 * alone


def test_the_liquid_of_a_powder_counts_in_a_first_dilution_and_is_named_where_no_measure_shows_it() -> None:
    counted = only(of_powder("2 mg", refuse_above=Fraction(25, 100)), conditions=Conditions(away_degC=0.0))
    made_up = counted.take.first_dilution
    parts = [made_up.stock, made_up.part]
    assert parts[0].instrument == parts[1].instrument
    shared = uncertainties.ufloat(0, 1 / sqrt(3))
    expected = 1 / (drawn_terms(made_up.total) * drawn_terms(counted.take.liquid))
    for one in parts:
        limit, half = float(one.instrument.permissible_error(one.volume)), float(one.instrument.step) / 2
        expected = expected * (1 + (shared * limit + uncertainties.ufloat(0, half / sqrt(3))) / float(one.volume))
    assert counted.budget.u == pytest.approx(expected.std_dev, rel=5e-3)
    left_out = "the liquid of the powder: no measure on this bench shows it"
    assert left_out not in counted.not_in_it
    without = {"using": ("syringe-1",), "most_fills": 1, "refuse_above": Fraction(40, 100)}
    assert left_out in only(of_powder("1.875 mg", fill="add 3 mL", **without)).not_in_it


def test_the_answer_is_told_in_sentences() -> None:
    says = only(syringe_plan()).says
    assert says[0] == "2 mg is ordered; with 95 % it is between about 1.88 mg and about 2.12 mg."
    assert says[1].startswith("Chance of being off the order by more than 5 %: 1")
    assert says[1].endswith("by more than 10 %: under 0.01 %.")
    assert says[2].startswith("Most of it comes from calibration of the 1 mL syringe, oral tip (9")
    assert re.fullmatch(
        r"Standard uncertainty 3\.\d %, expanded 6\.\d % at 95 % \(k = 1\.96, effective degrees of freedom infinite\)\.",
        says[-4],
    )
    assert re.fullmatch(
        r"Found by 200,000 trials; their own error \(one standard deviation\) is under 0\.01 % in the ends and 0\.0[78]\d? % "
        r"in the chances\.",
        says[-3],
    )
    assert says[-2] == (
        "The trials count here, not the expanded uncertainty: "
        "one rectangular term (calibration of the 1 mL syringe, oral tip) outweighs the rest."
    )
    assert says[-1].startswith("Not counted: the strength of the drug beside its label; ")


def test_a_trial_agrees_with_the_budget_where_nothing_outweighs() -> None:
    settings = Conditions(operator=Operator(cv=0.06))
    found = only(syringe_plan(), conditions=settings)
    assert found.trial.sd == pytest.approx(found.budget.u, rel=0.01)
    assert found.trial.high.value - 1 == pytest.approx(found.budget.expanded, rel=0.05)
    assert found.budget.misleads == ""


def test_floats_do_not_leak_into_the_plan() -> None:
    found = only(syringe_plan())
    assert isinstance(found.trial.mean, float)
    assert not isinstance(found.trial.mean, np.floating)
    assert all(isinstance(take.volume, Fraction) for take in [found.take])


def test_what_does_not_mislead_is_not_said_to_and_what_owes_nothing_names_no_cause() -> None:
    spread = only(syringe_plan(), conditions=Conditions(operator=Operator(cv=0.06)))
    assert not any("The trials count here" in line for line in spread.says)
    dropper = BOOK.instrument("dropper-0.25-0.5")
    exact = replace(
        dropper,
        tolerance=replace(dropper.tolerance, below_half_of_volume=Fraction(0), from_half_of_volume=Fraction(0)),
    )
    plan = ready("albuterol 2.5 mg by nebulizer, made up to 3 mL", BOTTLE)
    take = replace(plan.takes[0], draw=replace(plan.takes[0].draw, instrument=exact))
    sure = only(replace(plan, takes=(take,)), conditions=Conditions(away_degC=0.0), instruments=[])
    assert sure.says[0] == "2.5 mg is ordered; with 95 % it is between about 2.5 mg and about 2.5 mg."
    assert not any("Most of it comes" in line for line in sure.says)
