"""The instruments page: the measuring table for a limit, one worked cell, and faults that keep what was typed."""

import re
from fractions import Fraction
from html import unescape

import pytest

from tests.pages import client, words

FITS = {"acceptable", "caution", "between lines", "not measurable", "does not fit"}


def page(**query: str) -> str:
    answer = client().get("/instruments/", query)
    assert answer.status_code == 200
    return answer.content.decode()  # type: ignore[no-any-return]


def heat(text: str) -> str:
    found = re.search(r'<table class="heat">.*?</table>', text, re.DOTALL)
    assert found is not None
    return found[0]


def cells(text: str) -> list[tuple[str, str]]:
    """What every cell of the table says, with its address."""
    found = re.findall(r'<a class="cell [^"]*" href="([^"]*)"[^>]*>(.*?)</a>', heat(text), re.DOTALL)
    return [(unescape(leads), words(said)) for leads, said in found]


def test_every_cell_has_a_sign_a_word_and_a_number_that_agree_with_the_table() -> None:
    client()
    from drawndose.bench.measuring_table import VOLUMES, measuring_table
    from drawndose.bench.takes import percent
    from drawndose.reference import load

    text = page()
    table = measuring_table(
        [one for one in load().instruments if one.tip in {"luer", "dropper"}], limit=Fraction(1, 10)
    )
    expected = [cell for place in range(len(VOLUMES)) for cell in (row.cells[place] for row in table.rows)]
    shown = cells(text)
    assert len(shown) == len(expected) == 270
    assert heat(text).count('<svg class="icon"') == 270
    for (_, said), cell in zip(shown, expected, strict=True):
        if cell.share is None:
            assert said == ("between lines" if cell.fit.value == "between lines" else "does not fit")
            continue
        number = ">100 %" if cell.share > 1 else percent(cell.share).replace("about ", "≈")
        assert said == f"{number} {cell.fit.value}"


def test_smallest_volume_within_the_limit_stands_in_the_table_and_in_the_lists() -> None:
    text = page()
    assert "Smallest within 10 % never 0.1875 mL 0.375 mL about 0.469 mL 0.5625 mL" in words(heat(text))
    assert "3 mL syringe from 0.5625 mL" in words(text)
    assert "Smallest within 20 % any mark" in words(heat(page(limit="20 %")))


def test_pressed_cell_is_worked_in_one_line() -> None:
    said = words(page(cell="syringe-3,0.5"))
    assert "3 mL syringe at 0.5 mL: 1.5 % of 3 mL + 2 % of 0.5 mL = 0.055 mL, 11 % of 0.5 mL." in said
    assert "Caution: over the limit of 10 %, within twice the limit." in said
    assert "Acceptable for 0.5 mL: 1 mL syringe, 2 mL syringe, 2.5 mL syringe." in said


@pytest.mark.parametrize(
    ("cell", "says"),
    [
        ("syringe-3,0.1", "= 0.047 mL, 47 % of 0.1 mL. Not measurable: more than twice the limit of 10 %."),
        (
            "syringe-3,2",
            "3 mL syringe at 2 mL: 5 % of 2 mL = 0.1 mL, 5 % of 2 mL. Acceptable: within the limit of 10 %.",
        ),
        ("syringe-3,0.25", "0.25 mL lies between 0.2 mL and 0.3 mL and has no line of its own."),
        ("syringe-3,4", "3 mL syringe at 4 mL: it holds 3 mL. Not measurable: the volume does not fit"),
        ("dropper-0.25-0.5,0.1", "its rule holds at its marks only. Between lines: 0.1 mL lies between 0 and 0.25 mL"),
        ("syringe-1-oral,0.3", "1 mL syringe at 0.3 mL: 1.5 % of 1 mL + 2 % of 0.3 mL = 0.021 mL, 7 % of 0.3 mL."),
    ],
)
def test_worked_line_of_every_kind(cell: str, says: str) -> None:
    assert says in words(page(cell=cell))


def test_every_cell_leads_to_its_own_sum_and_is_marked_there() -> None:
    text = page(limit="5 %", volumes="0.4, 1,000 mL", tips="yes")
    for leads, _ in cells(text):
        answer = client().get(f"/instruments/{leads.partition('#')[0]}").content.decode()
        assert leads.endswith("#worked")
        assert 'class="worked-sum"' in answer
        assert heat(answer).count('aria-current="true"') == 1
        assert 'value="0.4, 1,000 mL"' in answer


def test_own_volumes_share_the_unit_that_follows_and_stand_once_in_order() -> None:
    text = heat(page(volumes="0.4, 0.05 mL; 50 microlitre\n2 mL,"))
    assert [words(one) for one in re.findall(r'<th scope="row">(\d.*?)</th>', text)] == ["0.05 mL", "0.4 mL", "2 mL"]


def test_pressed_limit_goes_before_the_typed_one() -> None:
    text = page(limit="12 %", choose="20 %")
    assert 'name="limit" value="20 %"' in text
    assert 'value="20 %" aria-pressed="true"' in text
    assert "acceptable permissible error at most 20 % of the volume caution over 20 %, at most 40 %" in words(text)


def test_tips_are_told_and_change_no_number() -> None:
    without, told = page(), page(tips="yes")
    assert "luer lock or luer slip or oral tip" not in words(without)
    assert "luer lock or luer slip or oral tip" in words(told)
    assert [said for _, said in cells(told)] == [said for _, said in cells(without)]


def test_rule_has_its_source_and_says_what_is_from_memory() -> None:
    said = words(page())
    assert (
        "Below half of the capacity: 1.5 % of the capacity + 2 % of the volume. From half up: 5 % of the volume."
        in said
    )
    assert "Testing laboratory note of 2016-08-10 on ISO 7886-1:1993" in said
    assert "read in that source; in part from memory, as named there" in said
    assert "How surely: from memory, not confirmed: look it up before you rely on it." in said
    assert "USP 32 <1101>" in said


@pytest.mark.parametrize(
    ("query", "rules"),
    [
        ({"limit": "12"}, ["Limit: a number needs a unit"]),
        ({"limit": ""}, ["Limit: an amount is a number and then a unit"]),
        ({"limit": "10 mL"}, ["Limit: the limit is a share of the volume"]),
        ({"limit": "0 %"}, ["Limit: the limit is a share of the volume"]),
        ({"limit": "101 %"}, ["Limit: the limit is a share of the volume"]),
        ({"volumes": "0,4 mL"}, ["Volumes: a comma must part thousands, and 0,4 could be 0.4 or 4"]),
        ({"volumes": "0.05,0.4 mL"}, ["Volumes: a blank is needed after each comma"]),
        ({"volumes": "0.05 mL, 0.4"}, ["Volumes: a number needs a unit"]),
        ({"volumes": "0 mL, 2 mg, 5 cc"}, ["Volumes: a volume of more than 0", "Volumes: cc is read as 00 or U"]),
        ({"volumes": "1 mL; " * 61}, ["Volumes: at most 60 volumes"]),
        ({"limit": "ten", "volumes": "<b>"}, ["Limit: an amount is", "Volumes: an amount is"]),
    ],
)
def test_fault_keeps_everything_and_shows_no_table(query: dict[str, str], rules: list[str]) -> None:
    text = page(tips="yes", **query)
    said = words(text)
    assert "Not accepted, so there is no table" in said
    for rule in rules:
        assert rule in said
    assert "autofocus" in text
    assert 'class="heat"' not in text
    assert 'class="cell' not in text
    for name, typed in query.items():
        kept = re.search(rf'name="{name}" value="([^"]*)"', text)
        assert kept is not None
        assert unescape(kept[1]) == typed
        assert f'href="#{name}"' in text
    assert 'value="yes" checked' in text
    assert text.count('aria-invalid="true"') == len(query)


@pytest.mark.parametrize("cell", ["pipette-9,0.5", "syringe-3,x", "syringe-3,0", "syringe-3", ","])
def test_wrong_cell_is_told_beside_the_table_and_not_asked_again(cell: str) -> None:
    text = page(cell=cell)
    assert "Not accepted One thing has to change" in words(text)
    assert len(cells(text)) == 270
    assert 'type="hidden" name="cell"' not in text


def test_house_rules_hold_here_too() -> None:
    for text in (page(cell="syringe-3,0.5", tips="yes"), page(limit="12", volumes="x")):
        assert not re.search(r"\sstyle=|\son[a-z]+=|<style|<script|javascript:", text)
        assert re.findall(r'(?:src|href|action)="(?:https?:)?//', text) == []
        ids = re.findall(r'\sid="([^"]+)"', text)
        assert sorted(ids) == sorted(set(ids))
    assert client().post("/instruments/").status_code == 405
    assert "unsafe" not in client().get("/instruments/")["Content-Security-Policy"]


def test_lighting_is_kept_and_keeps_the_form() -> None:
    browser = client()
    text = browser.get("/instruments/", {"limit": "5 %", "light": "night"}).content.decode()
    assert 'data-light="night"' in text
    assert 'name="limit" value="5 %"' in text
    assert 'data-light="night"' in browser.get("/").content.decode()


def test_bench_leads_here_without_losing_its_order_and_here_leads_back() -> None:
    assert 'href="/instruments/" target="_blank" rel="noopener"' in client().get("/").content.decode()
    assert '<a class="away" href="/">To the bench</a>' in page()
