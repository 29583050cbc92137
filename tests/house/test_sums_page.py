"""The reference page of sums lists every kind and every input, as the registry has them."""

from drawndose.bench.sums import KINDS
from tools import sums_table


def test_the_page_is_up_to_date() -> None:
    assert sums_table.main(["--check"]) == 0, "run: python -m tools.sums_table"


def test_every_kind_has_its_row() -> None:
    page = sums_table.PAGE.read_text(encoding="utf-8")
    assert [kind for kind in KINDS if f"| `{kind}` |" not in page] == []


def test_a_planted_gap_is_filled() -> None:
    page = sums_table.PAGE.read_text(encoding="utf-8")
    assert sums_table.filled(page.replace("| `dose_to_volume` |", "| |")) == page
