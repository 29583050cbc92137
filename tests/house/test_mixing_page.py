"""The reference page of mixtures says what the statements say."""

from drawndose.reference import load
from tools import mixing_page


def test_the_page_is_up_to_date() -> None:
    assert mixing_page.main(["--check"]) == 0, "run: python -m tools.mixing_page"


def test_every_source_and_every_stated_pair_has_its_row() -> None:
    page = mixing_page.PAGE.read_text(encoding="utf-8")
    assert [one.origin.source for one in load().mixtures if f"\n| `{one.origin.source}` |" not in page] == []
    assert len(mixing_page.stated()) > 35
    for one in mixing_page.stated():
        assert f"\n| {' + '.join(map(mixing_page.name, one.of))} | {one.judged.verdict.value} |" in page


def test_a_planted_gap_is_filled() -> None:
    page = mixing_page.PAGE.read_text(encoding="utf-8")
    assert mixing_page.filled(page.replace("| albuterol + ipratropium | compatible |", "| |")) == page
