"""The compare page in a real browser: side by side or stacked, every lighting, by keyboard, without scripts, on paper."""

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import SIZES, each_in_a_light, open_page
from tests.browser.whole import faults

STATES = {
    "three": "",
    "four": "volume=0.4+mL&tool=syringe-1&tool=syringe-3&tool=dropper-0.25-0.5&tool=syringe-2&spread=3+%25&draws=10",
    "none": "volume=0.35+mL&tool=syringe-3&tool=syringe-5",
    "refused": "volume=0.4+mg&tool=syringe-1&spread=lots&draws=1",
}


def opened(browser: Browser, address: str, size: tuple[int, int], state: str, light: str = "day", **more: bool) -> Page:
    watched = open_page(browser, address, size, light=light, **more)
    watched.page.goto(f"{address}instruments/compare/?light={light}&{STATES[state]}")
    assert watched.troubles == []
    return watched.page


@pytest.mark.parametrize(("state", "light"), each_in_a_light(STATES))
def test_every_state_is_clean_and_whole(browser: Browser, address: str, light: str, state: str) -> None:
    page = opened(browser, address, SIZES["desk"], state, light)
    assert faults(page, boxes=".beside-one") == []
    page.context.close()


def test_columns_stand_side_by_side_and_level_or_under_each_other_on_a_phone(
    browser: Browser, address: str, size: tuple[int, int]
) -> None:
    page = opened(browser, address, size, "three")
    boxes = [one.bounding_box() for one in page.locator(".beside-one").all()]
    tops = [round(box["y"]) for box in boxes if box is not None]
    if size == SIZES["phone"]:
        assert tops == sorted(set(tops))
    if size == SIZES["desk"]:
        assert len(set(tops)) == 1
        for part in (".judged", ".bars", ".most"):
            level = page.evaluate(
                "(part) => [...document.querySelectorAll(part)].map((one) => Math.round(one.getBoundingClientRect().top))",
                part,
            )
            assert len(set(level)) == 1, part
    page.context.close()


def test_bars_are_as_long_as_their_figures(browser: Browser, address: str) -> None:
    page = opened(browser, address, SIZES["desk"], "three")
    rows = page.evaluate(
        """() => [...document.querySelectorAll('.bars tbody tr')].map((row) => [
          parseFloat(row.querySelector('td').textContent), row.querySelector('.bar-part').getBoundingClientRect().width,
          row.querySelector('.bar-full').getBoundingClientRect().width])"""
    )
    largest = max(u for u, _, _ in rows)
    assert len(rows) == 8
    for u, part, full in rows:
        assert part / full == pytest.approx(max(u / largest, 0.006), abs=0.01)
    page.context.close()


def test_by_keyboard_alone(browser: Browser, address: str, size: tuple[int, int]) -> None:
    page = opened(browser, address, size, "three")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    expect(page.locator("#volume")).to_be_focused()
    page.keyboard.press("Control+A")
    page.keyboard.type("0.4")
    page.keyboard.press("Enter")
    page.wait_for_url("**volume=0.4*")
    assert "0.4 mL: 2 of 3" in re.sub(r"\s", " ", page.text_content("#status") or "")
    page.get_by_role("link", name="Compare 0.25").click()
    page.wait_for_url("**volume=0.25*")
    assert page.input_value("#volume") == "0.25 mL"
    page.context.close()


def test_without_scripts(browser: Browser, address: str) -> None:
    page = opened(browser, address, SIZES["phone"], "three", scripts=False)
    page.select_option("#tool-4", "syringe-5")
    page.locator(".settings > summary").click()
    page.fill("#spread", "3 %")
    page.select_option("#half", "yes")
    page.click("#go")
    assert page.locator(".beside-one").count() == 4
    assert page.locator(".beside-none").count() == 1
    assert "the person's spread" in (page.locator(".bars").first.text_content() or "")
    page.click("text=Night")
    assert page.get_attribute("html", "data-light") == "night"
    assert page.input_value("#spread") == "3 %"
    page.context.close()


def test_paper_is_black_on_white_with_nothing_to_press(browser: Browser, address: str) -> None:
    page = opened(browser, address, SIZES["desk"], "three", "night")
    page.emulate_media(media="print")
    for gone in (".bar", ".strip", "#ask", ".foot", ".away"):
        assert page.locator(gone).first.is_hidden(), gone
    ink = page.locator(".bar-part").first.evaluate("(one) => getComputedStyle(one).fill")
    assert ink == "rgb(0, 0, 0)"
    page.context.close()
