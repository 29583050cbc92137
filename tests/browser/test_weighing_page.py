"""The weighing page in a real browser: three sizes, every lighting, a balance that types, the keyboard, and paper."""

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import SIZES, Watched, each_in_a_light, open_page
from tests.browser.whole import faults

TEN = "0.4962\n0.5021\n0.4738\n0.5231\n0.4991\n0.4867\n0.5602\n0.4921\n0.4978\n0.5013"
STATES = ("empty", "judged", "refused", "begun")


def opened(
    browser: Browser,
    address: str,
    size: tuple[int, int],
    light: str = "day",
    state: str = "empty",
    *,
    scripts: bool = True,
) -> Watched:
    watched = open_page(browser, address, size, scripts=scripts, light=light)
    page = watched.page
    page.goto(f"{address}weighing/?light={light}")
    if state == "judged":
        page.fill("#target", "0.5 mL")
        page.fill("#readings", TEN)
        page.click("#go")
    elif state == "refused":
        page.fill("#target", "0.5 mg")
        page.locator("#place-room > summary").click()
        page.fill("#temperature", "72")
        page.fill("#readings", "0,4962\n0.48\nwithout\n0.49")
        page.click("#go")
    elif state == "begun":
        page.fill("#target", "0.5 mL")
        page.select_option("#columns", "without, with, again")
        page.fill("#reading", "12.3456")
        page.click("button[name=add]")
    return watched


def rows(page: Page) -> list[str]:
    return [re.sub(r"\s+", " ", one) for one in page.locator(".draws tbody tr").all_inner_texts()]


@pytest.mark.parametrize(("state", "light"), each_in_a_light(STATES))
def test_every_state_is_clean_and_whole(browser: Browser, address: str, light: str, state: str) -> None:
    watched = opened(browser, address, SIZES["desk"], light, state)
    page = watched.page
    page.evaluate("document.querySelectorAll('form details').forEach((one) => { one.open = true; })")
    cells = ".weigh td, .weigh th, .weigh .cell, .weigh label, .weigh button"
    assert faults(page, cells=cells) == []
    assert watched.troubles == []
    page.context.close()


@pytest.mark.parametrize("scripts", [True, False])
def test_a_balance_types_into_the_box_and_enter_adds_each_reading(
    browser: Browser, address: str, scripts: bool
) -> None:
    watched = opened(browser, address, SIZES["desk"], scripts=scripts)
    page = watched.page
    page.fill("#target", "0.5 mL")
    page.select_option("#columns", "without, with")
    page.focus("#reading")
    for count, reading in enumerate(["12.3456 g", "+   12.8421 g", "12.3457 g", "12.8410 g"], start=1):
        with page.expect_navigation():
            page.keyboard.type(f"{reading}\n")
        expect(page.locator("#reading")).to_be_focused()
        assert page.input_value("#reading") == ""
        assert len(page.input_value("#readings").splitlines()) == count // 2
    assert page.input_value("#readings") == "12.3456 g; +   12.8421 g\n12.3457 g; 12.8410 g"
    assert [row.split(" ")[0] for row in rows(page)] == ["1", "2"]
    page.context.close()


def test_a_file_goes_into_the_box_and_a_bad_one_is_named_with_its_rows(browser: Browser, address: str) -> None:
    watched = opened(browser, address, SIZES["desk"])
    page = watched.page
    page.fill("#target", "0.5 mL")
    good = "without (g);with (g)\n12.3456;12.8421\n12.3457;12.8399\n"
    page.set_input_files("#file", {"name": "a.csv", "mimeType": "text/csv", "buffer": good.encode()})
    page.click("#go")
    assert len(rows(page)) == 2
    page.click("button[name=clear]")
    bad = "without (g);with (g)\n12,3456;12.8421\n12.8399;12.3457\n"
    page.set_input_files("#file", {"name": "b.csv", "mimeType": "text/csv", "buffer": bad.encode()})
    page.click("#go")
    assert page.locator(".refused li").count() == 2
    assert page.input_value("#readings") == bad
    page.set_input_files("#file", {"name": "c.csv", "mimeType": "text/csv", "buffer": b"0.5\n" * 300_000})
    page.click("#go")
    assert "larger than is read at once" in page.inner_text(".refused")
    assert page.input_value("#readings") == bad
    assert watched.troubles == []
    page.context.close()


def test_what_is_wrong_is_in_view_and_each_line_leads_to_its_box(
    browser: Browser, address: str, size: tuple[int, int]
) -> None:
    watched = opened(browser, address, size, state="refused")
    page = watched.page
    expect(page.locator("#faults")).to_be_focused()
    top = page.locator("#faults").bounding_box()
    assert top is not None
    assert 0 <= top["y"] < size[1] / 2
    assert page.input_value("#temperature") == "72"
    page.locator(".refused a[href='#temperature']").click()
    assert page.locator("#temperature").is_visible()
    box, bar = page.locator("#temperature").bounding_box(), page.locator(".bar").bounding_box()
    assert box is not None
    assert bar is not None
    assert box["y"] + box["height"] <= bar["y"]
    page.context.close()


def test_judged_draws_come_into_view_after_the_press(browser: Browser, address: str, size: tuple[int, int]) -> None:
    watched = opened(browser, address, size, state="judged")
    page = watched.page
    expect(page.locator("#draws-title")).to_be_focused()
    title, bar = page.locator("#draws-title").bounding_box(), page.locator(".bar").bounding_box()
    assert title is not None
    assert bar is not None
    assert 0 <= title["y"] < bar["y"] - title["height"]
    assert len(rows(page)) == 10
    calls = page.locator(".draws .verdict").all_inner_texts()
    assert [call.strip() for call in calls].count("within") == 7
    page.context.close()


def test_by_keyboard_alone(browser: Browser, address: str, size: tuple[int, int]) -> None:
    watched = opened(browser, address, size)
    page = watched.page
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    expect(page.locator("#reading")).to_be_focused()
    page.focus("#target")
    page.keyboard.type("0.5 mL")
    for _ in range(40):
        page.keyboard.press("Tab")
        state = page.evaluate(
            """() => {
              const one = document.activeElement, box = one.getBoundingClientRect();
              if (one === document.body || one.closest('.bar')) return 'ok';
              const top = document.elementFromPoint(box.left + box.width / 2, box.top + Math.min(box.height, 40) / 2);
              const shown = one.contains(top) || top?.contains(one);
              return shown && parseFloat(getComputedStyle(one).outlineWidth) >= 3 ? 'ok' : one.outerHTML.slice(0, 90);
            }"""
        )
        assert state == "ok"
    page.focus("#reading")
    with page.expect_navigation():
        page.keyboard.type("0.4962\n")
    assert len(rows(page)) == 1
    page.context.close()


def test_lighting_keeps_what_was_typed(browser: Browser, address: str) -> None:
    watched = opened(browser, address, SIZES["desk"], state="judged", scripts=False)
    page = watched.page
    page.click("text=Night")
    assert page.get_attribute("html", "data-light") == "night"
    assert page.input_value("#readings") == TEN
    assert len(rows(page)) == 10
    page.context.close()


def test_the_spread_goes_to_the_bench(browser: Browser, address: str) -> None:
    watched = opened(browser, address, SIZES["desk"], state="judged")
    page = watched.page
    page.fill("#order", "albuterol 2 mg by nebulizer, made up to 3 mL")
    page.click("text=Work out the plan with this spread")
    assert page.input_value("#sure-draws") == "10"
    assert "person" in page.inner_text("#how-sure")
    page.context.close()


def test_paper_is_black_on_white_and_holds_the_answer_only(browser: Browser, address: str) -> None:
    watched = opened(browser, address, SIZES["desk"], "night", "judged")
    page = watched.page
    page.emulate_media(media="print")
    for gone in (".bar", ".strip", "#ask", ".foot", ".away", ".take-over"):
        assert page.locator(gone).first.is_hidden(), gone
    for kind in ("acceptable", "outside", "caution"):
        call = page.locator(f".draws .fit-{kind}").first
        assert call.locator(".icon").is_visible()
        ink, paper = call.evaluate("(one) => [getComputedStyle(one).color, getComputedStyle(one).backgroundColor]")
        assert (ink, paper) == ("rgb(0, 0, 0)", "rgb(255, 255, 255)")
    assert page.locator(".strip-of-draws").is_visible()
    sheet = page.pdf(prefer_css_page_size=True)
    width, height = map(float, re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)", sheet)[0])
    assert width < height
    page.context.close()


def test_forced_colours_keep_shapes_and_borders(browser: Browser, address: str) -> None:
    watched = opened(browser, address, SIZES["desk"], state="judged")
    page = watched.page
    page.emulate_media(forced_colors="active")
    assert page.locator(".draws .fit-outside .icon").first.is_visible()
    assert (
        page.locator(".draws .fit-outside").first.evaluate("(one) => getComputedStyle(one).borderTopStyle") == "solid"
    )
    assert page.locator(".tolerance-edge").first.evaluate("(one) => getComputedStyle(one).stroke") != "none"
    page.context.close()
