"""A real server, started as a user starts it, and Debian's chromium without any way to the outside."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator
from itertools import cycle
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Locator, Page, expect, sync_playwright

from tests.browser.serving import empty, free_port, until_it_answers

expect.set_options(timeout=30_000)  # a machine that does much besides is slow, not wrong
CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
LIGHTS = ("day", "night", "bright")
SIZES = {"desk": (1280, 800), "tablet": (820, 1180), "phone": (390, 844)}

if not Path(CHROMIUM).exists() and os.environ.get("CI") != "true":
    collect_ignore_glob = ["test_*.py"]  # `make system` names what is missing; in CI its absence fails below


@pytest.fixture(scope="session")
def emptied(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A department with all its tables and nothing in them, which `served` copies."""
    return empty(tmp_path_factory.mktemp("emptied"))


@pytest.fixture(scope="session")
def address(emptied: Path) -> Iterator[str]:
    """The address of a server of `drawndose serve` on a free port."""
    port = free_port()
    env = os.environ | {"DRAWNDOSE_STATIC": str(emptied / "static")}
    command = shutil.which("drawndose", path=str(Path(sys.executable).parent)) or "drawndose"
    server = subprocess.Popen([command, "serve", "--port", str(port)], env=env, stdout=subprocess.DEVNULL)
    url = f"http://127.0.0.1:{port}/"
    until_it_answers(url)
    yield url
    server.terminate()
    server.wait(timeout=120)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with sync_playwright() as play:
        launched = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield launched
        launched.close()


@pytest.fixture(scope="session", autouse=True)
def presses_load() -> Iterator[None]:
    """A press is over when the page that it led to has loaded, its scripts with it: what is read or typed next is read or typed there."""
    press, press_found = Page.click, Locator.click

    def click(self: Page, *args: Any, **more: Any) -> None:
        press(self, *args, **more)
        self.wait_for_load_state()

    def click_found(self: Locator, *args: Any, **more: Any) -> None:
        press_found(self, *args, **more)
        self.page.wait_for_load_state()

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Page, "click", click)
        patch.setattr(Locator, "click", click_found)
        yield


def each_in_a_light(states: Iterable[str]) -> list[tuple[str, str]]:
    """Each state in one lighting, in turn: where things stand does not depend on the light, nor a colour on the state."""
    return list(zip(states, cycle(LIGHTS)))


# The tablet lies between the two and has the lab's day and the department's pages for its own.
@pytest.fixture(params=("desk", "phone"))
def size(request: pytest.FixtureRequest) -> tuple[int, int]:
    return SIZES[request.param]


class Watched:
    """A page that remembers what went wrong in it: messages of the console, errors, requests to another host."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.address = page, address
        self.troubles: list[str] = []
        page.on("console", self.hear)
        page.on("pageerror", lambda error: self.troubles.append(str(error)))
        page.on("request", lambda sent: self.troubles.append(sent.url) if not sent.url.startswith(address) else None)

    def hear(self, said: ConsoleMessage) -> None:
        """Errors and warnings, but for a question that a newer one took the place of: that is as it should be."""
        if said.type in {"error", "warning"} and not said.text.startswith(("htmx:sendAbort", "htmx:afterRequest")):
            self.troubles.append(said.text)

    def order(self, text: str) -> None:
        """Type an order and wait for the live answer."""
        self.page.fill("#order", text)
        self.page.wait_for_selector("#plan:not([aria-busy])")
        self.page.wait_for_load_state("networkidle")
        self.page.wait_for_selector("#plan:not([aria-busy])")


def open_page(
    browser: Browser, address: str, size: tuple[int, int], *, scripts: bool = True, light: str = "day"
) -> Watched:
    context = browser.new_context(viewport={"width": size[0], "height": size[1]}, java_script_enabled=scripts)
    watched = Watched(context.new_page(), address)
    watched.page.goto(f"{address}?light={light}")
    return watched


@pytest.fixture
def bench(browser: Browser, address: str) -> Iterator[Watched]:
    """The bench on a desk; what a phone shows otherwise has tests of its own."""
    watched = open_page(browser, address, SIZES["desk"])
    yield watched
    assert watched.troubles == []
    watched.page.context.close()
