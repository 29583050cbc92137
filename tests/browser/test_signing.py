"""Signing in a real browser: the veil comes by itself, hides everything, and gives back what was typed; no page has an axe finding."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import SIZES
from tests.browser.serving import Served, served
from tests.browser.whole import findings
from tests.department.people.staff import PASSWORD, PIN

MAKE = """
import django; django.setup()
from tests.department.people.staff import staff
staff()
"""


def lies_idle(department: Served, minutes: int) -> None:
    """As if nobody had done anything for so long: the server's side of it."""
    seen = datetime.now(UTC) - timedelta(minutes=minutes)
    with sqlite3.connect(department.file, timeout=20) as storage:
        storage.execute("UPDATE people_sitting SET seen_at = ?", (seen.strftime("%Y-%m-%d %H:%M:%S.%f"),))
    storage.close()


@pytest.fixture(scope="module")
def department(emptied: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with served(emptied, tmp_path_factory.mktemp("department"), MAKE) as made:
        yield made


@pytest.fixture
def page(browser: Browser, department: Served) -> Iterator[Page]:
    """Cleo is signed in, on the page of persons, with a clock that the test moves."""
    context = browser.new_context(viewport={"width": 390, "height": 844})
    made = context.new_page()
    troubles: list[str] = []
    made.on("pageerror", lambda error: troubles.append(str(error)))
    made.on("console", lambda said: troubles.append(said.text) if "Content Security" in said.text else None)
    made.on("request", lambda sent: troubles.append(sent.url) if not sent.url.startswith(department.address) else None)
    made.clock.install()
    sign_in(made, department)
    yield made
    assert troubles == []
    context.close()


def sign_in(page: Page, department: Served, username: str = "cleo", there: str = "/people/") -> None:
    page.goto(f"{department.address}/sign-in/?next={there}")
    page.fill("#username", username)
    page.fill("#password", PASSWORD)
    page.click("main .go")
    page.wait_for_url(department.address + there)


def nothing_shows(page: Page) -> None:
    page.wait_for_selector("main .veil")
    assert page.title() == "Signed off: drawndose"
    shown = page.inner_text("body")
    assert "Signed off after 10 min idle" in shown.replace("\u00a0", " ")
    assert [one for one in ("Add a person", "Ana Sample", "People", "Practice") if one in shown] == []
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_the_veil_comes_by_itself_and_gives_back_what_was_typed(page: Page, department: Served) -> None:
    page.fill("#name", "Dora Model")
    page.check("input[value=giver]")
    page.focus("#reason")
    lies_idle(department, 10)
    page.clock.fast_forward("10:02")
    nothing_shows(page)
    page.keyboard.type("111222")
    page.keyboard.press("Enter")
    page.wait_for_selector("main .veil .refused")
    page.fill("#veil-pin", PIN)
    page.click("main .veil .go")
    page.wait_for_selector("#name", state="visible")
    assert page.input_value("#name") == "Dora Model"
    assert page.is_checked("input[value=giver]")
    expect(page.locator("#reason")).to_be_focused()
    assert page.title() == "People: drawndose"
    assert page.query_selector(".veil") is None


def test_who_types_is_not_signed_off(page: Page, department: Served) -> None:
    lies_idle(department, 9)
    page.clock.fast_forward("09:00")
    with page.expect_response("**/sign-off/idle/") as told:
        page.type("#name", "D")
    assert told.value.json() == {"veiled": False, "left": 600}
    page.clock.fast_forward("02:00")
    assert page.is_visible("#name")


def test_a_tab_that_lay_idle_while_another_was_used_is_uncovered(page: Page, department: Served) -> None:
    with page.expect_response("**/sign-off/idle/") as told:
        page.clock.fast_forward("10:02")
    assert told.value.json()["veiled"] is False
    page.wait_for_selector("#name", state="visible")


def test_every_tab_is_veiled_and_comes_back_together(page: Page, department: Served) -> None:
    other = page.context.new_page()
    other.goto(f"{department.address}/me/")
    lies_idle(department, 10)
    page.clock.fast_forward("10:02")
    nothing_shows(page)
    other.wait_for_selector("main .veil")
    page.fill("#veil-pin", PIN)
    page.keyboard.press("Enter")
    other.wait_for_selector("#new_pin", state="visible")


def test_a_sign_in_in_another_tab_brings_back_the_same_person_and_nobody_else(page: Page, department: Served) -> None:
    page.fill("#name", "Dora Model")
    other = page.context.new_page()
    sign_in(other, department)
    page.check("input[value=giver]")
    page.click("main button.go")
    page.wait_for_selector("#refused")  # the guard of the form was renewed: it is read, and what it lacks is told
    assert page.input_value("#name") == "Dora Model"
    sign_in(other, department, "ben", "/me/")
    page.wait_for_selector("text=Not yours to do")
    other.click("text=Sign off")
    page.wait_for_selector("#username")


def test_without_scripts_a_late_form_is_kept_and_sent_again(browser: Browser, department: Served) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    sign_in(page, department)
    page.fill("#name", "Dora Model")
    page.check("input[value=giver]")
    lies_idle(department, 11)
    page.click("main .go")
    assert "was not carried out" in page.inner_text("main")
    page.fill("#veil-pin", PIN)
    page.click(".veil .go")
    assert "Dora Model" in page.inner_text("main")
    page.click("main .go")
    assert page.input_value("#name") == "Dora Model"
    assert page.is_checked("input[value=giver]")
    context.close()


@pytest.mark.parametrize(("size", "light"), [("desk", "day"), ("phone", "night")])
def test_no_page_has_an_axe_finding_nor_a_sideways_scroll(
    browser: Browser, department: Served, size: str, light: str
) -> None:
    width, height = SIZES[size]
    context = browser.new_context(viewport={"width": width, "height": height})
    page = context.new_page()
    context.add_cookies([{"name": "light", "value": light, "url": department.address}])
    page.goto(f"{department.address}/sign-in/")
    look(page)
    sign_in(page, department)
    for path in ("/people/", "/people/1/", "/me/"):
        page.goto(department.address + path)
        look(page)
    page.evaluate("document.dispatchEvent(new Event('veiled'))")
    look(page)
    lies_idle(department, 11)
    page.goto(f"{department.address}/people/")
    look(page)
    context.close()


def look(page: Page) -> None:
    assert findings(page) == [], page.url
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), page.url
    small = page.evaluate(
        "[...document.querySelectorAll('button, select, summary, input:not([type=hidden]):not([type=checkbox])')]"
        ".filter(one => one.checkVisibility() && !one.matches('.vh') && one.getBoundingClientRect().height < 47.5)"
        ".map(one => one.outerHTML)"
    )
    assert small == [], page.url
