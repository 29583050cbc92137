"""The eye that moves, in a real browser: by keyboard, by touch, typed, without scripts, and when nothing loads."""

import re

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.conftest import SIZES, Watched, open_page
from tests.browser.whole import faults

ORDER = "albuterol 2 mg by nebulizer, made up to 3 mL"
FIELD = "#eye-tilt-draw-1"


def plain(text: str | None) -> str:
    return re.sub(r"\s+", " ", text or "").strip()


def only_the_bottle(page: Page) -> None:
    """Untick every other container of the drug in one go, and wait for the plan."""
    page.evaluate(
        """() => {
          for (const one of document.querySelectorAll('input[name=pack]'))
            one.checked = /^(albuterol-0.5pct-bottle|sodium|sterile)/.test(one.value);
          document.querySelector('#order').dispatchEvent(new Event('input', { bubbles: true }));
        }"""
    )
    page.wait_for_timeout(800)
    page.wait_for_load_state("networkidle")
    page.wait_for_selector("#plan:not([aria-busy])")


def opened(browser: Browser, address: str, size: tuple[int, int], light: str = "day") -> Watched:
    watched = open_page(browser, address, size, light=light)
    watched.order(ORDER)
    only_the_bottle(watched.page)
    watched.page.locator("#draw-1-eye > summary").click()
    return watched


def seen(page: Page) -> Locator:
    return page.locator("#draw-1-seen")


def test_arrow_keys_move_the_eye_and_the_numbers_follow(browser: Browser, address: str, size: tuple[int, int]) -> None:
    watched = opened(browser, address, size)
    page = watched.page
    page.focus(FIELD)
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    seen(page).get_by_text("From 3 degrees above").wait_for()
    for _ in range(8):
        page.keyboard.press("ArrowLeft")
    seen(page).get_by_text("From 5 degrees below").wait_for()
    expect(page.locator("#eye-tilt-draw-1")).to_be_focused()
    assert plain(page.text_content(".number")) == "0.4 mL"
    page.focus("#eye-air-draw-1")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    seen(page).get_by_text("A bubble of 0.02").wait_for()
    assert page.locator("#draw-1-seen .bubble").count() > 0
    assert watched.troubles == []
    page.context.close()


def test_slider_and_box_are_one_value(browser: Browser, address: str) -> None:
    watched = opened(browser, address, SIZES["desk"])
    page = watched.page
    page.fill("#eye-angle-draw-1", "-25")
    seen(page).get_by_text("From 25 degrees below").wait_for()
    assert page.input_value(FIELD) == "-25"
    page.focus(FIELD)
    page.keyboard.press("ArrowRight")
    seen(page).get_by_text("From 24 degrees below").wait_for()
    assert page.input_value("#eye-angle-draw-1") == ""
    page.fill("#eye-angle-draw-1", "12 above")
    seen(page).get_by_text("From 12 degrees above").wait_for()
    page.fill("#eye-bubble-draw-1", "4 mm")
    seen(page).get_by_text("A bubble of 0.034").wait_for()
    page.keyboard.press("Enter")
    expect(page.locator("#eye-bubble-draw-1")).to_be_focused()
    page.fill("#eye-angle-draw-1", "steep")
    seen(page).get_by_text("Not accepted").wait_for()
    assert watched.troubles == []
    page.context.close()


def test_by_touch(browser: Browser, address: str) -> None:
    size = SIZES["phone"]
    context = browser.new_context(viewport={"width": size[0], "height": size[1]}, has_touch=True, is_mobile=True)
    watched = Watched(context.new_page(), address)
    page = watched.page
    page.goto(address)
    watched.order(ORDER)
    only_the_bottle(page)
    page.locator("#draw-1-eye > summary").tap()
    slider = page.locator(FIELD)
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    assert box is not None
    assert box["height"] >= 48
    page.touchscreen.tap(box["x"] + box["width"] * 0.75, box["y"] + box["height"] / 2)
    seen(page).get_by_text("degrees above").wait_for()
    assert 20 <= int(page.input_value(FIELD)) <= 40
    assert watched.troubles == []
    context.close()


def test_without_scripts(browser: Browser, address: str) -> None:
    watched = open_page(browser, address, SIZES["phone"], scripts=False)
    page = watched.page
    page.fill("#order", ORDER)
    page.click("#go")
    page.locator("#containers > summary").click()
    for box in page.locator('input[name="pack"][value^="albuterol"], input[name="pack"][value^="ipratropium"]').all():
        if "bottle" not in (box.get_attribute("value") or ""):
            box.uncheck()
    page.click("#go")
    page.locator("#draw-1-eye > summary").click()
    page.fill("#eye-angle-draw-1", "20")
    page.locator("#draw-1-eye .eye-show").click()
    assert page.url.endswith("#draw-1-eye")
    assert "From 20 degrees above, about 0.404 mL looks like 0.4 mL" in plain(seen(page).text_content())
    assert page.input_value(FIELD) == "20"
    assert page.input_value("#order") == ORDER
    page.locator(".how-sure .settings > summary").click()
    page.fill("#sure-spread", "6 %")
    page.get_by_role("button", name="Judge again").click()
    assert "the person's spread" in plain(page.text_content(".how-sure .bars"))
    page.context.close()


def test_what_does_not_load_leaves_the_plan(browser: Browser, address: str) -> None:
    watched = opened(browser, address, SIZES["desk"])
    page = watched.page
    page.route("**/eye/", lambda route: route.abort())
    page.focus(FIELD)
    page.keyboard.press("ArrowRight")
    seen(page).get_by_text("This did not load").wait_for()
    assert plain(page.text_content(".number")) == "0.4 mL"
    page.context.close()


@pytest.mark.parametrize("light", ["day", "night", "bright"])
def test_it_is_whole_and_clean_in_every_lighting(browser: Browser, address: str, light: str) -> None:
    watched = opened(browser, address, SIZES["desk"], light)
    page = watched.page
    page.evaluate(
        "document.querySelectorAll('details:has(.how-sure), .how-sure details').forEach((one) => { one.open = true; })"
    )
    page.fill("#eye-angle-draw-1", "20")
    seen(page).get_by_text("From 20 degrees").wait_for()
    page.fill("#eye-bubble-draw-1", "0.03 mL")
    seen(page).get_by_text("A bubble of").wait_for()
    assert faults(page, boxes=".eye, .how-sure") == []
    assert page.locator(".eye-show").first.is_hidden()
    assert watched.troubles == []
    page.context.close()
