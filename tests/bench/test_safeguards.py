"""Every finding both ways: what brings it up and what does not; its level; and both numbers in its sentence."""

from fractions import Fraction

import pytest

from drawndose import Plan, Status
from drawndose.bench.findings import Level
from drawndose.quantities import read_quantity
from tests.bench.benches import BOOK, BOTTLE, SALINE, UNPUBLISHED, found, made, one, ready, rules

IPRATROPIUM = "ipratropium-500mcg-2.5ml"
TOBRAMYCIN = "tobramycin-300mg-unit-dose-5ml"
DORNASE = "dornase-alfa-2.5mg-unit-dose-2.5ml"
PENTAMIDINE = "pentamidine-300mg-vial"
COLISTIN = "colistimethate-150mg-vial"
CONCENTRATE = "albuterol-2.5mg-0.5ml"
TO_3 = "by nebulizer, made up to 3 mL"

# rule, level, an order that brings it up, one that does not, and what the sentence must say
BOTH = [
    ("fill-over-cup", "stop", "albuterol 2.5 mg by nebulizer to 6.5 mL", f"albuterol 2.5 mg {TO_3}", "6.5 mL 6 mL"),
    # the bench has no line at 11.5 mL: the fill is told as it was ordered, not as the diluent would be measured
    ("fill-over-cup", "stop", "albuterol 2.5 mg by nebulizer to 12 mL", f"albuterol 2.5 mg {TO_3}", "12 mL 6 mL"),
    ("fill-under-cup", "caution", "albuterol 2.5 mg by nebulizer to 2 mL", f"albuterol 2.5 mg {TO_3}", "2 mL 3 mL"),
    (
        "concentrate-undiluted",
        "stop",
        "albuterol 2.5 mg by nebulizer undiluted",
        f"albuterol 2.5 mg {TO_3}",
        "0.5 mL 3 mL",
    ),
    (
        "less-diluted-than-label",
        "caution",
        "albuterol 2.5 mg by nebulizer to 2 mL",
        f"albuterol 2.5 mg {TO_3}",
        "2 mL 3 mL",
    ),
    ("fill-by-label", "note", "albuterol 2.5 mg by nebulizer", f"albuterol 2.5 mg {TO_3}", "3 mL"),
    (
        "liquid-not-on-label",
        "caution",
        "albuterol 2.5 mg by nebulizer to 3 mL with sterile water",
        "albuterol 2.5 mg by nebulizer to 3 mL with normal saline",
        "sterile water|sodium chloride 0.9 %",
    ),
    ("diluent-line", "note", f"albuterol 1.25 mg {TO_3}", f"albuterol 2.5 mg {TO_3}", "2.75 mL 2.8 mL 3.05 mL 3 mL"),
    ("measured-too-small", "caution", f"albuterol 0.5 mg {TO_3}", f"albuterol 1 mg {TO_3}", "0.1 mL 17 % 15 %"),
    ("first-dilution", "caution", f"albuterol 0.15 mg {TO_3}", f"albuterol 1 mg {TO_3}", "0.6 mL 14.8 %"),
    ("preservative-carried", "note", f"albuterol 2.5 mg {TO_3}", "", "50 mcg 300 mcg"),
    (
        "moiety-converted",
        "note",
        f"albuterol sulfate 3 mg {TO_3}",
        f"albuterol 2.5 mg {TO_3}",
        "3 mg|2.5 mg|1.2 mg|1 mg",
    ),
    (
        "order-limit",
        "note",
        "albuterol 0.15 mg/kg max 2.5 mg by nebulizer to 3 mL, weight 20 kg",
        "albuterol 0.15 mg/kg max 5 mg by nebulizer to 3 mL, weight 20 kg",
        "3 mg 2.5 mg",
    ),
]


@pytest.mark.parametrize(("rule", "level", "brings", "other", "words"), BOTH, ids=lambda value: str(value)[:40])
def test_a_finding_of_the_dropper_bottle(rule: str, level: str, brings: str, other: str, words: str) -> None:
    finding = found(made(brings, BOTTLE), rule)
    assert finding.level.value == level
    assert finding.do
    assert finding.origin.source in BOOK.sources
    for word in words.split("|") if "|" in words else words.replace(" mL", "_mL").replace(" mcg", "_mcg").split():
        assert word.replace("_", " ").removesuffix("%").strip() in finding.says, word
    if other:
        assert rule not in rules(made(other, BOTTLE))


def ways(plan) -> list[str]:
    return [take.in_hand.presentation.id for take in plan.takes]


def test_a_stop_holds_the_plan_and_shows_the_way_out() -> None:
    plan = made("albuterol 2.5 mg undiluted by nebulizer", BOTTLE)
    assert plan.status is Status.STOPPED
    assert (plan.takes, plan.fill, plan.steps, plan.label, plan.leftovers) == ((), None, (), (), ())
    assert plan.ways_out == ("Ask the prescriber for a fill.", "Ask the prescriber or the pharmacy.")
    assert plan.not_taken[0].why.startswith("0.5 mL of albuterol 0.5 % solution, dropper bottle would go in undiluted")


def test_findings_stand_with_stops_first_and_notes_last() -> None:
    plan = made("albuterol 2.5 mg undiluted by nebulizer", BOTTLE)
    assert [finding.level for finding in plan.findings] == [Level.STOP, Level.CAUTION, Level.NOTE, Level.NOTE]


# ------------------------------------------------------------------------------------- concentrate and diluent


def test_a_concentrate_with_a_little_of_another_product_and_no_diluent_is_stopped() -> None:
    text = "albuterol 2.5 mg and ipratropium 0.02 mg undiluted by nebulizer"
    plan = made(text, BOTTLE, IPRATROPIUM, book=UNPUBLISHED)
    assert plan.status is Status.STOPPED
    finding = found(plan, "less-diluted-than-label")
    assert finding.level is Level.STOP
    assert finding.says.startswith("The cup holds 0.6 mL with 0.5 mL of ")


def test_a_concentrate_that_another_product_makes_up_to_the_labels_total_is_diluted() -> None:
    plan = ready("albuterol 2.5 mg and ipratropium 0.5 mg undiluted by nebulizer", BOTTLE, IPRATROPIUM)
    assert plan.fill.total == 3
    assert not rules(plan) & {"concentrate-undiluted", "less-diluted-than-label"}


def test_the_other_products_liquid_counts_towards_the_labels_total() -> None:
    plan = ready("albuterol 2.5 mg and cromolyn 20 mg by nebulizer", CONCENTRATE, "cromolyn-20mg-unit-dose-2ml")
    assert (plan.fill.need, plan.fill.total) == (Fraction(1, 2), 3)
    above = ready("albuterol 2.5 mg and ipratropium 1 mg by nebulizer", BOTTLE, IPRATROPIUM, book=UNPUBLISHED)
    assert (above.fill.need, above.fill.total) == (0, Fraction(11, 2))


def test_a_product_that_is_never_diluted_is_stopped_by_a_fill_and_by_another_product() -> None:
    fill = made("dornase alfa 2.5 mg by nebulizer to 4 mL with normal saline", DORNASE)
    assert found(fill, "diluted-against-label").says.startswith("The order adds 1.5 mL to dornase alfa 2.5 mg")
    other = made("tobramycin 300 mg and albuterol 2.5 mg by nebulizer", TOBRAMYCIN, "albuterol-2.5mg-3ml", cup="cup-10")
    assert found(other, "diluted-against-label").says.startswith("3 mL of another product dilutes tobramycin")
    assert (fill.status, other.status) == (Status.STOPPED, Status.STOPPED)
    assert ready("dornase alfa 2.5 mg by nebulizer", DORNASE).fill.total == Fraction(5, 2)


def test_a_cup_that_needs_more_is_no_reason_to_dilute_what_is_never_diluted() -> None:
    plan = ready("dornase alfa 1 mg by nebulizer", DORNASE)
    assert "does not let it be made up" in found(plan, "fill-under-cup").do
    assert "made up to 3 mL" in found(ready("ipratropium 250 mcg by nebulizer"), "fill-under-cup").do


@pytest.mark.parametrize("liquid", ["normal saline", "0.45 % sodium chloride", "0.9 % sodium chloride", "saline"])
def test_pentamidine_is_stopped_with_every_sodium_chloride(liquid: str) -> None:
    plan = made(f"pentamidine 300 mg by nebulizer to 8 mL with {liquid}", PENTAMIDINE, cup="cup-10")
    assert plan.status is Status.STOPPED
    assert found(plan, "liquid-never").level is Level.STOP


def test_pentamidine_is_stopped_with_a_sodium_chloride_product_as_the_second_drug() -> None:
    plan = made("pentamidine 300 mg and sodium chloride 3 % 4 mL by nebulizer", cup="cup-10")
    assert plan.status is Status.STOPPED
    assert found(plan, "liquid-never").says.startswith("4 mL of sodium chloride 3 % for inhalation")


def test_the_liquid_of_a_powder_must_stand_on_the_bench_unless_it_comes_with_the_vial() -> None:
    dry = made("pentamidine 300 mg by nebulizer", have=[one(PENTAMIDINE)])
    assert dry.status is Status.STOPPED
    assert found(dry, "fill-cannot-be-made").says == (
        "6 mL of sterile water to make up pentamidine isethionate 300 mg, powder vial is not on the bench."
    )
    few = made(
        "pentamidine 300 mg by nebulizer", have=[one(PENTAMIDINE), one("sterile-water-unit-dose", "3 mL", count=1)]
    )
    assert few.status is Status.STOPPED
    two = ready(
        "pentamidine 300 mg by nebulizer", have=[one(PENTAMIDINE), one("sterile-water-unit-dose", "3 mL", count=2)]
    )
    assert two.takes[0].whole == 1
    assert ready("aztreonam 75 mg by nebulizer", have=[one("aztreonam-75mg-vial")]).takes[0].whole == 1


def test_a_diluent_that_is_not_on_the_bench_stops_the_plan() -> None:
    plan = made(f"albuterol 2.5 mg {TO_3}", have=[one(BOTTLE)])
    assert found(plan, "fill-cannot-be-made").says == "Sodium chloride 0.9 % is needed and is not on the bench."
    few = made("albuterol 2.5 mg by nebulizer to 6 mL", have=[one(BOTTLE), one(SALINE, "3 mL", count=1)])
    assert found(few, "fill-cannot-be-made").says == (
        "5.5 mL of sodium chloride 0.9 % is needed and the bench has too little."
    )
    enough = ready("albuterol 2.5 mg by nebulizer to 6 mL", have=[one(BOTTLE), one(SALINE, "3 mL", count=2)])
    assert (enough.fill.whole, enough.fill.drawn.volume) == (1, Fraction(5, 2))


def test_sizes_of_a_diluent_are_not_mixed_and_the_size_of_which_there_is_enough_is_taken() -> None:
    text = "albuterol 2.5 mg by nebulizer to 6 mL"
    short = made(text, have=[one(BOTTLE), one(SALINE, "3 mL", count=1), one(SALINE, "5 mL", count=1)])
    assert found(short, "fill-cannot-be-made").says == (
        "No one size of sodium chloride 0.9 % on the bench is enough for 5.5 mL."
    )
    enough = ready(text, have=[one(BOTTLE), one(SALINE, "5 mL", count=1), one(SALINE, "3 mL", count=2)])
    assert enough.fill.in_hand.contents() == 3


def test_an_opened_single_dose_of_diluent_is_not_used_again() -> None:
    plan = made(f"albuterol 2.5 mg {TO_3}", have=[one(BOTTLE), one(SALINE, "3 mL", left="2.5 mL")])
    assert found(plan, "fill-cannot-be-made").says == "Sodium chloride 0.9 % is needed and is not on the bench."


def test_a_diluent_that_no_syringe_measures_stops_the_plan() -> None:
    plan = made(f"albuterol 2.5 mg {TO_3}", BOTTLE, using=("dropper-0.25-0.5",))
    assert (
        found(plan, "fill-cannot-be-made").says == "No syringe on the bench measures 2.5 mL of sodium chloride 0.9 %."
    )


def test_drug_that_is_more_than_the_ordered_total_stops_the_plan() -> None:
    plan = made("albuterol 20 mg by nebulizer to 3 mL", BOTTLE, book=UNPUBLISHED)
    assert found(plan, "fill-cannot-be-made").says == "4 mL of drug is more than the 3 mL that the cup is to hold."


def test_a_diluent_line_far_from_the_volume_is_cautioned_and_not_only_noted() -> None:
    near = ready("albuterol 1.25 mg by nebulizer to 3 mL", BOTTLE)
    assert found(near, "diluent-line").level is Level.NOTE
    far = ready(
        "albuterol 2.5 mg by nebulizer, add 0.1 mL saline", BOTTLE, using=("dropper-0.25-0.5", "syringe-60-oral")
    )
    assert found(far, "diluent-line").level is Level.CAUTION
    assert "needs 0.1 mL and is measured as 1 mL" in found(far, "diluent-line").says


# ---------------------------------------------------------------------------------------------- measuring


def test_a_line_beside_the_volume_is_cautioned_with_the_share_it_changes_the_dose_by() -> None:
    text = "levalbuterol 0.5 mg by nebulizer"
    plan = ready(text, "levalbuterol-0.63mg-3ml", accepted_line=Fraction(24, 10))
    assert found(plan, "line-beside-volume").says == (
        "The dose needs about 2.38 mL; the accepted line is 2.4 mL, 0.8 % more."
    )
    less = ready(text, "levalbuterol-0.63mg-3ml", accepted_line=Fraction(238, 100))
    assert found(less, "line-beside-volume").says.endswith("the accepted line is 2.38 mL, under 0.1 % less.")
    assert "line-beside-volume" not in rules(ready("levalbuterol 0.63 mg by nebulizer"))


def test_more_than_three_containers_for_one_dose_are_cautioned() -> None:
    four = ready("albuterol 10 mg by nebulizer to 4 mL", "albuterol-2.5mg-0.5ml")
    assert found(four, "many-containers").says == (
        "One dose opens 4 of albuterol 0.5 % concentrate, unit dose; more than 3 are asked about."
    )
    three = ("albuterol 7.5 mg by nebulizer to 4 mL", "albuterol-2.5mg-0.5ml")
    assert "many-containers" not in rules(ready(*three))
    assert "opens 3 of" in found(ready(*three, caution_containers=2), "many-containers").says


def test_the_last_of_a_bottle_is_cautioned_and_enough_in_it_is_not() -> None:
    def left(volume: str, dose: str = "2.5 mg", **settings: object) -> Plan:
        return ready(f"albuterol {dose} {TO_3}", have=[one(BOTTLE, left=volume), one(SALINE)], **settings)

    finding = found(left("0.9 mL"), "last-of-the-bottle")
    assert finding.level is Level.CAUTION
    assert (
        "0.5 mL is drawn out of the 0.9 mL said to be in albuterol 0.5 % solution, dropper bottle; 0.4 mL stays"
        in finding.says
    )
    assert found(left("0.5 mL"), "last-of-the-bottle").says.count("0 mL stays") == 1
    assert "last-of-the-bottle" not in rules(left("1 mL"))
    # 10 mg is 2 mL: of 3.5 mL 1.5 mL stays, less than was drawn and more than the 1 mL that is asked about
    assert "last-of-the-bottle" not in rules(left("3.5 mL", "10 mg"))
    tighter = left("3.5 mL", "10 mg", bottle_rest=read_quantity("2 mL"))
    assert "1.5 mL stays" in found(tighter, "last-of-the-bottle").says
    unit = ready(f"albuterol 2.5 mg {TO_3}", "albuterol-2.5mg-0.5ml")
    assert "last-of-the-bottle" not in rules(unit), "a unit dose is squeezed empty"


def test_a_finer_measure_on_the_bench_is_said_with_both_errors_and_its_line() -> None:
    finding = found(ready(f"albuterol 2.5 mg {TO_3}", BOTTLE, using=("syringe-1", "syringe-5")), "finer-on-the-bench")
    assert finding.level is Level.NOTE
    assert "0.5 mL with the dropper may be off by 15 % of the dose; with the 1 mL syringe" in finding.says
    assert "by 5 %" in finding.says
    assert "on the 0.5 mL line" in finding.do
    coarse = ready(f"albuterol 2.5 mg {TO_3}", BOTTLE, using=("syringe-10",))
    assert "finer-on-the-bench" not in rules(coarse), "10 mL in steps of 0.5 mL is no finer"
    assert "finer-on-the-bench" not in rules(ready(f"albuterol 1 mg {TO_3}", BOTTLE)), "a syringe is taken"


# ----------------------------------------------------------------------------------------------- standing


def test_an_off_label_product_is_cautioned() -> None:
    plan = ready("glycopyrrolate 0.1 mg by nebulizer", "glycopyrrolate-0.2mg-per-ml-injection")
    finding = found(plan, "off-label")
    assert finding.level is Level.CAUTION
    assert "off-label" not in rules(ready("albuterol 2.5 mg by nebulizer"))


def test_an_own_device_product_is_cautioned_whole_and_stopped_in_part() -> None:
    whole = ready("iloprost 10 mcg by nebulizer")
    assert found(whole, "own-device").level is Level.CAUTION
    assert "own-device-part" not in rules(whole)
    part = made("iloprost 2.5 mcg by nebulizer")
    assert part.status is Status.STOPPED
    assert found(part, "own-device-part").says.startswith("0.25 mL is not a whole container of 1 mL of iloprost 10 mcg")
    assert "own-device" not in rules(ready("albuterol 2.5 mg by nebulizer"))


# ----------------------------------------------------------------------------------------------- additives


def test_benzalkonium_is_cautioned_from_its_threshold_and_whenever_it_runs_for_hours() -> None:
    under = ready("albuterol 14 mg by nebulizer to 6 mL", BOTTLE, book=UNPUBLISHED)
    assert found(under, "preservative-carried").level is Level.NOTE
    at = ready("albuterol 15 mg by nebulizer to 6 mL", BOTTLE, book=UNPUBLISHED)
    assert found(at, "preservative-carried").level is Level.CAUTION
    hours = ready("albuterol 1 mg/h by nebulizer for 2 h, output 15 mL/h", BOTTLE, cup="reservoir-240")
    assert found(hours, "preservative-carried").level is Level.CAUTION
    assert "preservative-carried" not in rules(ready("albuterol 2.5 mg by nebulizer"))


@pytest.mark.parametrize(
    ("often", "level", "hourly"),
    [
        ("every 20 min for 3 doses", "caution", "450 mcg per h"),
        ("every 45 min for 2 doses", "caution", "300 mcg per h"),
        ("every 20 min for 1 doses", "note", "150 mcg per h"),
        ("every 1 hours", "note", ""),
        ("once", "note", ""),
    ],
)
def test_the_preservative_of_doses_within_an_hour_is_added_up(often: str, level: str, hourly: str) -> None:
    finding = found(ready(f"albuterol 7.5 mg by nebulizer to 4 mL, {often}", BOTTLE), "preservative-carried")
    assert finding.level.value == level
    assert (f"{hourly}." in finding.says) if hourly else ("per h" not in finding.says)


def test_another_preservative_is_told_with_its_amount_and_no_threshold() -> None:
    plan = ready("glycopyrrolate 0.2 mg by nebulizer", "glycopyrrolate-0.2mg-per-ml-injection")
    assert found(plan, "preservative-carried").says == "9 mg of benzyl alcohol goes into the cup."


def test_an_amount_printed_for_a_container_is_carried_by_its_share() -> None:
    plan = ready("tobramycin 150 mg by nebulizer", "tobramycin-300mg-unit-dose-5ml")
    (salt,) = plan.additives
    # 2.25 mg per mL in 2.5 mL
    assert salt.amount.to("mg").value == Fraction(5625, 1000)


# ----------------------------------------------------------------------------------------------- counting


def test_printed_numbers_that_disagree_and_look_alikes_are_noted() -> None:
    plan = ready("albuterol 2.5 mg by nebulizer", "albuterol-2.5mg-3ml")
    assert found(plan, "label-disagrees").says == ("0.083 % x 3 mL is 2.49 mg; the label's 2.5 mg in 3 mL is used.")
    assert found(plan, "look-alike").level is Level.NOTE
    assert not rules(ready("ipratropium 0.5 mg by nebulizer")) & {"label-disagrees", "look-alike"}


def test_a_value_from_memory_that_the_plan_rests_on_sends_the_person_to_the_label() -> None:
    plan = ready("levalbuterol 1.25 mg by nebulizer", "levalbuterol-1.25mg-0.5ml")
    assert found(plan, "from-memory").says == (
        "Dilution of levalbuterol 1.25 mg concentrate, unit dose: from memory, not confirmed against a text."
    )
    ordered = ready("levalbuterol 1.25 mg by nebulizer to 3 mL", "levalbuterol-1.25mg-0.5ml")
    assert "from-memory" not in rules(ordered)


def test_a_fill_size_from_memory_is_told_too() -> None:
    plan = ready("sodium chloride 7 % 4 mL by nebulizer")
    assert found(plan, "from-memory").says.startswith("Fill size of sodium chloride 7 %")
    assert "from-memory" not in rules(ready("sodium chloride 3 % 4 mL by nebulizer"))


def test_a_ready_to_use_dose_that_an_order_dilutes_is_cautioned() -> None:
    unit_dose = "albuterol-2.5mg-3ml"
    more = found(made("albuterol 2.5 mg by nebulizer to 4 mL", unit_dose), "ready-to-use-diluted")
    assert more.level.value == "caution"
    assert "1 mL" in more.says
    assert "ready-to-use-diluted" not in rules(made("albuterol 2.5 mg by nebulizer", unit_dose))
    assert "ready-to-use-diluted" not in rules(made(f"albuterol 2.5 mg {TO_3}", BOTTLE))
