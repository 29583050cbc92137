"""How sure a dose is on the bench page: sentences, bars, settings that reach them, and a plan that stays as it is."""

import re
from dataclasses import replace
from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from tests.bench.benches import BOTTLE as BENCH_BOTTLE
from tests.bench.benches import ready
from tests.pages import BOTTLE, client, post, words

SYRINGE = "albuterol 2 mg by nebulizer, made up to 3 mL"


def part(**sent: Any) -> str:
    page = post(SYRINGE, [BOTTLE], **sent)
    assert re.search(r'<p class="number"><span class="qty">0\.4', page)
    found = re.search(r'<div class="how-sure".*?<div class="cup-row|<div class="how-sure".*', page, re.DOTALL)
    assert found is not None
    return found[0].partition("</section>")[0]


def test_it_says_interval_chances_budget_and_its_own_error() -> None:
    said = words(part())
    assert "2 mg is ordered; with 95 % it is between about 1.88 mg and about 2.12 mg." in said
    assert "Chance of being off the order by more than 5 %: 1" in said
    assert (
        "Standard uncertainty 3.4 %, expanded 6.7 % at 95 % (k = 1.96, effective degrees of freedom infinite)." in said
    )
    assert "Found by 200,000 trials; their own error (one standard deviation) is" in said
    assert "Cause Uncertainty Share calibration of the 1 mL syringe, oral tip 3.3 % 95 %" in said
    assert part().count('class="bar-part"') == 3


def test_the_persons_spread_reaches_it_and_the_fold_stays_open() -> None:
    told = part(**{"sure-spread": "6 %", "sure-draws": "10", "sure-half": "yes", "sure-holds": "yes", "sure-away": "0"})
    said = words(told)
    assert "Most of it comes from the person's spread" in said
    assert "effective degrees of freedom infinite" not in said
    assert "temperature" not in said.partition("What it comes from")[2].partition("All causes")[0]
    assert '<details class="fold settings" open>' in told
    assert 'name="sure-spread" form="bench-form" value="6 %"' in told
    assert '<details class="fold settings">' in part()


def test_a_dry_needle_is_a_known_loss() -> None:
    said = words(part(**{"sure-needle": "needle-21g"}))
    assert "with 95 % it is between about 1.63 mg and about 1.87 mg" in said  # 0.05 mL of 0.4 mL stays in the needle
    assert "how far the known loss is from its figure" in said


@pytest.mark.parametrize(
    ("box", "typed", "rule"),
    [
        ("spread", "some", "the spread of a person&#x27;s draws is a share"),
        ("draws", "one", "weighed draws are counted from 2"),
        ("away", "30", "lies outside the range"),
        ("needle", "pin", "the needle is one of the list"),
    ],
)
def test_a_setting_that_cannot_be_read_leaves_the_plan_and_says_nothing_sure(box: str, typed: str, rule: str) -> None:
    told = part(**{f"sure-{box}": typed})
    assert "Not accepted, so how sure the dose is is not said." in words(told)
    assert rule in told
    assert "with 95 %" not in words(told)
    assert '<details class="fold settings" open>' in told


def test_a_needle_that_would_swallow_the_dose_is_said_at_its_box() -> None:
    client()
    from drawndose import load
    from drawndose.department.web.sureness import sureness

    book = load()
    large = replace(book.needle("needle-21g"), id="huge", keeps=Fraction(1, 2))
    found = sureness(ready(SYRINGE, BENCH_BOTTLE), {"needle": "huge"}, SimpleNamespace(needles=(large,)))  # type: ignore[arg-type]
    assert found is not None
    assert found.told == ()
    assert ["would swallow the whole dose" in fault.rule for fault in found.at("volume")] == [True]


def test_several_doses_are_told_together() -> None:
    said = words(post("albuterol 2 mg and ipratropium 0.3 mg by nebulizer"))
    assert "Chance that at least one dose is off its order by more than 5 %:" in said


def test_whole_containers_are_not_judged() -> None:
    assert "how-sure" not in post("levalbuterol 0.63 mg by nebulizer three times daily")
