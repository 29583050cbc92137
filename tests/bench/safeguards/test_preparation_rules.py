"""A preparation that is in order, and each way in which it is not: made by changing one thing of a right one."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest

from drawndose import Policy, plan
from drawndose.bench.labels import TO_WRITE, LabelLine
from drawndose.bench.preparation import Needle, Preparation
from drawndose.bench.safeguards import OF_A_PREPARATION, preparation_findings
from tests.bench.benches import BOOK, BOTTLE, bench, order, tools

ZONE = ZoneInfo("America/Chicago")
BEGUN = datetime(2026, 11, 25, 14, 5, tzinfo=ZONE)


def minutes(count: int) -> datetime:
    return BEGUN + timedelta(minutes=count)


def written(made: Preparation) -> Preparation:
    """With every line of its label filled in by hand."""
    lines = tuple(replace(line, text=line.text.replace(TO_WRITE, "204118")) for line in made.plan.label)
    return replace(made, label=lines)


def right(text: str, *idents: str, **settings: object) -> Preparation:
    """A preparation in which everything is as it should be."""
    plan_of = plan(
        order(text),
        containers=bench(*idents),
        instruments=tools(),
        policy=Policy(**settings),  # type: ignore[arg-type]
        started=BEGUN,
    )
    assert plan_of.fill is not None
    total = plan_of.fill.total
    glass = any("ampoule" in take.in_hand.presentation.container.value for take in plan_of.takes)
    needle = (Needle.FILTER_ON, Needle.DRAWN, Needle.FILTER_OFF) if glass else (Needle.DRAWN, Needle.NEEDLE_OFF)
    made = Preparation(
        plan=plan_of,
        started=BEGUN,
        now=minutes(59),
        prepared_by="A. Sample",
        read_by="B. Example",
        given_by="C. Specimen",
        readings=tuple(take.draw.volume for take in plan_of.takes if take.draw is not None),
        second=tuple(take.draw.volume for take in plan_of.takes if take.draw is not None),
        needle=(*needle, Needle.EMPTIED),
        identifiers=2,
        given_at=minutes(59),
        charted_at=minutes(70),
        given=total,
        wasted=Fraction(0),
        left=Fraction(0),
    )
    return written(made)


GLASS = right("epinephrine 2.5 mg by nebulizer to 3 mL", "epinephrine-1mg-1ml-ampoule")
DROPPER = right("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE)
VIAL = right("acetylcysteine 600 mg by nebulizer", "acetylcysteine-20pct")
WATCHED = right("albuterol 2.5 mg by nebulizer to 3 mL", BOTTLE, controlled=("albuterol",))


def without(made: Preparation, name: str) -> Preparation:
    return replace(made, label=tuple(line for line in made.label if line.name != name))


NEAR = Fraction(1, 10)
# rule, what brings it up, its near miss, and what it must say
BOTH = [
    ("label-missing", replace(DROPPER, label=()), replace(DROPPER, label=(), at_once=True, given_by="A. Sample"), "another person"),
    ("label-missing", replace(DROPPER, label=(), given_by=""), replace(DROPPER, label=(), given_by="", at_once=True), "not at once"),
    ("label-incomplete", without(DROPPER, "diluted with"), DROPPER, "1 of 7 parts: diluted with"),
    ("label-incomplete", replace(DROPPER, label=DROPPER.plan.label), replace(DROPPER, label=()), "person, made by"),
    ("label-incomplete", without(DROPPER, "person"), replace(without(DROPPER, "person"), given_by="A. Sample"), "person"),
    ("label-incomplete", without(VIAL, "dose"), without(VIAL, "diluted with"), "dose"),
    ("reading-beside-plan", replace(DROPPER, readings=(Fraction(5),)), DROPPER, "5 mL; the plan is 0.5 mL. That is 10 times"),
    ("reading-beside-plan", replace(DROPPER, readings=(Fraction(5, 1000),)), replace(DROPPER, readings=()), "divided by 100"),
    ("reading-beside-plan", replace(VIAL, readings=(Fraction(31, 10),)), VIAL, "3.3 % more"),
    ("reading-beside-plan", replace(VIAL, readings=(Fraction(29, 10),)), VIAL, "3.3 % less"),
    ("second-reader-missing", replace(GLASS, read_by=""), replace(DROPPER, read_by=""), "epinephrine"),
    ("second-reader-is-first", replace(GLASS, read_by="A. Sample"), GLASS, "A. Sample"),
    ("readings-differ", replace(GLASS, second=(Fraction(2),)), replace(GLASS, second=()), "2.5 mL, the second 2 mL"),
    ("readings-differ", replace(GLASS, second=(Fraction(2), Fraction(1))), GLASS, "1 volumes, the second 2"),
    ("filter-needle-order", replace(GLASS, needle=(Needle.FILTER_ON, Needle.DRAWN, Needle.EMPTIED)), GLASS, "filter needle on"),
    ("filter-needle-order", replace(GLASS, needle=(Needle.FILTER_ON, Needle.EMPTIED, Needle.FILTER_OFF)), replace(GLASS, needle=(Needle.FILTER_ON,)), "filter"),
    ("needle-left-on", replace(VIAL, needle=(Needle.DRAWN, Needle.EMPTIED)), VIAL, "with its needle on"),
    ("needle-left-on", replace(GLASS, needle=(Needle.DRAWN, Needle.EMPTIED, Needle.NEEDLE_OFF)), replace(DROPPER, needle=(Needle.EMPTIED,)), "needle on"),
    ("limit-time-passed", replace(DROPPER, given_at=minutes(61)), replace(DROPPER, given_at=minutes(60)), "25 Nov 2026 15:05"),
    ("limit-time-passed", replace(DROPPER, given_at=None, charted_at=None, now=minutes(61)), replace(DROPPER, now=minutes(300)), "15:06"),
    ("identifiers-not-matched", replace(DROPPER, identifiers=1), replace(DROPPER, identifiers=0, given_at=None, charted_at=None), "1 of the"),
    ("charted-before-giving", replace(DROPPER, charted_at=minutes(58)), replace(DROPPER, charted_at=minutes(59)), "15:03"),
    ("charted-before-giving", replace(DROPPER, given_at=None), replace(DROPPER, given_at=None, charted_at=None), "has not been given"),
    ("waste-does-not-add-up", replace(DROPPER, given=Fraction(2)), replace(DROPPER, given=Fraction(2), left=Fraction(1)), "2 mL given"),
    ("waste-does-not-add-up", replace(DROPPER, wasted=NEAR), replace(DROPPER, wasted=None), "3.1 mL"),
    ("waste-witness", replace(WATCHED, given=3 - NEAR, wasted=NEAR), replace(WATCHED, given=3 - NEAR, wasted=NEAR, witness="D. Model"), "nobody else"),
    ("waste-witness", replace(WATCHED, given=3 - NEAR, wasted=NEAR, witness="A. Sample"), replace(DROPPER, given=3 - NEAR, wasted=NEAR), "handled it too"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "brings", "near", "says"), BOTH, ids=[f"{place}-{one[0]}" for place, one in enumerate(BOTH)]
)
def test_both_ways(rule: str, brings: Preparation, near: Preparation, says: str) -> None:
    found = [finding for finding in preparation_findings(brings) if finding.rule == rule]
    assert len(found) == 1
    assert says in found[0].says
    assert found[0].level.value == "stop"
    assert found[0].do
    assert found[0].origin.source in BOOK.sources
    assert rule not in {finding.rule for finding in preparation_findings(near)}


def test_every_rule_of_a_preparation_is_proved() -> None:
    assert {one.id for family in OF_A_PREPARATION for one in family.RULES} == {one[0] for one in BOTH}


@pytest.mark.parametrize("made", [GLASS, DROPPER, VIAL, WATCHED], ids=["ampoule", "dropper", "vial", "witnessed"])
def test_what_is_in_order_brings_nothing_up(made: Preparation) -> None:
    assert preparation_findings(made) == ()


def test_an_unstated_amount_is_not_taken_for_nothing() -> None:
    held = replace(WATCHED, given=None, wasted=None, left=None)
    assert preparation_findings(held) == ()


def test_a_label_line_that_is_empty_is_not_written() -> None:
    lines = tuple(LabelLine(name=line.name, text="" if line.name == "route" else line.text) for line in DROPPER.label)
    assert "route" in preparation_findings(replace(DROPPER, label=lines))[0].says


def test_a_passed_limit_names_where_its_time_is_from_and_not_where_at_once_is_from() -> None:
    made = written(right("albuterol 2.5 mg by nebulizer", "albuterol-2.5mg-3ml"))
    assert made.plan.limit is not None
    assert made.plan.limit.at_once
    (stop,) = [
        one
        for one in preparation_findings(replace(made, given_at=minutes(61), charted_at=minutes(70)))
        if one.rule == "limit-time-passed"
    ]
    assert stop.origin.source == "usp-797-immediate-use"
