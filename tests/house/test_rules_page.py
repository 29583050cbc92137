"""The reference page of rules says what the register says, and names only tests that name a rule."""

from pathlib import Path

from drawndose.reference import load
from tools import rules_page

TESTS = rules_page.proving(rules_page.ROOT / "tests")


def test_the_page_is_up_to_date() -> None:
    assert rules_page.main(["--check"]) == 0, "run: python -m tools.rules_page"


def test_every_rule_disagreement_and_source_has_its_row() -> None:
    page, book = rules_page.PAGE.read_text(encoding="utf-8"), load()
    named = [*book.rules, *book.conflicts, *(ident for rule in book.rules.values() for ident in rule.sources)]
    assert [ident for ident in named if f"\n| `{ident}`" not in page] == []
    assert "**152 accounted for**" in page


def test_a_planted_gap_is_filled() -> None:
    page = rules_page.PAGE.read_text(encoding="utf-8")
    assert rules_page.filled(page.replace("| `vial-28-days`", "| ``"), TESTS) == page


def test_a_test_that_names_a_finding_stands_beside_the_rules_that_it_computes(tmp_path: Path) -> None:
    (tmp_path / "test_life.py").write_text('assert rule == "past-in-use-life"\n', encoding="utf-8")
    (tmp_path / "life.py").write_text('"another-persons"\n', encoding="utf-8")
    tests = rules_page.proving(tmp_path)
    assert tests["vial-28-days"] == ("test_life.py",)
    assert tests["two-identifiers"] == ()
    (row,) = [line for line in rules_page.rules(tests).splitlines() if line.startswith("| `vial-28-days`")]
    assert row.endswith("| `test_life.py` |")


def test_every_rule_that_is_computed_has_a_test() -> None:
    computed = [
        rule.id
        for rule in load().rules.values()
        if rule.kept.value == "computed" or any(keeper.part.value == "rule" for keeper in rule.kept_by)
    ]
    assert [ident for ident in computed if not TESTS[ident]] == []
