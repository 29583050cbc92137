"""The reference page of rules says what the register says, and names only tests that name a rule."""

from pathlib import Path

from drawndose.reference import load
from tools import rules_page

MARK = "# " + "rule:"
TESTS = rules_page.marked(rules_page.ROOT / "tests")


def test_the_page_is_up_to_date() -> None:
    assert rules_page.main(["--check"]) == 0, "run: python tools/rules_page.py"


def test_every_rule_disagreement_and_source_has_its_row() -> None:
    page, book = rules_page.PAGE.read_text(encoding="utf-8"), load()
    named = [*book.rules, *book.conflicts, *(ident for rule in book.rules.values() for ident in rule.sources)]
    assert [ident for ident in named if f"\n| `{ident}`" not in page] == []
    assert "**152 accounted for**" in page


def test_a_planted_gap_is_filled() -> None:
    page = rules_page.PAGE.read_text(encoding="utf-8")
    assert rules_page.filled(page.replace("| `vial-28-days`", "| ``"), TESTS) == page


def test_a_test_that_names_a_rule_fills_a_column(tmp_path: Path) -> None:
    (tmp_path / "test_life.py").write_text(f"{MARK} vial-28-days\n{MARK}two-identifiers\n", encoding="utf-8")
    (tmp_path / "life.py").write_text(f"{MARK} dilute-to-a-total\n", encoding="utf-8")
    tests = rules_page.marked(tmp_path)
    assert tests == {"vial-28-days": ("test_life.py",), "two-identifiers": ("test_life.py",)}
    table = rules_page.rules(tests)
    assert "| tests |" in table
    (row,) = [line for line in table.splitlines() if line.startswith("| `vial-28-days`")]
    assert row.endswith("| `test_life.py` |")
    assert "| tests |" not in rules_page.rules({})


def test_no_test_names_a_rule_that_is_not_there() -> None:
    assert {ident: paths for ident, paths in TESTS.items() if ident not in load().rules} == {}
