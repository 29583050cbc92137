"""The compare page: figures of each instrument side by side, none without a line, faults that keep what was typed."""

import re
from html import unescape
from typing import Any

import pytest

from tests.pages import client, words

THREE = ["syringe-1", "syringe-3", "dropper-0.25-0.5", ""]


def page(**query: Any) -> str:
    answer = client().get("/instruments/compare/", query)
    assert answer.status_code == 200
    return answer.content.decode()  # type: ignore[no-any-return]


def columns(text: str) -> dict[str, str]:
    """What each column says, by the name of its instrument."""
    found = re.findall(r'<article class="beside-one.*?</article>', text, re.DOTALL)
    return {words(re.findall(r"<h3.*?</h3>", one, re.DOTALL)[0]).removesuffix(" surest"): one for one in found}


def test_as_it_comes_it_shows_half_a_millilitre_three_ways() -> None:
    text = page()
    found = {name: words(one) for name, one in columns(text).items()}
    assert list(found) == ["1 mL syringe", "3 mL syringe", "calibrated dropper"]
    assert "Permissible error 5 %, 0.025 mL either way" in found["1 mL syringe"]
    assert "Permissible error 11 %, 0.055 mL either way" in found["3 mL syringe"]
    assert "Permissible error 15 %, 0.075 mL either way" in found["calibrated dropper"]
    assert "Standard uncertainty 2.9 %, about 0.0147 mL" in found["1 mL syringe"]
    assert (
        "Expanded, 95 % 5.8 %, about 0.0289 mL k = 1.96; effective degrees of freedom: infinite"
        in found["1 mL syringe"]
    )
    assert re.search(r"Chance of being beyond 10 % 3[34] % own error 0\.11 %", found["calibrated dropper"])
    assert "Chance of being beyond 10 % under 0.01 % own error under 0.01 %" in found["1 mL syringe"]
    assert all("Most comes from: calibration, " in said for said in found.values())
    assert "k times u is wider than all the limits added up" in found["calibrated dropper"]
    assert text.count('class="best"') == 1
    assert "Surest of these: the 1 mL syringe." in words(text)
    assert text.count('<svg class="scale-drawing"') == 3


def test_every_bar_has_its_words_and_one_scale() -> None:
    bars = {name: re.findall(r'class="bar-part" width="([\d.]+)"', one) for name, one in columns(page()).items()}
    assert {name: len(found) for name, found in bars.items()} == {
        "1 mL syringe": 3, "3 mL syringe": 3, "calibrated dropper": 2,
    }  # fmt: skip
    widths = {name: [float(one) for one in found] for name, found in bars.items()}
    # 0.0433 mL of the dropper is the full length; 0.01443 mL of the 1 mL syringe and 0.03175 mL of the 3 mL syringe
    assert widths["calibrated dropper"][0] == 100.0
    assert widths["1 mL syringe"][0] == pytest.approx(33.3, abs=0.1)
    assert widths["3 mL syringe"][0] == pytest.approx(73.3, abs=0.1)
    assert min(one for found in widths.values() for one in found) > 0
    said = words(columns(page())["3 mL syringe"])
    assert "Cause Uncertainty Share calibration 6.4 % 55 % reading 5.8 % 45 % temperature 0.061 % under 0.01 %" in said


def test_without_a_line_there_are_the_two_lines_and_no_number() -> None:
    text = page(volume="0.4 mL", tool=["dropper-0.25-0.5", "syringe-5", "syringe-20", "syringe-3"], spread="3 %")
    found = columns(text)
    dropper = found["calibrated dropper"]
    assert "0.4 mL has no line on it: it lies between 0.25 mL and 0.5 mL." in words(dropper)
    assert "%" not in words(dropper)
    assert 'svg class="scale-drawing"' not in dropper
    links = [unescape(one) for one in re.findall(r'href="(\?[^"]*)"', dropper)]
    assert [one.partition("&")[0] for one in links] == ["?volume=0.25+mL", "?volume=0.5+mL"]
    assert all("spread=3+%25" in one and one.count("tool=") == 4 for one in links)
    assert "%" not in words(found["20 mL syringe"])
    assert "the end of its scale and its first line, 1 mL" in words(found["20 mL syringe"])
    assert words(found["20 mL syringe"]).count("Compare ") == 1
    assert "Permissible error" in words(found["5 mL syringe"])


def test_a_cylinder_may_stand_beside_a_syringe() -> None:
    text = page(volume="6 mL", tool=["syringe-10", "cylinder-10", "cylinder-100", ""])
    found = {name: words(one) for name, one in columns(text).items()}
    assert "10 mL graduated cylinder: fill to 6 mL" in found["10 mL graduated cylinder"]
    assert "Permissible error" in found["10 mL graduated cylinder"]
    assert text.count('<svg class="scale-drawing"') == 3


def test_where_no_instrument_has_a_line_it_is_said() -> None:
    text = page(volume="0.35", tool=["syringe-3", "syringe-5", "", ""])
    assert "None of these has a line for it." in words(text)
    assert "0.35 mL: 0 of 2 instruments have a line for it." in words(text)
    big = page(volume="1 mL", tool=["dropper-0.25-0.5", "syringe-1"])
    assert "1 mL does not fit: it holds 0.5 mL." in words(columns(big)["calibrated dropper"])


def test_settings_reach_the_figures_and_stay_open() -> None:
    text = page(volume="0.5 mL", tool=THREE, half="yes", marks="yes", spread="5 %", draws="10", holds="yes", away="0")
    said = words(columns(text)["1 mL syringe"])
    assert "the person's spread" in said
    assert "temperature" not in said
    assert "reading" not in said.partition("What it comes from")[2].partition("Most comes")[0]
    assert "effective degrees of freedom: 15" in said
    assert '<details class="fold settings" open>' in text
    assert '<details class="fold settings">' in page(volume="0.5 mL", tool=THREE, away="5")


def test_every_fault_stands_at_its_box_and_what_was_typed_stays() -> None:
    text = page(volume="0.5 <mg>", tool=["syringe-1", "syringe-1", "spoon", ""], spread="lots", draws="1", away="40")
    said = words(text)
    assert "Not accepted, so there is no comparison" in said
    assert "6 things have to change" in said
    for box in ("volume", "spread", "draws", "away"):
        assert re.search(rf'id="{box}"[^>]*aria-invalid="true"', text), box
        assert f'href="#{box}"' in text
    assert 'href="#instruments"' in text
    assert "Accepted: two to four of the list" in said
    assert "0.5 &lt;mg&gt;" in text
    assert 'name="spread" form="ask" value="lots"' in text
    assert columns(text) == {}


def test_an_address_with_too_few_places_is_filled_up() -> None:
    text = page(volume="0.5 mL", tool=["syringe-1"])
    assert text.count('name="tool"') == 4
    assert "two to four instruments, each once" in words(text)


def test_nothing_in_the_markup_runs_or_styles_and_every_id_stands_once() -> None:
    for text in (page(), page(volume="0.4 mL", tool=THREE), page(volume="x", tool=THREE)):
        assert not re.search(r"\sstyle=|\son[a-z]+=|<style|javascript:", text)
        ids = re.findall(r'\sid="([^"]+)"', text)
        assert sorted(ids) == sorted(set(ids))


def test_instruments_page_leads_to_it() -> None:
    assert 'href="/instruments/compare/"' in client().get("/instruments/").content.decode()


def test_only_reading_is_allowed() -> None:
    assert client().post("/instruments/compare/").status_code == 405
