"""Allergies against what is taken: each rule both ways; a way without the excipient goes first; false alarms are told once."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from drawndose import InHand, Status, plan
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.safeguards.sensitivities import RULES, class_and_allergy
from drawndose.reference import Carried, How, Origin
from tests.bench.benches import BOOK, BOTTLE, SALINE, bench, found, made, order, ready, rules, tools

EXCIPIENT, DRUG, CLASS, CLEARED, UNKNOWN = (
    "excipient-and-allergy",
    "drug-and-allergy",
    "class-and-allergy",
    "allergy-does-not-bar",
    "allergy-not-checked",
)
UNIT_DOSE = "albuterol-2.5mg-3ml"
TO_3 = "albuterol 2.5 mg by nebulizer, made up to 3 mL"
IPRATROPIUM = "ipratropium-500mcg-2.5ml"

PLANTED = [
    (EXCIPIENT, "stop", f"{TO_3}, allergic to benzalkonium", f"{TO_3}, allergic to EDTA", (BOTTLE,), "holds benzalkonium chloride"),
    (EXCIPIENT, "stop", "budesonide 0.5 mg by nebulizer, allergic to EDTA", "budesonide 0.5 mg by nebulizer, allergic to sulfites", ("budesonide-0.5mg-unit-dose-2ml",), "edetate disodium"),
    (EXCIPIENT, "caution", "racepinephrine 0.5 mL of 2.25 % by nebulizer to 3 mL, allergic to EDTA", "racepinephrine 0.5 mL of 2.25 % by nebulizer to 3 mL, allergic to sulfites", ("racepinephrine-11.25mg-0.5ml",), "may hold edetate disodium, from memory"),
    (DRUG, "stop", f"{TO_3}, allergic to salbutamol", f"{TO_3}, allergic to ipratropium", (BOTTLE,), "allergic to albuterol"),
    (DRUG, "caution", "levalbuterol 0.63 mg by nebulizer, allergic to albuterol", "levalbuterol 0.63 mg by nebulizer, allergic to ipratropium", ("levalbuterol-0.63mg-3ml",), "a form of the same drug"),
    (DRUG, "caution", f"{TO_3}, allergic to levalbuterol", f"{TO_3}, allergic to epinephrine", (BOTTLE,), "allergic to levalbuterol"),
    (CLASS, "stop", "ipratropium 0.5 mg by nebulizer, allergic to atropine", "ipratropium 0.5 mg by nebulizer, allergic to albuterol", (IPRATROPIUM,), "allergic to atropine; "),
    (CLASS, "stop", "tobramycin 300 mg by nebulizer, allergic to gentamicin", "tobramycin 300 mg by nebulizer, allergic to atropine", ("tobramycin-300mg-unit-dose-5ml",), "its label bars it after a reaction to any aminoglycoside"),
    (CLASS, "caution", f"{TO_3}, allergic to beta-2 agonists", f"{TO_3}, allergic to steroids", (BOTTLE,), "it is a beta agonist"),
    (CLEARED, "note", "ipratropium 0.5 mg by nebulizer, allergic to lecithin", f"{TO_3}, allergic to lecithin", (IPRATROPIUM, BOTTLE), "An allergy to lecithin does not bar ipratropium"),
    (CLEARED, "note", "ipratropium 0.5 mg by nebulizer, allergic to soya", f"{TO_3}, allergic to soya", (IPRATROPIUM, BOTTLE), "does not bar ipratropium here: soya lecithin was in an old propellant inhaler"),
    (CLEARED, "note", "ipratropium 0.5 mg by nebulizer, allergic to peanuts", "ipratropium 0.5 mg by nebulizer, allergic to sulfites", (IPRATROPIUM,), "peanut"),
    (UNKNOWN, "note", f"{TO_3}, allergic to penicillin and sulfites", f"{TO_3}, allergic to sulfites", (BOTTLE,), "Not checked by the tool: allergy to penicillin."),
]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "level", "fires", "near", "have", "says"),
    PLANTED,
    ids=[f"{place}-{one[0]}" for place, one in enumerate(PLANTED)],
)
def test_a_planted_fault_is_found_and_its_near_miss_is_not(
    rule: str, level: str, fires: str, near: str, have: tuple[str, ...], says: str
) -> None:
    finding = found(made(fires, *have), rule)
    assert finding.level.value == level
    assert says in finding.says
    assert finding.do
    assert finding.origin.source in BOOK.sources
    assert len(finding.says.split()) <= 40
    assert rule not in rules(made(near, *have))


def test_every_rule_of_the_family_is_planted() -> None:
    assert {one.id for one in RULES} == {one[0] for one in PLANTED}


def test_a_way_without_the_excipient_is_taken_and_the_other_says_why_not() -> None:
    both = ready("albuterol 2.5 mg by nebulizer, allergic to benzalkonium", BOTTLE, UNIT_DOSE)
    assert both.takes[0].in_hand.presentation.id == UNIT_DOSE
    lost = [one for one in both.not_taken if "bottle" in one.what]
    assert lost
    alone = made(f"{TO_3}, allergic to benzalkonium", BOTTLE)
    assert alone.status is Status.STOPPED
    assert alone.ways_out[0] == "Take a product without it, or ask the prescriber."
    stop = found(alone, EXCIPIENT)
    assert (stop.level, stop.waiver) == (Level.STOP, Waiver.PRESCRIBER)


def test_the_diluent_is_looked_at_too() -> None:
    saline = BOOK.presentation(SALINE)
    origin = Origin(source="us-label-sodium-chloride-0.9pct-3ml", at="-", how=How.READ)
    alcohol = Carried(substance="benzyl alcohol", role="excipient", strength=None, amount=None, origin=origin)
    record = replace(saline, carries=(*saline.carries, alcohol))
    have = [*bench(BOTTLE, diluents=False), *(InHand(presentation=record, pack=pack) for pack in record.packs)]
    asked = order(f"{TO_3}, allergic to benzyl alcohol")
    stopped = plan(asked, containers=have, instruments=tools())
    assert stopped.status is Status.STOPPED
    assert "benzyl alcohol" in found(stopped, EXCIPIENT).says
    assert plan(order(TO_3), containers=have, instruments=tools()).status is Status.READY


def test_soya_that_a_label_does_list_stops_and_is_not_cleared() -> None:
    label = BOOK.presentation(IPRATROPIUM)
    origin = Origin(source="us-label-ipratropium", at="-", how=How.READ)
    soya = Carried(substance="soya lecithin", role="excipient", strength=None, amount=None, origin=origin)
    record = replace(label, carries=(*label.carries, soya))
    have = [InHand(presentation=record, pack=pack) for pack in record.packs]
    for word in ("soya", "peanuts"):
        asked = order(f"ipratropium 0.5 mg by nebulizer, allergic to {word}")
        stopped = plan(asked, containers=have, instruments=tools())
        assert stopped.status is Status.STOPPED
        assert {EXCIPIENT} <= rules(stopped)
        assert CLEARED not in rules(stopped)


def test_a_false_alarm_is_told_once_for_both_names() -> None:
    both = ready("ipratropium 0.5 mg by nebulizer, allergic to soya and peanuts", IPRATROPIUM)
    assert [one.rule for one in both.findings].count(CLEARED) == 1
    assert both.status is Status.READY


def test_sulfites_do_not_touch_a_sulfate_and_sulfa_is_another_thing() -> None:
    for word in ("sulfites", "sulfa"):
        plan_ = ready(f"{TO_3}, allergic to {word}", BOTTLE)
        assert not rules(plan_) & {EXCIPIENT, DRUG}


def test_the_class_of_each_part_of_a_combination_counts() -> None:
    text = "ipratropium 0.5 mg and albuterol 2.5 mg by nebulizer, allergic to atropine"
    stopped = made(text, "ipratropium-0.5mg-albuterol-2.5mg-3ml")
    assert stopped.status is Status.STOPPED
    stop = found(stopped, CLASS)
    assert (stop.level, stop.waiver) == (Level.STOP, Waiver.PRESCRIBER)
    cautioned = ready(f"{TO_3}, allergic to sympathomimetics", BOTTLE)
    assert found(cautioned, CLASS).waiver is Waiver.PREPARER


def test_every_drug_that_a_class_bars_is_told_in_a_plan_that_takes_it() -> None:
    """Each record by itself: the word, said of the patient, reaches every drug that it bars."""
    seen = 0
    for word, one in BOOK.sensitivities.items():
        for barred in one.bars:
            product = next(each for each in BOOK.presentations if barred.drug in each.drugs)
            way = SimpleNamespace(
                order=SimpleNamespace(patient=SimpleNamespace(allergies=(word,))),
                takes=(SimpleNamespace(in_hand=SimpleNamespace(presentation=product)),),
                fill=SimpleNamespace(in_hand=None),
            )
            (finding,) = [one for one in class_and_allergy.findings(way) if barred.drug in one.says]
            assert finding.origin.source in BOOK.sources
            assert len(finding.says.split()) <= 40
            seen += 1
    assert seen > 20


def test_each_part_of_a_combination_counts() -> None:
    text = "ipratropium 0.5 mg and albuterol 2.5 mg by nebulizer, allergic to albuterol"
    stopped = made(text, "ipratropium-0.5mg-albuterol-2.5mg-3ml")
    assert stopped.status is Status.STOPPED
    assert "allergic to albuterol" in found(stopped, DRUG).says


def test_without_an_allergy_nothing_is_said() -> None:
    for text in (TO_3, f"{TO_3}, no known allergies"):
        assert not rules(ready(text, BOTTLE)) & {EXCIPIENT, DRUG, CLEARED, UNKNOWN}
