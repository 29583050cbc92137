"""What a person typed: numbers and words that have been misread, and their harmless neighbours."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.bench.safeguards.typed import RULES, Typed, text_findings
from drawndose.quantities import show_number
from tests.bench.benches import BOOK

# rule, what brings it up, what only just does not, what it says to write
BOTH = [
    ("text-that-is-misread", "albuterol 1.0 mg", "albuterol 1 mg", "1 mg"),
    ("text-that-is-misread", "albuterol 2.50mg in 3 mL", "version 2.50 of the form", "2.5 mg"),
    ("text-that-is-misread", "albuterol .5 mg", "albuterol 0.5 mg", "0.5 mg"),
    ("text-that-is-misread", "colistin 500,000 U", "U-shaped tube", "units"),
    ("text-that-is-misread", "colistin 500,000 IU", "a podium", "units"),
    ("text-that-is-misread", "add 3 cc", "add 3 mL, account closed", "mL"),
    ("text-that-is-misread", "ipratropium 500 \u00b5g", "ipratropium 500 mcg", "mcg"),
    ("text-that-is-misread", "albuterol 2.5 mg QD", "albuterol 2.5 mg daily", "daily"),
    ("text-that-is-misread", "albuterol 2.5 mg q.o.d.", "albuterol 2.5 mg every other day", "every other day"),
    ("text-that-is-misread", "budesonide 0.5 mg HS", "budesonide 0.5 mg at bedtime", "bedtime"),
    ("text-that-is-misread", "MgSO4 by nebulizer", "magnesium sulfate, Ms Sample", "full name"),
    ("text-that-is-misread", "albuterol & ipratropium", "albuterol and ipratropium", "and"),
    ("text-that-is-misread", "saturation <90 %", "saturation less than 90 %", "less than"),
    ("text-that-is-misread", "give @ 14:05", "give at 14:05", "at"),
    ("ratio-strength", "epinephrine 1:1,000", "epinephrine at 1:10, I:E 1:2", "1 mg per mL"),
    ("ratio-strength", "epinephrine 1:10000", "epinephrine 0.1 mg per mL", "0.1 mg per mL"),
    ("percent-disagrees", "albuterol 0.5 % (0.5 mg per mL)", "albuterol 0.5 % (5 mg per mL)", "5 mg per mL"),
    ("percent-disagrees", "saline 0.9 % (27 mg/mL)", "albuterol 0.083 % (830 mcg per mL)", "9 mg per mL"),
    ("spacing-of-numbers", "albuterol 2.5mg", "albuterol 2.5 mg", "2.5 mg"),
    ("spacing-of-numbers", "colistin 500000 units", "colistin 500,000 units in 2026", "500,000 units"),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "brings", "near", "write"), BOTH, ids=[one[1] for one in BOTH])
def test_both_ways(rule: str, brings: str, near: str, write: str) -> None:
    found = [finding for finding in text_findings(Typed("order", brings)) if finding.rule == rule]
    assert len(found) == 1
    assert write in found[0].says
    assert found[0].origin.source in BOOK.sources
    assert rule not in {finding.rule for finding in text_findings(Typed("order", near))}


def test_every_rule_of_a_text_is_proved() -> None:
    assert {one.id for one in RULES} == {one[0] for one in BOTH}


def test_in_print_it_is_a_stop_and_in_an_order_a_caution() -> None:
    for text in ("albuterol 1.0 mg", "epinephrine 1:1,000"):
        levels = [text_findings(Typed("label", text, printed=printed))[0].level.value for printed in (True, False)]
        assert levels == ["stop", "caution"]


def test_several_are_one_finding_with_their_number() -> None:
    (found,) = text_findings(Typed("order", "albuterol 1.0 mg, .5 mL QD"))
    assert "(2 more)" in found.says


@given(st.decimals(min_value=0, max_value=999, places=3), st.sampled_from(["mg", "mcg", "mL", "units"]))
def test_an_amount_as_this_house_writes_it_brings_nothing_up(value, unit) -> None:
    from fractions import Fraction

    assert text_findings(Typed("label", f"albuterol {show_number(Fraction(value))} {unit} in 3 mL", printed=True)) == ()


@given(st.text(max_size=200))
def test_no_text_breaks_it(text: str) -> None:
    for finding in text_findings(Typed("note", text)):
        assert finding.says.startswith("note: ")


def test_nothing_that_the_catalogue_prints_of_its_own_is_misread() -> None:
    for presentation in BOOK.presentations:
        assert [one.says for one in text_findings(Typed("name", presentation.name, printed=True))] == []


def test_a_percent_of_nothing_is_no_strength_to_compare() -> None:
    assert "percent-disagrees" not in {one.rule for one in text_findings(Typed("note", "saline 0 % (0 mg per mL)"))}
