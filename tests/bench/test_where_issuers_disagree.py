"""Where issuers disagree a facility chooses: each choice changes what is said, and none of them lets a stop pass."""

import pytest

from drawndose import Plan, Policy, Status, plan
from drawndose.bench.container_life import hand_here, in_use_life, used_here
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.policy import OralTip, RestKept, SoyaHeld
from tests.bench.benches import BOOK, BOTTLE, bench, found, one, order, rules, tools

VIAL = "acetylcysteine-20pct"
THROWN = Policy(rest_kept=RestKept.THROWN)
IPRATROPIUM = "ipratropium-500mcg-2.5ml"


def leftover(policy: Policy) -> str:
    made = plan(order("acetylcysteine 600 mg by nebulizer"), containers=bench(VIAL), instruments=tools(), policy=policy)
    assert made.status is Status.READY
    return next(one.fate for one in made.leftovers if "cetylcysteine" in one.what)


def test_the_rest_of_a_vial_is_kept_as_its_label_says_or_thrown_away() -> None:
    assert "Keep up to 96 h" in leftover(Policy())
    assert "Throw away what is left" in leftover(THROWN)


def test_an_opened_rest_is_not_drawn_from_where_none_is_kept() -> None:
    text, opened = order("acetylcysteine 600 mg by nebulizer"), [one(VIAL, "10 mL", left="4 mL")]
    assert plan(text, containers=opened, instruments=tools()).status is Status.READY
    assert plan(text, containers=opened, instruments=tools(), policy=THROWN).status is not Status.READY


def test_nothing_else_is_touched_by_it() -> None:
    bottle, ampoule = one(BOTTLE), one("epinephrine-1mg-1ml-ampoule")
    assert hand_here(bottle, THROWN) is bottle
    assert hand_here(ampoule, THROWN) is ampoule
    vial = one(VIAL)
    assert hand_here(vial, Policy()) is vial
    assert in_use_life(vial.presentation, THROWN) is not None  # what the label prints
    assert in_use_life(used_here(vial.presentation, THROWN), THROWN) is None
    assert BOOK.presentation(VIAL).multi_dose


def drawn(policy: Policy, *using: str) -> Plan:
    instruments = tools(*using) if using else tools()
    return plan(
        order("budesonide 0.3 mg by nebulizer"),
        containers=bench("budesonide-0.5mg-unit-dose-2ml"),
        instruments=instruments,
        policy=policy,
    )


def test_an_oral_tip_is_cautioned_where_the_facility_says_so_and_never_in_place_of_the_vein() -> None:
    strict = Policy(oral_tip=OralTip.CAUTION)
    said = found(drawn(strict), "tip-for-the-mouth")
    assert (said.level, said.waiver) == (Level.CAUTION, Waiver.PREPARER)
    assert "route" in said.do
    assert "tip-for-the-mouth" not in rules(drawn(Policy()))
    luer = drawn(strict, "syringe-2")
    assert "tip-for-the-mouth" not in rules(luer)
    assert "tip-fits-a-vein-line" in rules(luer)


@pytest.mark.parametrize("word", ["soya", "peanuts"])
def test_soya_is_held_against_the_drug_by_name_only_where_chosen_and_is_never_a_stop(word: str) -> None:
    asked = order(f"ipratropium 0.5 mg by nebulizer, allergic to {word}")

    def said(policy: Policy) -> tuple[Status, Level]:
        made = plan(asked, containers=bench(IPRATROPIUM), instruments=tools(), policy=policy)
        return made.status, found(made, "allergy-does-not-bar").level

    assert said(Policy()) == (Status.READY, Level.NOTE)
    assert said(Policy(soya_held=SoyaHeld.NAME)) == (Status.READY, Level.CAUTION)


def test_every_conflict_with_a_setting_has_its_choices_in_the_words_of_the_setting() -> None:
    words = {
        "rest_kept": [one.value for one in RestKept],
        "oral_tip": [one.value for one in OralTip],
        "soya_held": [one.value for one in SoyaHeld],
    }
    held = {one.setting.name: list(one.choices) for one in BOOK.conflicts.values() if one.setting is not None}
    assert {name: held[name] for name in words} == words
    shipped = {one.setting.name: one.default for one in BOOK.conflicts.values() if one.setting is not None}
    assert {name: shipped[name] for name in words} == {name: getattr(Policy(), name).value for name in words}
