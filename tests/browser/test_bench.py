"""The main job in a real browser, at three sizes: live, without scripts, by keyboard; and what must hold on every page."""

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import SIZES, Watched, open_page
from tests.browser.whole import faults, findings

DROPPER = "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours"
ORDERS = {
    "ready": "epinephrine 5 mg by nebulizer once",
    "whole": "levalbuterol 0.63 mg by nebulizer three times daily",
    "question": "albuterol 2.5 mg in 3 mL saline by nebulizer",
    "stopped": "albuterol 100 mg by nebulizer in a 6 mL cup",
    "refused": "albuterol 2.5 mg by nebulizer QD with pixie dust in 5cc",
}


def plain(text: str | None) -> str:
    return re.sub(r"\s+", " ", text or "").strip()


def only_the_bottle(page: Page) -> None:
    page.locator("#containers > summary").click()
    for box in page.locator('input[name="pack"][value^="albuterol"], input[name="pack"][value^="ipratropium"]').all():
        if "bottle" not in (box.get_attribute("value") or ""):
            box.uncheck()
    page.wait_for_load_state("networkidle")
    page.wait_for_timeout(900)
    page.wait_for_selector("#plan:not([aria-busy])")


def test_main_job(browser: Browser, address: str, size: tuple[int, int]) -> None:
    bench = open_page(browser, address, size)
    bench.order(DROPPER)
    page = bench.page
    page.select_option("#cup", "cup-6")
    only_the_bottle(page)
    page.click("#go")
    page.wait_for_selector("#plan-title:focus")
    assert plain(page.text_content(".number")) == "0.5 mL"
    assert "eye level here" in plain(page.text_content("svg.scale-drawing"))
    assert plain(page.text_content("#status")) == "Ready to draw up: 0.5 mL."
    assert page.locator("#print").is_visible()
    assert bench.troubles == []
    page.context.close()


def test_answer_to_a_question_is_pressed_and_stands_in_the_order(bench: Watched) -> None:
    bench.order(ORDERS["question"])
    bench.page.get_by_role("button", name="made up to").click()
    bench.page.wait_for_selector(".state-ready")
    assert "made up to 3 mL with saline" in bench.page.input_value("#order")
    # The press must not cling to the next live answer.
    bench.order("albuterol 5 mg by nebulizer, undiluted")
    assert bench.page.input_value("#order") == "albuterol 5 mg by nebulizer, undiluted"


def test_number_of_an_older_order_is_hidden_from_the_first_key_on(bench: Watched) -> None:
    bench.order(ORDERS["whole"])
    bench.page.focus("#order")
    bench.page.keyboard.press("End")
    bench.page.keyboard.type("x")
    assert bench.page.locator(".number").is_hidden()
    assert bench.page.locator(".busy").is_visible()
    expect(bench.page.locator("#order")).to_be_focused()


def test_late_answer_does_not_overwrite_a_newer_order(browser: Browser, address: str) -> None:
    bench = open_page(browser, address, SIZES["desk"])
    page = bench.page
    page.route("**/", lambda route: (page.wait_for_timeout(700), route.continue_())[1])
    page.fill("#order", ORDERS["whole"])
    page.wait_for_timeout(800)
    page.fill("#order", ORDERS["ready"])
    page.wait_for_timeout(200)
    assert page.locator(".number").count() == 0 or page.locator(".number").is_hidden()
    page.wait_for_selector(".state-ready", timeout=30_000)
    assert plain(page.text_content(".number")) == "5 mL"
    page.context.close()


def test_failed_answer_keeps_the_order_and_shows_no_number(browser: Browser, address: str) -> None:
    bench = open_page(browser, address, SIZES["desk"])
    bench.order(ORDERS["whole"])
    bench.page.route("**/", lambda route: route.abort())
    bench.page.fill("#order", ORDERS["ready"])
    bench.page.wait_for_selector(".failed")
    assert bench.page.locator(".number").count() == 0
    assert bench.page.input_value("#order") == ORDERS["ready"]
    bench.page.context.close()


def test_without_scripts(browser: Browser, address: str) -> None:
    bench = open_page(browser, address, SIZES["phone"], scripts=False)
    page = bench.page
    page.fill("#order", ORDERS["question"])
    page.click("#go")
    page.get_by_role("button", name="made up to").click()
    assert plain(page.text_content(".number")) == "1 whole unit dose" or page.locator(".number").count() == 1
    assert "made up to 3 mL with saline" in page.input_value("#order")
    page.fill("#order", ORDERS["refused"])
    page.click("#go")
    assert page.input_value("#order") == ORDERS["refused"]
    assert page.locator(".refused li").count() == 3
    page.click("text=Night")
    assert page.get_attribute("html", "data-light") == "night"
    assert page.input_value("#order") == ORDERS["refused"]
    assert page.locator("#print").count() == 0 or page.locator("#print").is_hidden()
    page.context.close()


def test_by_keyboard_alone(bench: Watched) -> None:
    page = bench.page
    for _ in range(3):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "order":
            break
    expect(page.locator("#order")).to_be_focused()
    page.keyboard.type(ORDERS["ready"])
    page.wait_for_selector(".state-ready")
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "go":
            break
    page.keyboard.press("Enter")
    page.wait_for_selector("#plan-title:focus")
    assert plain(page.text_content(".number")) == "5 mL"


def test_focus_is_seen_and_not_under_a_bar(bench: Watched) -> None:
    bench.order(ORDERS["ready"])
    page = bench.page
    page.focus("#order")
    for _ in range(30):
        page.keyboard.press("Tab")
        seen = page.evaluate(
            """() => {
              const one = document.activeElement, box = one.getBoundingClientRect();
              if (one === document.body || one.closest('.bar')) return 'ok';
              const x = box.left + box.width / 2, y = box.top + Math.min(box.height, 40) / 2;
              const top = document.elementFromPoint(x, y);
              const width = parseFloat(getComputedStyle(one).outlineWidth);
              return one.contains(top) || top?.contains(one) ? (width >= 3 ? 'ok' : 'thin ring ' + one.outerHTML.slice(0, 80))
                : 'hidden ' + one.outerHTML.slice(0, 80);
            }"""
        )
        assert seen == "ok"


@pytest.mark.parametrize("state", ORDERS)
def test_every_state_is_clean_whole_and_has_one_filled_button(bench: Watched, state: str) -> None:
    bench.order(ORDERS[state])
    page = bench.page
    filled = page.evaluate(
        """() => [...document.querySelectorAll('button, a')].filter((one) => one.offsetParent !== null || one.id === 'go')
          .filter((one) => getComputedStyle(one).backgroundColor === getComputedStyle(document.getElementById('go')).backgroundColor)
          .map((one) => one.textContent.trim())"""
    )
    assert filled == ["Work out the plan"]
    assert faults(page) == []


def test_number_is_the_largest_text_and_big_enough(bench: Watched) -> None:
    bench.order(ORDERS["ready"])
    sizes = bench.page.evaluate(
        """() => [...document.querySelectorAll('body *')].filter((one) => one.checkVisibility() && one.innerText?.trim())
          .map((one) => [parseFloat(getComputedStyle(one).fontSize), one.className])"""
    )
    number = next(size for size, name in sizes if name == "number")
    assert number >= 40
    assert number == max(size for size, _ in sizes)
    assert min(size for size, name in sizes if "label" not in str(name)) >= 14


def test_on_a_phone_the_filled_button_is_wide_and_low(browser: Browser, address: str) -> None:
    bench = open_page(browser, address, SIZES["phone"])
    box = bench.page.locator("#go").bounding_box()
    assert box is not None
    assert box["y"] > 844 * 2 / 3
    assert box["width"] >= 350
    bench.page.context.close()


@pytest.mark.parametrize("light", ["night", "bright"])
def test_other_lightings_have_contrast_too(browser: Browser, address: str, light: str) -> None:
    bench = open_page(browser, address, SIZES["desk"], light=light)
    for state in ORDERS.values():
        bench.order(state)
        assert findings(bench.page, colours=True) == []
    assert bench.troubles == []
    bench.page.context.close()


def test_lighting_changes_at_once_and_is_kept(bench: Watched) -> None:
    bench.page.fill("#order", "albuterol")
    bench.page.click("text=Night")
    assert bench.page.get_attribute("html", "data-light") == "night"
    assert bench.page.input_value("#order") == "albuterol"
    bench.page.goto(bench.address)
    assert bench.page.get_attribute("html", "data-light") == "night"


def test_forced_colours_keep_marks_and_edge(browser: Browser, address: str) -> None:
    bench = open_page(browser, address, SIZES["desk"])
    bench.page.emulate_media(forced_colors="active")
    bench.order(ORDERS["ready"])
    mark, barrel = (
        bench.page.evaluate(f"getComputedStyle(document.querySelector('svg.scale-drawing {css}')).stroke")
        for css in (".mark", ".outline")
    )
    assert mark == barrel != "none"
    bench.page.context.close()


def test_paper_has_the_plan_and_its_caution_and_nothing_to_press(browser: Browser, address: str) -> None:
    bench = open_page(browser, address, SIZES["desk"], light="night")
    bench.order(ORDERS["ready"])
    page = bench.page
    page.emulate_media(media="print")
    for gone in (".bar", ".side", ".strip", "#print"):
        assert page.locator(gone).is_hidden(), gone
    assert page.locator(".aid").is_visible()
    assert "Caution" in plain(page.text_content(".cautions"))
    ink, paper = page.evaluate(
        "[getComputedStyle(document.documentElement).color, getComputedStyle(document.documentElement).backgroundColor]"
    )
    assert (ink, paper) == ("rgb(0, 0, 0)", "rgb(255, 255, 255)")
    label = page.locator(".label").bounding_box()
    assert label is not None
    assert label["width"] == pytest.approx(90 * 96 / 25.4, abs=1)
    assert label["height"] == pytest.approx(60 * 96 / 25.4, abs=1)
    page.context.close()


def test_on_a_phone_the_answer_comes_first_and_paper_still_has_everything(browser: Browser, address: str) -> None:
    bench = open_page(browser, address, SIZES["phone"])
    bench.order(ORDERS["ready"])
    page = bench.page
    steps, caution = page.locator("section.steps > details.titled"), page.locator("details.one-line").first
    assert steps.get_attribute("open") is None
    assert (caution.locator(".do").is_hidden(), caution.locator(".told").is_hidden()) == (True, True)
    assert caution.evaluate("one => one.offsetHeight") < 64, "one line, as high as a finger"
    high = page.evaluate("document.getElementById('plan').offsetHeight")
    assert high < 5 * SIZES["phone"][1], "the plan is a few screens, not a dozen"
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert steps.locator("ol li").last.is_visible()
    assert (caution.locator(".do").is_visible(), caution.locator(".told").is_visible()) == (True, True)
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    page.emulate_media(media="screen")
    assert steps.locator("ol li").last.is_hidden()
    page.context.close()
    desk = open_page(browser, address, SIZES["desk"])
    desk.order(ORDERS["ready"])
    assert desk.page.locator("section.steps > details.titled").get_attribute("open") is not None
    desk.page.context.close()


def test_parts_page_is_clean(browser: Browser, address: str) -> None:
    bench = open_page(browser, address, SIZES["desk"])
    bench.page.goto(f"{address}parts/")
    for size in SIZES.values():
        bench.page.set_viewport_size({"width": size[0], "height": size[1]})
        assert bench.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert findings(bench.page) == []
    assert bench.troubles == []
    bench.page.context.close()
