"""The tutorial "One dose" is walked step by step, as a new user would, in the demo that `make start` opens.

DRAWNDOSE_PICTURES names a folder into which its pictures are taken anew (docs/images).
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.serving import free_port, until_it_answers

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs/tutorial/one-dose.md"
STEPS = re.findall(r"<!-- ([a-z ]+?)(?: of ([^:]+)| in ([a-z]+))?: (.+?) -->", PAGE.read_text(encoding="utf-8"))


@dataclass
class Demo:
    """The demo's address, and by person the words and PINs that it printed."""

    address: str
    words: dict[str, tuple[str, str]]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Demo]:
    """The demo in a data folder of its own, on a free port, as `make start` opens it."""
    port = free_port()
    folder = tmp_path_factory.mktemp("demo")
    env = {name: value for name, value in os.environ.items() if not name.startswith("DRAWNDOSE_")}
    env |= {"XDG_DATA_HOME": str(folder / "data"), "XDG_CACHE_HOME": str(folder / "cache"), "TZ": "UTC"}
    command = shutil.which("drawndose", path=str(Path(sys.executable).parent)) or "drawndose"
    words = [command, "department", "demo", "--port", str(port), "--learners", "1"]
    server = subprocess.Popen(words, env=env, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    printed: dict[str, tuple[str, str]] = {}
    address = ""
    assert server.stdout is not None
    for line in server.stdout:
        person = re.match(r"  ([a-z]+)\s{2,}.*?\s{2,}([a-z]+(?:-[a-z]+)+)\s*([0-9]{6,})?\s*$", line)
        if person is not None:
            printed[person[1]] = (person[2], person[3] or "")
        if found := re.search(r"(http://[0-9.:]+/\S*)", line):
            address = found[1]
            break
    until_it_answers(address)
    yield Demo(address, printed)
    server.terminate()
    server.wait(timeout=120)
    server.stdout.close()


def sign_in(page: Page, demo: Demo, who: str) -> None:
    page.goto(demo.address)
    page.fill("#username", who)
    page.fill("#password", demo.words[who][0])
    page.click("main .go")


def second_reading(page: Page, demo: Demo, said: str) -> None:
    reading, _, who = said.partition(" by ")
    page.fill("#second-1", reading)
    page.fill("#second_name", who)
    page.fill("#second_secret", demo.words[who][1])
    page.click("#go")


def check(page: Page, lot: str) -> None:
    """A check by typing. Two scans within three seconds would be one that came twice."""
    page.wait_for_timeout(3_100)
    page.locator("#check input:visible").first.fill(lot)
    page.evaluate("document.body.dataset.old = 'yes'")
    page.locator("#check button").first.click()
    page.wait_for_selector(
        "body:not([data-old])", state="attached"
    )  # a check out of a page that is over counts no more


def picture(page: Page, name: str) -> None:
    folder = os.environ.get("DRAWNDOSE_PICTURES")
    if folder:
        page.wait_for_timeout(500)
        page.screenshot(path=f"{folder}/{name}.png")


def do(page: Page, demo: Demo, step: tuple[str, str, str, str]) -> None:
    """One remark of the page."""
    verb, card, box, what = step
    if verb == "sign in":
        sign_in(page, demo, what)
    elif verb == "see":
        expect(page.locator("body")).to_contain_text(what)
    elif verb == "on the card":
        page.locator("li.board-row", has_text=card).locator("a", has_text=what).first.click()
    elif verb == "press":
        expect(page.locator("#go")).to_have_text(what)
        page.click("#go")
    elif verb == "pick":
        page.locator("main a", has_text=what).first.click()
    elif verb == "check the label":
        check(page, what)
    elif verb == "second reading":
        second_reading(page, demo, what)
    elif verb == "type":
        page.fill(f"#{box}", what)
    elif verb == "picture":
        picture(page, what)
    else:
        raise AssertionError(f"the page asks for what the test does not know: {verb}")


def test_the_page_says_something_to_do() -> None:
    assert len(STEPS) >= 25
    assert {step[0] for step in STEPS} >= {
        "sign in",
        "press",
        "pick",
        "check the label",
        "second reading",
        "type",
        "see",
    }


def test_one_dose_goes_from_order_to_closed_record(demo: Demo, browser: Browser) -> None:
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.add_init_script("window.print = () => {}")
    for step in STEPS:
        do(page, demo, step)
    context.close()
