"""The instruments page in a real browser: three sizes, every lighting, the keyboard, and paper."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import SIZES, Watched, each_in_a_light, open_page
from tests.browser.whole import PRESSED, faults

STATES = {
    "usual": "",
    "pressed": "&cell=syringe-3%2C0.5&tips=yes",
    "own": "&limit=5+%25&volumes=0.05%2C+0.4+mL",
    "refused": "&limit=12&volumes=0%2C4+mL",
}


def opened(browser: Browser, address: str, size: tuple[int, int], light: str = "day", state: str = "usual") -> Watched:
    watched = open_page(browser, address, size, scripts=True, light=light)
    watched.page.goto(f"{address}instruments/?light={light}{STATES[state]}")
    return watched


@pytest.fixture
def table(browser: Browser, address: str, size: tuple[int, int]) -> Iterator[Page]:
    watched = opened(browser, address, size)
    yield watched.page
    assert watched.troubles == []
    watched.page.context.close()


def seen(page: Page) -> str:
    """The links of cells that this size shows: the table's, or the lists' on a phone."""
    return ".cell" if page.locator(".heat").is_visible() else ".stock-lists .row"


@pytest.mark.parametrize(("state", "light"), each_in_a_light(STATES))
def test_every_state_is_clean_and_whole(browser: Browser, address: str, light: str, state: str) -> None:
    watched = opened(browser, address, SIZES["desk"], light, state)
    page = watched.page
    assert faults(page, press=f"{PRESSED}, .cell, .row", cells=".cell, .row, .heat th, .heat td") == []
    assert watched.troubles == []
    page.context.close()


def test_phone_shows_lists_and_the_others_the_table(table: Page, size: tuple[int, int]) -> None:
    phone = size == SIZES["phone"]
    assert table.locator(".heat").is_visible() != phone
    assert table.locator(".stock-lists").is_visible() == phone
    bar = table.locator("#go").bounding_box()
    assert bar is not None
    assert bar["y"] > size[1] * 2 / 3


def test_pressed_cell_shows_its_sum_where_it_can_be_seen(table: Page) -> None:
    if table.locator(".stock-lists").is_visible():
        table.locator("summary", has_text=re.compile(r"^3.mL syringe")).click()
    table.locator(f"{seen(table)}[href*='syringe-3%2C0.5#']").first.click()
    said = table.locator(".worked-sum")
    assert "0.055" in (said.text_content() or "")
    box, strip = said.bounding_box(), table.locator(".strip").bounding_box()
    assert box is not None
    assert strip is not None
    assert strip["height"] <= box["y"] < table.locator(".bar").bounding_box()["y"]  # type: ignore[index]
    assert table.locator(f"{seen(table)}[aria-current]").count() == 1


def test_by_keyboard_alone(table: Page) -> None:
    table.keyboard.press("Tab")
    assert table.evaluate("document.activeElement.className") == "skip"
    table.keyboard.press("Tab")
    expect(table.locator("#limit")).to_be_focused()
    table.keyboard.press("Control+A")
    table.keyboard.type("5 %")
    table.keyboard.press("Enter")
    table.wait_for_url("**limit=5*")
    assert "limit 5" in re.sub(r"\s", " ", table.text_content("#status") or "")
    table.focus("#volumes")
    for _ in range(40):
        table.keyboard.press("Tab")
        state = table.evaluate(
            """() => {
              const one = document.activeElement, box = one.getBoundingClientRect();
              if (one === document.body || one.closest('.bar')) return 'ok';
              const top = document.elementFromPoint(box.left + box.width / 2, box.top + Math.min(box.height, 40) / 2);
              const shown = one.contains(top) || top?.contains(one);
              return shown && parseFloat(getComputedStyle(one).outlineWidth) >= 3 ? 'ok' : one.outerHTML.slice(0, 90);
            }"""
        )
        assert state == "ok"


def test_skip_link_leads_past_all_cells(table: Page) -> None:
    table.keyboard.press("Tab")
    table.keyboard.press("Enter")
    expect(table.locator("#rule")).to_be_focused()


def test_without_scripts(browser: Browser, address: str) -> None:
    watched = open_page(browser, address, SIZES["phone"], scripts=False)
    page = watched.page
    page.goto(f"{address}instruments/")
    page.fill("#volumes", "0.05, 0.4 mL")
    page.check("#tips")
    page.click("button[name=choose][value='20 %']")
    assert page.input_value("#limit") == "20 %"
    assert page.input_value("#volumes") == "0.05, 0.4 mL"
    assert page.is_checked("#tips")
    assert page.locator(".heat tbody tr:not(.facts-row)").count() == 2
    page.click("text=Night")
    assert page.get_attribute("html", "data-light") == "night"
    assert page.input_value("#volumes") == "0.05, 0.4 mL"
    page.context.close()


def test_paper_is_black_on_white_with_signs_and_words_and_nothing_to_press(browser: Browser, address: str) -> None:
    watched = opened(browser, address, (1047, 718), "night", "pressed")
    page = watched.page
    page.emulate_media(media="print")
    for gone in (".bar", ".strip", "#ask", ".foot", ".stock-lists", ".away"):
        assert page.locator(gone).first.is_hidden(), gone
    assert "limit 10" in re.sub(r"\s", " ", page.inner_text("h1"))
    for kind in ("acceptable", "caution", "between", "not"):
        cell = page.locator(f".cell.fit-{kind}").first
        assert cell.locator(".icon").is_visible()
        assert cell.locator(".word").is_visible()
        ink, paper = cell.evaluate("(one) => [getComputedStyle(one).color, getComputedStyle(one).backgroundColor]")
        assert (ink, paper) in {("rgb(0, 0, 0)", "rgb(255, 255, 255)"), ("rgb(0, 0, 0)", "rgba(0, 0, 0, 0)")}
    assert page.evaluate(
        "[...document.querySelectorAll('.cell')].every((one) => one.scrollWidth <= one.clientWidth + 1)"
    )
    paper = page.pdf(prefer_css_page_size=True)
    width, height = map(float, re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)", paper)[0])
    assert width == pytest.approx(297 / 25.4 * 72, abs=1)
    assert height == pytest.approx(210 / 25.4 * 72, abs=1)
    page.context.close()


def test_forced_colours_keep_borders_and_signs(browser: Browser, address: str) -> None:
    watched = opened(browser, address, SIZES["desk"])
    watched.page.emulate_media(forced_colors="active")
    cell = watched.page.locator(".cell.fit-between").first
    assert cell.evaluate("(one) => getComputedStyle(one).borderTopStyle") == "dashed"
    assert cell.locator(".icon").is_visible()
    watched.page.context.close()


def test_bench_opens_it_beside_the_order(browser: Browser, address: str) -> None:
    watched = open_page(browser, address, SIZES["desk"])
    page = watched.page
    page.fill("#order", "albuterol")
    page.locator("#instruments > summary").click()
    with page.context.expect_page() as came:
        page.locator("#instruments .away[href*='instruments']").click()
    assert came.value.url.endswith("/instruments/")
    assert page.input_value("#order") == "albuterol"
    page.context.close()
