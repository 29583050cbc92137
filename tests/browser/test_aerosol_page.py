"""The aerosol pages in a real browser: every size and lighting, by keyboard, without scripts, on paper."""

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import SIZES, each_in_a_light, open_page
from tests.browser.whole import faults

STATES = {
    "one": "?",
    "two": "?a-kind=jet&a-fill=3+mL&a-dose=2.5+mg&b-kind=mesh&b-fill=3+mL&b-through=mask&b-breath=child",
    "refused": "?a-kind=jet&a-fill=0.5+mL&a-size=50&a-gas=heliox+80-20",
    "hours": "hours/?rate=10+mg/h&output=30+mL/h&hours=8+h&stock=5+mg/mL&dead=10+mL&true_output=40+mL/h&left=120+mL",
    "gas refused": "gas/?cylinder=E&pressure=2000+psi&flow=0+L/min&job=soon",
    "weigh": "weigh/?kind=jet&runs=20.00+23.00+21.10+5.5&name=Small+jet&at=sheet+9",
    "settle": "settle/?size=3.5&spread=2&by=mouth",
    "pump empty": "pump/?",
}


def opened(browser: Browser, address: str, size: tuple[int, int], state: str, light: str = "day", **more: bool) -> Page:
    watched = open_page(browser, address, size, light=light, **more)
    watched.page.goto(f"{address}aerosol/{STATES[state]}&light={light}")
    assert watched.troubles == []
    return watched.page


def said(page: Page, selector: str) -> str:
    return re.sub(r"\s", " ", page.text_content(selector) or "")


@pytest.mark.parametrize(("state", "light"), each_in_a_light(STATES))
def test_every_state_is_clean_and_whole(browser: Browser, address: str, light: str, state: str) -> None:
    page = opened(browser, address, SIZES["desk"], state, light)
    assert faults(page, boxes=".answer") == []
    page.context.close()


def test_a_slider_by_keyboard_changes_the_answer_and_says_so(browser: Browser, address: str) -> None:
    page = opened(browser, address, SIZES["desk"], "one")
    before = said(page, ".bands")
    page.focus("#a-fill-at")
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    page.wait_for_selector("#found:not([aria-busy])")
    page.wait_for_function(
        "(was) => document.querySelector('.bands').textContent.replace(/\\s/g, ' ') !== was", arg=before
    )
    assert page.input_value("#a-fill") == "5 mL"
    assert page.get_attribute("#a-fill-at", "aria-valuetext") == "5 mL"
    expect(page.locator("#a-fill-at")).to_be_focused()
    assert "comes out" in said(page, "#status")
    page.fill("#a-fill", "0.5 mL")
    page.wait_for_selector("#fault-a-fill > p")
    assert page.get_attribute("#a-fill", "aria-invalid") == "true"
    assert page.locator(".bands").count() == 0
    page.context.close()


def test_a_second_set_up_stands_beside_the_first_by_keyboard_alone(browser: Browser, address: str) -> None:
    page = opened(browser, address, SIZES["desk"], "one")
    page.locator("details.set-up > summary").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(page.locator("#b-kind")).to_be_focused()
    page.keyboard.type("vib")
    page.keyboard.press("Tab")
    page.wait_for_selector("#beside")
    first, second = page.locator(".answer").all()
    one, two = first.bounding_box(), second.bounding_box()
    assert one is not None
    assert two is not None
    assert (round(one["y"]), one["x"] < two["x"]) == (round(two["y"]), True)
    page.context.close()


def test_without_scripts_the_same_forms_answer(browser: Browser, address: str) -> None:
    page = opened(browser, address, SIZES["phone"], "one", scripts=False)
    page.fill("#a-fill", "4 mL")
    page.fill("#a-dose", "2.5 mg")
    page.click("#go")
    assert "mg)" in said(page, ".bands")
    assert page.input_value("#a-fill") == "4 mL"
    page.goto(f"{address}aerosol/weigh/")
    page.fill("#runs", "20.00 23.00 21.10 5.5\n20.00 23.01 21.02 5.9")
    page.click("#go")
    assert "2" in said(page, ".sum-rows dd")
    assert page.input_value("#runs").count("\n") == 1
    page.context.close()


@pytest.mark.parametrize("state", ["one", "two", "hours"])
def test_paper_is_black_on_white_with_nothing_to_press(browser: Browser, address: str, state: str) -> None:
    page = opened(browser, address, SIZES["desk"], state, "night")
    page.emulate_media(media="print")
    for gone in (".bar", "#ask", ".foot", ".away"):
        assert page.locator(gone).first.is_hidden(), gone
    inks = page.evaluate(
        "[...document.querySelectorAll('.answer b, .answer p')].map((one) => getComputedStyle(one).color)"
    )
    assert set(inks) <= {"rgb(0, 0, 0)", "rgb(22, 32, 42)"}, set(inks)
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") in {
        "rgb(255, 255, 255)",
        "rgba(0, 0, 0, 0)",
    }
    page.context.close()
