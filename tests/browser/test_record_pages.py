"""Board, orders, patients, shelf, records, day report, policy and rules in a real browser: every size, Day and Night, axe on each page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import SIZES
from tests.browser.serving import served
from tests.browser.whole import findings
from tests.department.furnished import PASSWORD

MAKE = """
import django; django.setup()
from tests.department.furnished import furnished, long_work
furnished()
long_work("max")
"""
WALL = (1920, 1080)
ORDER = "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours"
SCAN = "]d2010031234567890617700630" + "10AB12"
PAGES = (
    "/board/",
    "/board/?wall=1",
    "/shelf/",
    "/shelf/1/",
    "/shelf/12/",
    "/shelf/13/",
    "/shelf/receive/",
    "/shelf/recall/?lot=4K21",
    "/shelf/recall/?lot=4K2I",
    "/shelf/levels/?of=albuterol-0.5pct-bottle-20ml",
    "/patients/",
    "/patients/?q=204119",
    "/patients/new/",
    "/patients/1/",
    "/patients/3/",
    "/orders/new/?patient=2",
    "/orders/1/",
    "/orders/1/change/",
    "/records/",
    "/records/?number=204119",
    "/day/",
    "/policy/",
    "/policy/start_within/",
    "/rules/",
    "/jobs/",
    "/jobs/3/",
    "/jobs/4/",
    "/rules/silence/?rule=owner-not-said&presentation=albuterol-0.5pct-bottle-20ml",
)
OF_A_PREPARER = ("/board/", "/sheet/new/", "/shelf/12/", "/orders/1/doses/2/", "/orders/1/", PAGES[-1])
"""What looks another way for someone who prepares and gives."""
NOT_THERE = ("/people/", "/sheet/999/", "/patients/999/", "/nothing/")
"""What is not theirs, and what there is not: pages too."""
UNDER_WAY = ("/jobs/1/", "/jobs/2/")
"""Pages that renew themselves."""


@pytest.fixture(scope="module")
def department(emptied: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a furnished department."""
    with served(emptied, tmp_path_factory.mktemp("department"), MAKE) as made:
        yield made.address


def signed(
    browser: Browser, department: str, who: str, size: tuple[int, int] = SIZES["desk"], light: str = "day", **more
) -> Page:
    context = browser.new_context(viewport={"width": size[0], "height": size[1]}, base_url=department, **more)
    page = context.new_page()
    page.goto(f"/sign-in/?light={light}")
    page.fill("#username", who)
    page.fill("#password", PASSWORD)
    page.click("button.go")
    page.wait_for_url("**/board/")
    context.add_cookies([{"name": "light", "value": light, "url": department}])
    return page


SMALL = """() => [...document.querySelectorAll('main button, main summary, main select, main input:not([type=hidden]), main textarea, main .away, main .row-do')]
  .filter((one) => one.checkVisibility() && !one.closest('.vh') && !one.classList.contains('vh') && !['checkbox', 'radio'].includes(one.type))
  .map((one) => [one.getBoundingClientRect(), one.outerHTML.slice(0, 90)])
  .filter(([box]) => box.height < 47.5).map(([, text]) => text)"""
CUT = """() => [...document.querySelectorAll('main td, main th, main li, main p, main label, main button, main h1, main h2')]
  .filter((one) => one.checkVisibility() && !one.closest('.vh') && !one.classList.contains('vh') && one.scrollWidth > one.clientWidth + 2
    && getComputedStyle(one).display !== 'inline').map((one) => one.textContent.trim().slice(0, 80))"""
TINY = """() => Math.min(...[...document.querySelectorAll('main *')].filter((one) => one.checkVisibility() && one.innerText?.trim())
  .map((one) => parseFloat(getComputedStyle(one).fontSize)))"""


BEYOND = """() => document.documentElement.scrollWidth <= innerWidth ? [] : [...document.querySelectorAll('body *')]
  .filter((one) => one.checkVisibility() && one.getBoundingClientRect().right > innerWidth && ![...one.children].some((part) => part.getBoundingClientRect().right > innerWidth)).map((one) => one.outerHTML.slice(0, 90))"""


def plain(page: Page, where: str) -> str:
    """The words of a part, with plain spaces."""
    return page.inner_text(where).replace("\u00a0", " ")


def watched(page: Page) -> list[str]:
    """What goes wrong in a page, as it goes on."""
    troubles: list[str] = []
    page.on("console", lambda said: troubles.append(said.text) if said.type in {"error", "warning"} else None)
    page.on("pageerror", lambda error: troubles.append(str(error)))
    return troubles


@pytest.mark.parametrize(
    ("size", "light", "axe"), [("desk", "day", True), ("tablet", "day", False), ("phone", "night", True)]
)
def test_every_page_is_clean_and_whole(browser: Browser, department: str, size: str, light: str, axe: bool) -> None:
    for who, addresses in (("max", (*PAGES, *UNDER_WAY, *NOT_THERE)), ("ana", OF_A_PREPARER)):
        page = signed(browser, department, who, SIZES[size], light)
        troubles = watched(page)
        for address in addresses:
            page.goto(address)
            where = (who, address, size, light)
            page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true; })")
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), where
            assert page.evaluate(CUT) == [], where
            assert page.evaluate(SMALL) == [], where
            assert page.evaluate(TINY) >= 14, where
            assert page.locator("main .go, .bar .go").count() <= 1, where
            assert not axe or findings(page, colours=light != "day") == [], where
        assert [one for one in troubles if "status of 4" not in one] == []
        page.context.close()


def test_text_twice_as_large_on_a_phone_scrolls_one_way_only(browser: Browser, department: str) -> None:
    for who, addresses in (("max", PAGES), ("ana", OF_A_PREPARER)):
        page = signed(browser, department, who, SIZES["phone"])
        for address in addresses:
            page.goto(address)
            page.evaluate("document.documentElement.style.fontSize = '36px'")
            assert page.evaluate(BEYOND) == [], (who, address)
        page.context.close()


HERE = """() => {
  const at = document.activeElement;
  if (!at || at === document.body) return null;
  const box = at.getBoundingClientRect(), look = getComputedStyle(at);
  const over = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
  const free = over !== null && (over === at || at.contains(over) || over.contains(at));
  at.dataset.reached = "yes";
  return [at.outerHTML.slice(0, 90), look.outlineStyle !== "none" && parseFloat(look.outlineWidth) >= 3 && free];
}"""
NOT_REACHED = """() => [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary')]
  .filter((one) => one.checkVisibility() && !one.disabled && one.tabIndex >= 0 && !one.dataset.reached && one.type !== 'radio')
  .map((one) => one.outerHTML.slice(0, 90))"""


def test_by_keyboard_alone_everything_is_reached_and_seen(browser: Browser, department: str) -> None:
    for who, addresses in (("max", PAGES), ("ana", OF_A_PREPARER)):
        page = signed(browser, department, who)
        for address in addresses:
            page.goto(address)
            page.evaluate(
                "document.body.tabIndex = -1; document.body.focus()"
            )  # from the top, wherever the page begins
            unseen = []
            for _ in range(300):
                page.keyboard.press("Tab")
                found = page.evaluate(HERE)
                if found is None:
                    break
                unseen += [] if found[1] else [found[0]]
            assert unseen == [], (who, address)
            assert page.evaluate(NOT_REACHED) == [], (who, address)
        page.context.close()


LAPPED = """() => [...document.querySelectorAll('main td')].filter((one) => getComputedStyle(one, '::before').position === 'absolute'
  && getComputedStyle(one, '::before').content !== 'none' && parseFloat(getComputedStyle(one).paddingLeft) < 60).length"""


def test_paper_shows_tables_as_tables_and_nothing_to_press(browser: Browser, department: str) -> None:
    page = signed(browser, department, "max", (760, 1100))
    for address in ("/board/", "/day/", "/records/", "/shelf/", "/patients/1/", "/orders/1/"):
        page.goto(address)
        page.emulate_media(media="print")
        assert page.evaluate(LAPPED) == 0, address
        assert page.locator("main button:visible, .house-bar:visible, .foot:visible").count() == 0, address
        assert page.locator(".banner").count() == page.locator(".banner:visible").count(), address
        page.emulate_media(media="screen")
    page.context.close()


def test_the_board_on_a_wall_screen_is_read_from_afar_and_renews_itself(browser: Browser, department: str) -> None:
    page = signed(browser, department, "ana", WALL)
    page.clock.install()
    page.goto("/board/?wall=1")
    assert page.locator(".house-bar").is_hidden()
    assert page.locator(".row-do").first.is_hidden()
    columns = page.locator(".board-part").evaluate_all("(parts) => new Set(parts.map((one) => one.offsetTop)).size")
    assert columns == 1
    assert page.locator(".row-time").first.evaluate("(one) => parseFloat(getComputedStyle(one).fontSize)") >= 28
    with page.expect_response(lambda answer: "/board/" in answer.url and "told=" in answer.url):
        page.clock.run_for(21_000)
    page.wait_for_load_state("networkidle")
    assert page.locator("#board").count() == 1
    assert page.locator("#board-failed").is_hidden()
    page.context.close()


RENEW = """() => { htmx.ajax('GET', document.getElementById('board').getAttribute('hx-get'),
  {source: '#board', target: '#board', swap: 'outerHTML'}).catch(() => {}); }"""


def test_a_board_that_cannot_renew_says_so(browser: Browser, department: str) -> None:
    page = signed(browser, department, "ana")
    page.route("**/board/?told=*", lambda route: route.abort())
    page.evaluate(RENEW)
    page.wait_for_selector("#board-failed:not([hidden])")
    said = page.inner_text("#board-failed")
    assert re.search(r"The board did not load at \d\d:\d\d\. What stands here is of \d\d:\d\d\.", said)
    page.unroute("**/board/?told=*")
    page.evaluate(RENEW)
    page.wait_for_selector("#board-failed[hidden]", state="attached")
    page.context.close()


def test_the_board_on_a_phone_shows_the_gravest_first_and_leads_to_the_work(browser: Browser, department: str) -> None:
    page = signed(browser, department, "ana", SIZES["phone"])
    first = page.locator(".board-row").first
    assert "Late by" in first.inner_text()
    page.click(".board-over")
    over = page.locator(".row-over").bounding_box()
    assert over is not None
    assert 0 <= over["y"] < SIZES["phone"][1]
    first.locator("text=Prepare").click()
    assert page.url.endswith(first_dose(page.url))
    page.context.close()


def first_dose(url: str) -> str:
    """The end of an address that begins a sheet for a dose."""
    found = re.search(r"/sheet/new/\?dose=\d+$", url)
    assert found is not None, url
    return found[0]


@pytest.mark.parametrize("scripts", [True, False])
def test_a_spoken_order_is_read_read_back_and_entered(browser: Browser, department: str, scripts: bool) -> None:
    page = signed(browser, department, "ana", SIZES["phone"], java_script_enabled=scripts)
    page.goto("/orders/new/?patient=3")
    page.fill("#order", ORDER)
    page.fill("#prescriber", "Dr. Invented")
    if scripts:
        page.wait_for_selector("#reading .piece")
    page.check("input[value=spoken]")
    page.locator(".bar .go:visible").click()
    # Below the words on a phone: the reading is shown before it can be entered.
    box = page.locator("#reading .piece").first.bounding_box()
    assert box is not None
    assert 0 <= box["y"] < SIZES["phone"][1] - 200
    assert "made up to 3 mL" in plain(page, "#reading")
    page.click("#enter")
    assert "written down, read back and confirmed" in plain(page, "#refused")
    assert page.input_value("#order") == ORDER
    page.check("input[name=read_back]")
    page.click("#enter")
    page.wait_for_url(re.compile(r"/orders/\d+/$"))
    text = page.inner_text("main")
    assert "spoken, read back and confirmed" in text
    assert "no. 118830" in text
    page.context.close()


def test_words_that_change_take_their_old_reading_along(browser: Browser, department: str) -> None:
    page = signed(browser, department, "ana")
    page.goto("/orders/new/?patient=3")
    page.fill("#order", ORDER)
    page.wait_for_selector("#reading .piece")
    first = page.input_value("input[name=read]")
    page.fill("#order", ORDER.replace("2.5", "1.25"))
    page.wait_for_selector(f"input[name=read]:not([value='{first}'])", state="attached")
    assert "1.25 mg" in plain(page, "#reading")
    page.fill("#order", "albuterol with pixie dust")
    page.wait_for_selector("#reading .piece-not")
    assert page.locator("input[name=read]").count() == 0
    page.context.close()


@pytest.mark.parametrize("scripts", [True, False])
def test_containers_are_received_by_a_scan_that_types_and_ends_with_enter(
    browser: Browser, department: str, scripts: bool
) -> None:
    page = signed(browser, department, "ana", SIZES["tablet"], java_script_enabled=scripts)
    page.goto("/shelf/receive/")
    expect(page.locator("#scan")).to_be_focused()
    page.keyboard.type(f"{SCAN}\n")
    page.wait_for_selector(".scan-said, .ask")
    assert page.input_value("#lot") == "AB12"
    assert page.input_value("#expiry") == "30 Jun 2070"
    if scripts:
        assert "What is product number 00312345678906?" in page.inner_text("form.receive")
        page.select_option("#product", "sodium-chloride-0.9pct-unit-dose|3 mL")
    else:
        assert page.input_value("#product") == "sodium-chloride-0.9pct-unit-dose|3 mL"
    page.fill("#count", "3")
    page.fill("#place", "Drawer 4")
    page.click("text=Put on the shelf")
    assert "3 on the shelf: sodium chloride 0.9 %" in page.inner_text(".done-said").replace("\u00a0", " ")
    page.goto("/shelf/recall/?lot=AB12")
    assert "Nobody got anything out of it" in page.inner_text("main")
    assert "Drawer 4" in page.inner_text("main")
    page.context.close()


def test_a_recall_fits_a_phone_and_paper(browser: Browser, department: str) -> None:
    page = signed(browser, department, "max", SIZES["phone"])
    page.goto("/shelf/recall/")
    page.fill("#lot", "4k21")
    page.click("text=Find")
    text = page.inner_text("main").replace("\u00a0", " ")
    assert "1 person got something out of it" in text
    assert "no. 204118" in text
    assert page.locator("td[data-name=Left]").first.is_visible()
    page.emulate_media(media="print")
    for gone in (".house-bar", ".search-row", ".foot"):
        assert page.locator(gone).first.is_hidden(), gone
    page.context.close()


def test_opening_shows_the_discard_date_and_its_label(browser: Browser, department: str) -> None:
    page = signed(browser, department, "max")
    page.goto("/policy/bottle_life/")
    page.fill("#value", "7 d")
    page.fill("#reason", "decided by the chief, 24 Nov 2026")
    page.click("text=Put in force")
    page = signed(browser, department, "ana")
    page.goto("/shelf/?q=bottle")
    page.locator(".shelf-row:has(.state-received) .order-link").first.click()
    page.fill("#number", "204118")
    page.fill("#born", "05 Nov 1961")
    page.click("text=Open it now")
    assert re.search(r"Discard after \d\d \w{3} \d{4}", page.inner_text(".write-date"))
    label = page.get_attribute(".write-on-it a.go", "href")
    answer = page.request.get(label)
    assert (answer.status, answer.headers["content-type"]) == (200, "application/pdf")
    page.context.close()


def test_by_keyboard_alone_an_order_is_put_on_hold(browser: Browser, department: str) -> None:
    page = signed(browser, department, "ana")
    page.goto("/orders/7/")
    page.locator("summary:has-text('Put on hold')").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(page.locator("#hold-reason")).to_be_focused()
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert "a reason is needed" in plain(page, "#refused")
    assert page.locator("#hold-reason").is_visible()
    page.fill("#hold-reason", "in surgery")
    page.focus("#hold-reason")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert page.inner_text(".state-badge") == "on hold"
    page.context.close()


def test_by_keyboard_alone_long_work_is_cancelled_though_its_page_renews_itself(
    browser: Browser, department: str
) -> None:
    page = signed(browser, department, "max")
    page.goto("/jobs/1/")
    assert "No worker has taken it up yet" in plain(page, "#job")
    page.focus("#cancel")
    for _ in range(2):
        with page.expect_response(lambda answer: answer.url.endswith("/jobs/1/")):
            pass
    page.wait_for_load_state("networkidle")
    expect(page.locator("#cancel")).to_be_focused()
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert plain(page, ".job-word") == "Cancelled"
    assert page.locator("#cancel").count() == 0
    page.context.close()
