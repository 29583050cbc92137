"""What a plan tells beside its numbers: the limit, the label, what is left over, the steps, and the working."""

from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest

from drawndose import InHand, Plan, Policy, plan
from drawndose.bench.condition import Condition
from drawndose.bench.labels import TO_WRITE
from drawndose.bench.moments import Span
from drawndose.bench.working import worked
from drawndose.quantities import Refused, read_quantity
from drawndose.reference import Life
from tests.bench.benches import BOOK, BOTTLE, EXAMPLES, bench, made, one, order, ready, says, tools

CHICAGO = ZoneInfo("America/Chicago")
STARTED = datetime(2026, 11, 26, 13, 5, tzinfo=UTC)


def begun(text: str, *idents: str, started: datetime | None = STARTED, **settings: object) -> Plan:
    return plan(
        order(text),
        containers=bench(*idents),
        instruments=tools(),
        policy=Policy(**settings),
        started=started,  # type: ignore[arg-type]
    )


def label(plan_of: Plan, name: str) -> list[str]:
    return [line.text for line in plan_of.label if line.name == name]


# ------------------------------------------------------------------------------------------------- the limit


def test_giving_starts_within_an_hour_of_the_start_of_preparing() -> None:
    plan_of = begun("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE)
    assert plan_of.limit.within == read_quantity("1 h")
    assert plan_of.limit.says == "within 1 h of starting to prepare"
    assert (plan_of.limit.until, plan_of.limit.at_once) == (datetime(2026, 11, 26, 14, 5, tzinfo=UTC), False)
    assert label(plan_of, "started") == ["26 Nov 2026 13:05"]
    assert label(plan_of, "start giving by") == ["26 Nov 2026 14:05"]


def test_a_time_with_its_zone_keeps_it() -> None:
    plan_of = begun("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE, started=datetime(2026, 11, 26, 23, 30, tzinfo=UTC))
    assert plan_of.limit.until == datetime(2026, 11, 27, 0, 30, tzinfo=UTC)


def test_a_facility_may_choose_the_longer_time() -> None:
    plan_of = begun("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE, start_within=read_quantity("4 h"))
    assert plan_of.limit.until == datetime(2026, 11, 26, 17, 5, tzinfo=UTC)


def test_without_a_start_the_times_are_written_by_hand() -> None:
    plan_of = ready("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE)
    assert plan_of.limit.until is None
    assert label(plan_of, "started") == label(plan_of, "start giving by") == [TO_WRITE]


def test_a_label_that_says_at_once_says_so_on_the_label_of_the_cup() -> None:
    plan_of = begun("ipratropium 0.5 mg by nebulizer")
    assert plan_of.limit.at_once
    assert plan_of.limit.says == "at once, and within 1 h of starting to prepare"
    assert label(plan_of, "start giving by") == ["at once, and by 26 Nov 2026 14:05"]
    two = begun("ipratropium 0.25 mg and albuterol 2.5 mg by nebulizer")
    assert two.limit.says == "at once, and within 1 h of starting to prepare"


def test_at_once_after_opening_the_pouch_is_at_once_too() -> None:
    plan_of = begun("levalbuterol 1.25 mg by nebulizer to 3 mL", "levalbuterol-1.25mg-0.5ml")
    assert plan_of.limit.at_once


def _with_life(ident: str, life: tuple[str, str], *, multi_dose: bool | None = None) -> InHand:
    presentation = BOOK.presentation(ident)
    one = Life(after=life[0], lasts=life[1], when="", origin=presentation.label.origin)
    more = {} if multi_dose is None else {"multi_dose": multi_dose}
    changed = replace(presentation, lives=(one,), **more)
    return InHand(presentation=changed, pack=changed.packs[0])


@pytest.mark.parametrize(
    ("life", "multi_dose", "within"),
    [
        (("opened", "30 min"), False, "30 min"),
        (("reconstituted", "2 h"), False, "1 h"),
        (("opened", "30 min"), True, "1 h"),
        (("diluted", "30 min"), True, "30 min"),
        (("out of the pouch", "30 min"), False, "1 h"),
        (("opened", "none printed"), False, "1 h"),
        (("opened", "3 mL"), False, "1 h"),
    ],
)
def test_a_labels_shorter_time_wins_and_the_life_of_a_bottle_is_not_the_life_of_the_cup(
    life: tuple[str, str], multi_dose: bool, within: str
) -> None:
    hand = _with_life("ipratropium-500mcg-2.5ml", life, multi_dose=multi_dose)
    plan_of = plan(order("ipratropium 0.5 mg by nebulizer"), containers=[hand], instruments=tools())
    assert plan_of.limit.within == read_quantity(within)


# ---------------------------------------------------------------------------------------------- left over


def test_nothing_is_kept_from_an_opened_ampoule() -> None:
    (rest,) = ready("epinephrine 0.5 mg by nebulizer").leftovers
    assert rest.volume == read_quantity("0.5 mL")
    assert rest.fate == "Nothing is kept from an opened ampoule: drug waste, glass to sharps."


def test_a_whole_unit_dose_leaves_nothing_and_a_part_of_one_is_thrown_away() -> None:
    (whole,) = ready("ipratropium 0.5 mg by nebulizer").leftovers
    assert whole.fate == "Nothing is left by the label's contents; throw the container away."
    (part,) = ready("ipratropium 0.25 mg by nebulizer").leftovers
    assert part.fate == "Throw away what is left, 1.25 mL by the label's contents."


def test_a_bottle_without_an_in_use_life_is_for_the_facility_to_decide_and_else_not_kept() -> None:
    bottle, saline = ready("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE).leftovers
    assert bottle.volume == read_quantity("19.5 mL")
    assert bottle.fate.startswith("No in-use life was found on its label: your facility's written limit decides")
    assert saline.fate == "Throw the rest away: a fresh single-dose container each time."
    assert saline.volume == read_quantity("0.5 mL")


def test_a_vial_that_its_label_keeps_is_kept_as_long_and_as_cold_as_it_says() -> None:
    (rest,) = ready("acetylcysteine 600 mg by nebulizer", "acetylcysteine-20pct").leftovers
    assert (
        rest.fate
        == "Keep up to 96 h after opening by its label, refrigerated, for inhalation only, dated, for this person."
    )


def test_a_bottle_whose_record_has_no_life_at_all_is_for_the_facility_too() -> None:
    presentation = replace(BOOK.presentation("lidocaine-4pct-bottle-50ml"), lives=())
    hand = InHand(presentation=presentation, pack=presentation.packs[0])
    plan_of = plan(order("lidocaine 40 mg by nebulizer"), containers=[hand], instruments=tools())
    assert "facility's written limit" in plan_of.leftovers[0].fate
    kept = _with_life("lidocaine-4pct-bottle-50ml", ("opened", "28 d"))
    plan_of = plan(order("lidocaine 40 mg by nebulizer"), containers=[kept], instruments=tools())
    assert plan_of.leftovers[0].fate == "Keep up to 28 days after opening by its label, dated, for this person."


# ---------------------------------------------------------------------------------------------- the label


def test_the_label_says_each_dose_large_and_what_it_is_not_for() -> None:
    plan_of = ready("albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer")
    large = [line.text for line in plan_of.label if line.large]
    assert large == ["ipratropium bromide 0.5 mg in 3 mL", "albuterol 2.5 mg in 3 mL"]
    assert label(plan_of, "route") == ["To be breathed in by nebulizer. NOT FOR INJECTION."]
    assert label(plan_of, "diluted with") == []
    assert [line.name for line in plan_of.label] == [
        *("dose", "dose", "route", "person", "started", "start giving by", "made by")
    ]


@pytest.mark.parametrize(
    ("text", "ident", "strength", "unit"),
    [
        ("revefenacin 175 mcg by nebulizer", "revefenacin-175mcg-unit-dose-3ml", "175/3", "mcg/mL"),
        ("albuterol 2.5 mg by nebulizer", "albuterol-2.5mg-3ml", "5/6", "mg/mL"),
        ("tobramycin 300 mg by nebulizer", "tobramycin-300mg-unit-dose-4ml", "75", "mg/mL"),
    ],
)
def test_the_strength_in_the_cup_is_told_in_the_unit_that_reads_well(
    text: str, ident: str, strength: str, unit: str
) -> None:
    ((_, told),) = ready(text, ident).concentrations
    assert (told.value, str(told.unit)) == (Fraction(strength), unit)


# ---------------------------------------------------------------------------------------------- the steps


def test_the_common_steps_stand_once_and_each_containers_own_steps_follow_one_another() -> None:
    plan_of = ready("albuterol 2.5 mg and acetylcysteine 600 mg by nebulizer", BOTTLE, "acetylcysteine-20pct",
                    cup="cup-10")  # fmt: skip
    texts = [step.says for step in plan_of.steps]
    assert sum(text.startswith("Clean your hands. Work on") for text in texts) == 1
    assert [step.number for step in plan_of.steps] == list(range(1, len(texts) + 1))
    bottle = next(place for place, text in enumerate(texts) if text.startswith("Take the dropper out"))
    vial = next(place for place, text in enumerate(texts) if text.startswith("Flip the cap off"))
    dilute = [place for place, text in enumerate(texts) if text.startswith("Add fresh, sterile")]
    assert bottle < vial
    assert dilute == [] or vial < dilute[0]
    assert texts[-1].startswith("Clean your hands. Record")


def test_a_suspension_is_swirled_and_a_powder_is_made_up_in_its_own_manner() -> None:
    assert "A suspension: swirl it as its label says." in says(ready("budesonide 0.5 mg by nebulizer"))
    assert "A suspension" not in says(ready("ipratropium 0.5 mg by nebulizer"))
    powder = ready("colistimethate base activity 300 mg by nebulizer to 5 mL with normal saline", cup="cup-6")
    assert "Swirl, do not shake: it froths." in says(powder)
    assert "draw 2 mL of sterile water for each" in says(powder)
    assert "draw all of all 2 vials into the syringe" in says(powder)


def test_a_whole_unit_and_a_measured_part_are_told_apart() -> None:
    plan_of = ready("levalbuterol 1.05 mg by nebulizer", "levalbuterol-0.63mg-3ml")
    assert (plan_of.takes[0].whole, plan_of.takes[0].draw.volume) == (1, 2)
    text = says(plan_of)
    assert "First label check on all 2 units" in text
    assert "Squeeze all of the unit into the cup" in text
    assert "From one more: draw 2 mL with a new 2.5 mL syringe" in text or "From one more: draw 2 mL" in text
    assert "1.05 mg at 0.21 mg per mL is 5 mL" in text


def test_whole_units_of_diluent_are_counted_as_nominal() -> None:
    plan_of = ready("albuterol 2.5 mg by nebulizer, add 3 mL saline", BOTTLE)
    assert "1 whole unit of 3 mL (nominal), so that the cup holds 3.5 mL in all" in says(plan_of)
    two = ready("albuterol 2.5 mg by nebulizer, add 30 mL saline", BOTTLE, cup="reservoir-240")
    assert "2 whole units of 15 mL (nominal), so that" in says(two)


def test_more_diluent_than_ten_containers_is_still_counted_right() -> None:
    plan_of = ready("albuterol 2.5 mg by nebulizer, add 165 mL saline", BOTTLE, cup="reservoir-240")
    assert (plan_of.fill.whole, plan_of.fill.drawn, plan_of.fill.added) == (11, None, 165)


def test_a_luer_syringe_at_the_cup_is_warned_of() -> None:
    assert "could join a vein's line" in says(ready("acetylcysteine 600 mg by nebulizer", "acetylcysteine-20pct"))


# --------------------------------------------------------------------------------------------- the working


@pytest.mark.parametrize(("text", "idents", "cup"), EXAMPLES, ids=[text for text, _, _ in EXAMPLES])
def test_every_answer_of_the_working_is_the_plans_own_number(text: str, idents: tuple[str, ...], cup: str) -> None:
    plan_of = ready(text, *idents, cup=cup)
    sums = {one.title: one for one in worked(plan_of)}
    for take in plan_of.takes:
        if take.draw is not None:
            answer = sums[f"{take.in_hand.presentation.actives[0].moiety}: volume to draw"].answer
            assert answer.to("mL").value == take.draw.asked
        for given in take.amounts:
            moiety = given.of[0][0]
            if given.dimension == (("mass", 1),):
                answer = sums[f"{moiety}: strength in the cup"].answer
                assert answer.to("mg/mL").value * plan_of.fill.total == given.to("mg").value
    if plan_of.fill.need and plan_of.fill.rule.value == "to a total":
        assert sums["diluent to add"].answer.to("mL").value == plan_of.fill.need
    for resolved in plan_of.doses:
        title = f"{resolved.line.drug.name}: dose for this weight"
        if title in sums and not plan_of.order.continuous and resolved.volume is None:
            assert sums[title].answer.to("mg").value == resolved.amount.to("mg").value
    assert all(one.lines for one in sums.values())


def lines(plan_of: Plan, title: str) -> tuple[str, ...]:
    (one,) = [one for one in worked(plan_of) if one.title == title]
    return one.lines


def test_the_working_of_units_names_the_equivalence_that_was_chosen() -> None:
    plan_of = ready(
        "colistimethate 1 million units by nebulizer to 3 mL with normal saline", equivalences=("hospital-guide",)
    )
    assert lines(plan_of, "what the label counts") == (
        "1,000,000 units = 33 mg of colistin base activity",
        "1,000,000 units = 33 mg of colistin base activity",
    )


def test_the_working_of_a_first_dilution_goes_from_stock_to_part() -> None:
    plan_of = ready("albuterol 0.15 mg by nebulizer to 3 mL", BOTTLE)
    assert lines(plan_of, "albuterol: first dilution") == (
        "0.5 mL × 5 mg per mL = 2.5 mg",
        "2.5 mg ÷ 10 mL = 0.25 mg per mL",
        "0.15 mg ÷ 0.25 mg per mL = 0.6 mL",
    )


def test_the_working_of_hours_multiplies_the_hourly_dose_and_the_output() -> None:
    plan_of = ready("10 mg/h albuterol by nebulizer for 4 h, output 25 mL/h", BOTTLE, cup="reservoir-240")
    assert lines(plan_of, "albuterol: amount for the whole time") == ("10 mg per h × 4 h = 40 mg",)
    assert lines(plan_of, "fill for the whole time") == ("25 mL per h × 4 h = 100 mL",)
    added = ready("albuterol 2.5 mg by nebulizer, add 2.5 mL saline", BOTTLE)
    assert lines(added, "what the cup holds") == ("0.5 mL + 2.5 mL = 3 mL",)
    whole = ready("levalbuterol 1.05 mg by nebulizer", "levalbuterol-0.63mg-3ml")
    assert lines(whole, "levalbuterol: whole containers") == ("1 × 0.63 mg = 0.63 mg",)


def test_a_dose_per_kg_beside_one_per_hour_is_worked_as_what_it_is() -> None:
    plan_of = made(
        "albuterol 10 mg/h and ipratropium 10 mcg/kg by nebulizer for 4 h, output 25 mL/h, weight 50 kg",
        BOTTLE, "ipratropium-500mcg-2.5ml", cup="reservoir-240",
    )  # fmt: skip
    titles = [one.title for one in worked(plan_of)]
    assert titles[:2] == ["albuterol: amount for the whole time", "ipratropium: dose for this weight"]


def test_an_order_without_an_amount_has_no_working() -> None:
    assert worked(made("albuterol by nebulizer", BOTTLE)) == ()


def test_a_clock_change_moves_no_limit() -> None:
    autumn = begun(
        "albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE, started=datetime(2026, 11, 1, 0, 30, tzinfo=CHICAGO)
    )
    assert autumn.limit is not None
    assert autumn.limit.until is not None
    assert autumn.limit.until.astimezone(UTC) == datetime(2026, 11, 1, 6, 30, tzinfo=UTC)
    assert "01 Nov 2026 01:30 (UTC-05:00)" in {line.name: line.text for line in autumn.label}["start giving by"]


def test_a_start_without_its_zone_is_no_start() -> None:
    with pytest.raises(ValueError, match="needs its zone"):
        begun("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE, started=datetime(2026, 11, 1, 0, 30))


def test_a_condition_that_cannot_be_is_refused_before_any_plan() -> None:
    later = datetime(2026, 11, 26, 14, 0, tzinfo=UTC)
    bottle = replace(one(BOTTLE), condition=Condition(opened=later))
    with pytest.raises(Refused, match="dropper bottle, opened"):
        plan(order("albuterol 2.5 mg by nebulizer to 3 mL"), containers=[bottle], instruments=tools(), started=STARTED)


def test_where_waste_goes_is_drug_waste_until_the_facility_says_otherwise() -> None:
    bottle, saline = ready("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE).leftovers
    assert (bottle.stream, saline.stream) == ("drug waste container, never the drain", "may go to the drain")
    own = ready("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE, waste_streams=(("albuterol", "black bin"),)).leftovers
    assert own[0].stream == "black bin"


def test_a_bottle_is_kept_as_long_as_the_facility_has_written() -> None:
    plan_of = ready("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE, bottle_life=Span(28, "day"))
    assert plan_of.leftovers[0].fate == "Keep up to 28 days after opening by your facility, dated, for this person."
