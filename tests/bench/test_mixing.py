"""Drugs in one cup: each verdict brought up and not, the limit time it sets, and what the sentence says."""

import re
from itertools import combinations
from types import SimpleNamespace

import pytest

from drawndose import Plan, Status
from drawndose.bench.compatibility import Judged, judge, part
from drawndose.bench.findings import Level, Waiver
from drawndose.bench.safeguards.mixing import RULES, Mixed
from drawndose.quantities import read_quantity
from drawndose.reference import Verdict
from tests.bench.benches import BOOK, BOTTLE, SALINE, found, made, ready, rules

CONCENTRATE = "albuterol-2.5mg-0.5ml"
ALBUTEROL = "albuterol-2.5mg-3ml"
IPRATROPIUM = "ipratropium-500mcg-2.5ml"
CROMOLYN = "cromolyn-20mg-unit-dose-2ml"
BUDESONIDE = "budesonide-0.5mg-unit-dose-2ml"
BOTH = "ipratropium-0.5mg-albuterol-2.5mg-3ml"
COLISTIN = "colistimethate-150mg-vial"
LEVALBUTEROL = "levalbuterol-1.25mg-3ml"
ACETYLCYSTEINE = "acetylcysteine-20pct"
FORMOTEROL = "formoterol-20mcg-unit-dose-2ml"
ARFORMOTEROL = "arformoterol-15mcg-unit-dose-2ml"
PENTAMIDINE = "pentamidine-300mg-vial"
DRUGS = [one for one in BOOK.presentations if not one.diluent]


def of_mixtures(plan: Plan) -> list[str]:
    return [finding.rule for finding in plan.findings if finding.rule.startswith("mixture-")]


# rule, level, who may go on, an order with its containers, the same that does not bring it up, what the sentence says
VERDICTS = [
    (
        "mixture-incompatible",
        Level.STOP,
        Waiver.NOBODY,
        ("albuterol 2.5 mg and cromolyn 20 mg by nebulizer", BOTTLE, CROMOLYN),
        ("albuterol 2.5 mg and cromolyn 20 mg by nebulizer", CONCENTRATE, CROMOLYN),
        "0.5 mL of albuterol with 2 mL of cromolyn: a 2006 review holds benzalkonium chloride incompatible with "
        "cromolyn; the albuterol carries it.",
    ),
    (
        "mixture-forbidden",
        Level.STOP,
        Waiver.PRESCRIBER,
        ("arformoterol 15 mcg and ipratropium 0.5 mg by nebulizer", ARFORMOTEROL, IPRATROPIUM),
        ("arformoterol 15 mcg by nebulizer", ARFORMOTEROL, IPRATROPIUM),
        "2 mL of arformoterol with 2.5 mL of ipratropium: the label of arformoterol says do not mix with other drugs; "
        "a 2007 study found them compatible for 30 min.",
    ),
    (
        "mixture-conflicting",
        Level.CAUTION,
        Waiver.PREPARER,
        ("albuterol 2.5 mg and budesonide 0.5 mg by nebulizer", ALBUTEROL, BUDESONIDE),
        ("albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer", ALBUTEROL, IPRATROPIUM),
        "3 mL of albuterol with 2 mL of budesonide: the US label of budesonide says give it separately, mixing is not "
        "assessed; UK pharmacy advice allows it within 30 min.",
    ),
    (
        "mixture-unknown",
        Level.CAUTION,
        Waiver.PREPARER,
        ("racepinephrine 11.25 mg and ipratropium 0.5 mg by nebulizer to 4 mL", "racepinephrine-11.25mg-0.5ml", IPRATROPIUM),
        ("racepinephrine 11.25 mg by nebulizer to 4 mL", "racepinephrine-11.25mg-0.5ml", IPRATROPIUM),
        "0.5 mL of racepinephrine with 2.5 mL of ipratropium: no data; UK pharmacy advice mixes only what was shown to "
        "be compatible.",
    ),
    (
        "mixture-compatible",
        Level.NOTE,
        Waiver.UNASKED,
        ("albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer", BOTTLE, IPRATROPIUM),
        ("albuterol 2.5 mg by nebulizer", BOTTLE, IPRATROPIUM),
        "0.5 mL of albuterol with 2.5 mL of ipratropium: the ipratropium label, as reported, allows it within 1 h.",
    ),
]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "level", "waiver", "brings", "other", "says"), VERDICTS, ids=lambda value: str(value)[:30]
)
def test_a_verdict_is_brought_up_with_its_level_and_who_may_go_on(
    rule: str, level: Level, waiver: Waiver, brings: tuple[str, ...], other: tuple[str, ...], says: str
) -> None:
    plan = made(*brings)
    finding = found(plan, rule)
    assert (finding.level, finding.waiver, finding.says) == (level, waiver, says)
    assert finding.origin.source in BOOK.sources
    assert of_mixtures(plan) == [rule]
    assert (plan.status is Status.STOPPED) is (level is Level.STOP)
    assert rule not in rules(made(*other))


def test_a_preserved_bottle_is_passed_over_for_a_unit_dose_without_preservative() -> None:
    for drug, container in (("cromolyn 20 mg", CROMOLYN), ("colistimethate base activity 150 mg", COLISTIN)):
        text = f"albuterol 2.5 mg and {drug} by nebulizer to 4 mL with normal saline"
        assert found(made(text, BOTTLE, container), "mixture-incompatible").do == (
            "Give them apart, in two cups, or take a presentation without it."
        )
        plan = ready(text, BOTTLE, CONCENTRATE, container)
        assert CONCENTRATE in {take.in_hand.presentation.id for take in plan.takes}


def test_what_was_found_compatible_without_preservative_is_not_told_of_a_preserved_product() -> None:
    text = "albuterol 2.5 mg and tobramycin 300 mg by nebulizer"
    tobramycin = "tobramycin-300mg-unit-dose-4ml"
    preserved = found(made(text, BOTTLE, tobramycin, cup="cup-10"), "mixture-unknown")
    assert "compatible without preservative only, and one goes in" in preserved.says
    assert found(made(text, ALBUTEROL, tobramycin, cup="cup-10"), "mixture-conflicting").level is Level.CAUTION


def test_both_sources_of_a_conflict_are_named_and_its_time_is_kept() -> None:
    plan = ready("acetylcysteine 600 mg and ipratropium 0.5 mg by nebulizer", ACETYLCYSTEINE, IPRATROPIUM)
    says = found(plan, "mixture-conflicting").says
    assert "a 2005 study lost 7.4 % of the ipratropium in 1 h" in says
    assert "a 2020 study found no significant change" in says
    assert "Start within 1 h." in found(plan, "mixture-conflicting").do


def test_a_label_that_forbids_stops_once_and_not_as_a_dilution_too() -> None:
    plan = made(
        "dornase alfa 2.5 mg and albuterol 2.5 mg by nebulizer", "dornase-alfa-2.5mg-unit-dose-2.5ml", ALBUTEROL
    )
    assert [finding.rule for finding in plan.findings if finding.level is Level.STOP] == ["mixture-forbidden"]
    pentamidine = made("pentamidine 300 mg and albuterol 2.5 mg by nebulizer", PENTAMIDINE, ALBUTEROL, cup="cup-10")
    assert [one.rule for one in pentamidine.findings if one.level is Level.STOP] == ["mixture-forbidden"]


def test_a_sodium_chloride_that_precipitates_is_told_by_the_diluents_rule_alone() -> None:
    plan = made("pentamidine 300 mg and sodium chloride 3 % 4 mL by nebulizer", cup="cup-10")
    assert [one.rule for one in plan.findings if one.level is Level.STOP] == ["liquid-never"]
    three = made(
        "pentamidine 300 mg and sodium chloride 3 % 4 mL and albuterol 2.5 mg by nebulizer", cup="reservoir-240"
    )
    assert {"liquid-never", "mixture-forbidden", "mixture-unknown"} <= rules(three)
    salt = ready("albuterol 2.5 mg and sodium chloride 3 % 4 mL by nebulizer", ALBUTEROL, "sodium-chloride-3pct-unit-dose",
                 cup="cup-10")  # fmt: skip
    assert found(salt, "mixture-unknown").says.startswith("3 mL of albuterol with 4 mL of sodium chloride 3 %: no data")


def test_a_drug_with_itself_in_two_strengths_and_a_diluent_are_no_mixture() -> None:
    part_of = {one.id: part(one) for one in DRUGS}
    assert judge(part_of[BOTTLE], part_of[ALBUTEROL], BOOK.mixtures) is None
    assert of_mixtures(ready("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE)) == []
    saline = ready("albuterol 2.5 mg and sodium chloride 27 mg by nebulizer", ALBUTEROL, SALINE)
    assert [take.in_hand.presentation.id for take in saline.takes] == [ALBUTEROL, SALINE]
    assert of_mixtures(saline) == []


# ------------------------------------------------------------------------------------------------- three in a cup


def test_three_drugs_are_judged_by_every_pair_and_as_three() -> None:
    text = "albuterol 2.5 mg and ipratropium 0.5 mg and cromolyn 20 mg by nebulizer"
    plan = ready(text, CONCENTRATE, IPRATROPIUM, CROMOLYN)
    assert sorted(of_mixtures(plan)) == ["mixture-compatible"] * 2 + ["mixture-conflicting"] * 2
    assert (
        "0.5 mL of albuterol, 2.5 mL of ipratropium with 2 mL of cromolyn: a 2006 review holds the three compatible."
        in [finding.says for finding in plan.findings]
    )
    preserved = made(text, BOTTLE, IPRATROPIUM, CROMOLYN)
    assert sorted(of_mixtures(preserved)) == ["mixture-compatible", "mixture-conflicting", "mixture-incompatible"]


def test_a_ready_made_mixture_counts_as_its_two_drugs() -> None:
    plan = ready("ipratropium 0.5 mg and albuterol 2.5 mg and budesonide 0.5 mg by nebulizer", BOTH, BUDESONIDE)
    assert len(plan.takes) == 2
    assert found(plan, "mixture-conflicting").says.startswith(
        "3 mL of ipratropium and albuterol with 2 mL of budesonide"
    )
    assert found(plan, "mixture-compatible").says.endswith(
        "a tertiary table lists the ready-made mixture with budesonide as compatible."
    )
    assert of_mixtures(ready("ipratropium 0.5 mg and albuterol 2.5 mg by nebulizer", BOTH)) == []


def test_three_of_which_one_pair_is_unknown_are_cautioned_by_that_pair_alone() -> None:
    plan = ready("levalbuterol 1.25 mg and ipratropium 0.5 mg and terbutaline 1 mg by nebulizer", LEVALBUTEROL,
                 IPRATROPIUM, "terbutaline-1mg-1ml", cup="cup-10")  # fmt: skip
    assert of_mixtures(plan).count("mixture-compatible") == 2
    assert found(plan, "mixture-unknown").says.startswith("3 mL of levalbuterol with 1 mL of terbutaline: no data")


# ----------------------------------------------------------------------------------------------- the limit time


@pytest.mark.parametrize(
    ("brings", "within", "source"),
    [
        (("levalbuterol 1.25 mg and ipratropium 0.5 mg by nebulizer", LEVALBUTEROL, IPRATROPIUM), "30 min", "study-levalbuterol-mixtures"),
        (("albuterol 2.5 mg and budesonide 0.5 mg by nebulizer", ALBUTEROL, BUDESONIDE), "30 min", "uk-pharmacy-nebuliser-mixing"),
    ],
)  # fmt: skip
def test_a_mixture_with_a_shorter_time_sets_the_limit_with_its_source(
    brings: tuple[str, ...], within: str, source: str
) -> None:
    plan = ready(*brings)
    assert plan.limit is not None
    assert plan.limit.within == read_quantity(within)
    assert plan.limit.says.endswith(f"within {within} of starting to prepare")
    assert plan.limit.origin.source == source


def test_at_once_stays_said_beside_the_time_of_the_mixture() -> None:
    plan = ready("albuterol 2.5 mg and budesonide 0.5 mg by nebulizer", ALBUTEROL, BUDESONIDE)
    assert plan.limit is not None
    said = {life.lasts for take in plan.takes for life in take.in_hand.presentation.lives}
    assert plan.limit.at_once is ("at once" in said)
    assert plan.limit.says.startswith("at once, and ") is plan.limit.at_once


def test_a_mixture_that_holds_longer_than_the_setting_changes_nothing() -> None:
    plan = ready("albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer", BOTTLE, IPRATROPIUM)
    assert plan.limit is not None
    assert plan.limit.within == read_quantity("1 h")
    longer = ready(
        "albuterol 2.5 mg and ipratropium 0.5 mg by nebulizer", BOTTLE, IPRATROPIUM, start_within=read_quantity("4 h")
    )
    assert longer.limit is not None
    assert (longer.limit.within, longer.limit.origin.source) == (read_quantity("1 h"), "qa-page-ipratropium-mixing")


# -------------------------------------------------------------------------------------------- every pair there is


def _mixed(*presentations) -> Mixed | None:
    """Two products as a rule sees them, with volumes that take room in the sentence."""
    judged = judge(part(presentations[0]), part(presentations[1]), BOOK.mixtures)
    takes = tuple(
        SimpleNamespace(volume=read_quantity("2.75 mL").value, in_hand=SimpleNamespace(presentation=one))
        for one in presentations
    )
    return Mixed(takes, judged) if judged is not None else None


def test_three_together_of_which_nothing_is_known_are_cautioned_though_their_pairs_go() -> None:
    nothing = BOOK.mixtures.of("any", "any", "any")
    judged = Judged(verdict=Verdict.NO_DATA, because=nothing, statements=nothing, unmet=(), limit=None)
    takes = tuple(
        SimpleNamespace(
            volume=read_quantity(volume).value, in_hand=SimpleNamespace(presentation=BOOK.presentation(ident))
        )
        for volume, ident in (("3 mL", ALBUTEROL), ("2.5 mL", IPRATROPIUM), ("2 mL", BUDESONIDE))
    )
    (said,) = [said for rule in RULES if (said := rule.look(Mixed(takes, judged))) is not None]
    assert said.says == (
        "3 mL of albuterol, 2.5 mL of ipratropium with 2 mL of budesonide: no data; UK medicines information has data on "
        "few mixtures of three and does not recommend others."
    )


def test_every_pair_of_products_brings_up_exactly_one_rule_in_under_forty_words() -> None:
    counted = 0
    for two in combinations(DRUGS, 2):
        mixed = _mixed(*two)
        if mixed is None:
            assert set(two[0].drugs) == set(two[1].drugs)
            continue
        said = [said for rule in RULES if (said := rule.look(mixed)) is not None]
        assert len(said) == 1
        assert len(said[0].says.split()) < 40, said[0].says
        assert said[0].says.count("2.75 mL") == 2
        assert not re.search(r"them.*;.*\bthem\b", said[0].do)
        counted += 1
    assert counted > 600


def test_a_limit_in_the_sentence_is_the_limit_to_do() -> None:
    for two in combinations(DRUGS, 2):
        mixed = _mixed(*two)
        if mixed is not None and mixed.judged.within is not None:
            said = next(said for rule in RULES if (said := rule.look(mixed)) is not None)
            assert "Start within " in said.do
