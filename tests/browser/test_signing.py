"""Signing in a real browser: the veil comes by itself, hides everything, and gives back what was typed; no page has an axe finding."""

from __future__ import annotations

import os
import socket
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.browser.conftest import SIZES
from tests.department.people.staff import PASSWORD, PIN

ROOT = Path(__file__).parents[2]
MAKE = """
import django; django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
call_command("collectstatic", "--noinput", verbosity=0)
from tests.department.people.staff import staff
staff()
"""


@dataclass(frozen=True)
class Department:
    """A server with an invented staff, and the file of its storage."""

    address: str
    file: Path

    def lies_idle(self, minutes: int) -> None:
        """As if nobody had done anything for so long: the server's side of it."""
        seen = datetime.now(UTC) - timedelta(minutes=minutes)
        with sqlite3.connect(self.file, timeout=20) as storage:
            storage.execute("UPDATE people_sitting SET seen_at = ?", (seen.strftime("%Y-%m-%d %H:%M:%S.%f"),))
        storage.close()


@pytest.fixture(scope="module")
def department(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Department]:
    folder = tmp_path_factory.mktemp("department")
    file = folder / "records.sqlite3"
    env = os.environ | {
        "DJANGO_SETTINGS_MODULE": "drawndose.department.settings",
        "DRAWNDOSE_DATABASE": f"sqlite://{file}",
        "DRAWNDOSE_STATIC": str(folder / "static"),
        "DRAWNDOSE_SECRET_KEY": "k" * 60,
        "PYTHONPATH": str(ROOT),
    }
    subprocess.run([sys.executable, "-c", MAKE], env=env, check=True)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    serve = [
        "-m",
        "gunicorn",
        "--bind",
        f"127.0.0.1:{port}",
        "--threads",
        "2",
        "--no-control-socket",
        "--log-level",
        "error",
    ]
    server = subprocess.Popen([sys.executable, *serve, "drawndose.department.wsgi:application"], env=env)
    address = f"http://127.0.0.1:{port}"
    for _ in range(1200):
        try:
            urlopen(f"{address}/sign-in/").close()
            break
        except (URLError, ConnectionError):
            time.sleep(0.1)
    yield Department(address, file)
    server.terminate()
    server.wait(timeout=20)


@pytest.fixture
def page(browser: Browser, department: Department, size: tuple[int, int]) -> Iterator[Page]:
    """Cleo is signed in, on the page of persons, with a clock that the test moves."""
    context = browser.new_context(viewport={"width": size[0], "height": size[1]})
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


def sign_in(page: Page, department: Department, username: str = "cleo", there: str = "/people/") -> None:
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


def test_the_veil_comes_by_itself_and_gives_back_what_was_typed(page: Page, department: Department) -> None:
    page.fill("#name", "Dora Model")
    page.check("input[value=giver]")
    page.focus("#reason")
    department.lies_idle(10)
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
    assert page.evaluate("document.activeElement.id") == "reason"
    assert page.title() == "People: drawndose"
    assert page.query_selector(".veil") is None


def test_who_types_is_not_signed_off(page: Page, department: Department) -> None:
    department.lies_idle(9)
    page.clock.fast_forward("09:00")
    with page.expect_response("**/sign-off/idle/") as told:
        page.type("#name", "D")
    assert told.value.json() == {"veiled": False, "left": 600}
    page.clock.fast_forward("02:00")
    assert page.is_visible("#name")


def test_a_tab_that_lay_idle_while_another_was_used_is_uncovered(page: Page, department: Department) -> None:
    with page.expect_response("**/sign-off/idle/") as told:
        page.clock.fast_forward("10:02")
    assert told.value.json()["veiled"] is False
    page.wait_for_selector("#name", state="visible")


def test_every_tab_is_veiled_and_comes_back_together(page: Page, department: Department) -> None:
    other = page.context.new_page()
    other.goto(f"{department.address}/me/")
    department.lies_idle(10)
    page.clock.fast_forward("10:02")
    nothing_shows(page)
    other.wait_for_selector("main .veil")
    page.fill("#veil-pin", PIN)
    page.keyboard.press("Enter")
    other.wait_for_selector("#new_pin", state="visible")


def test_a_sign_in_in_another_tab_brings_back_the_same_person_and_nobody_else(
    page: Page, department: Department
) -> None:
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


def test_without_scripts_a_late_form_is_kept_and_sent_again(browser: Browser, department: Department) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    sign_in(page, department)
    page.fill("#name", "Dora Model")
    page.check("input[value=giver]")
    department.lies_idle(11)
    page.click("main .go")
    assert "was not carried out" in page.inner_text("main")
    page.fill("#veil-pin", PIN)
    page.click(".veil .go")
    assert "Dora Model" in page.inner_text("main")
    page.click("main .go")
    assert page.input_value("#name") == "Dora Model"
    assert page.is_checked("input[value=giver]")
    context.close()


@pytest.mark.parametrize("light", ["day", "night"])
def test_no_page_has_an_axe_finding_nor_a_sideways_scroll(browser: Browser, department: Department, light: str) -> None:
    for width, height in SIZES.values():
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
        department.lies_idle(11)
        page.goto(f"{department.address}/people/")
        look(page)
        context.close()


def look(page: Page) -> None:
    found = Axe().run(page).response["violations"]
    assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found] == [], page.url
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), page.url
    small = page.evaluate(
        "[...document.querySelectorAll('button, select, summary, input:not([type=hidden]):not([type=checkbox])')]"
        ".filter(one => one.checkVisibility() && !one.matches('.vh') && one.getBoundingClientRect().height < 47.5)"
        ".map(one => one.outerHTML)"
    )
    assert small == [], page.url
