"""Take a picture of real findings on a phone: the bench page as it answers to orders that are unsafe, by day and by night.

Usage: python tools/finding_screens.py FOLDER [ADDRESS]     without an address a server is started, and stopped again

Each picture is one screen of 390 by 844, as it stands after the press: what is looked at is whether the finding is seen at once.
One that stands lower, below the numbers of two drugs, is scrolled to, and named; a stop has to be seen without it.
Needs chromium and the browser tests' packages.
"""

import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

from playwright.sync_api import Browser, Page, sync_playwright

PHONE = {"width": 390, "height": 844}
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
BOTTLE = "albuterol-0.5pct-bottle-20ml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """One picture: the order, the cup, the containers that are ticked (all without), and words that must stand on it."""

    name: str
    order: str
    shows: str
    cup: str = ""
    have: tuple[str, ...] = ()


SCREENS = (
    Screen(name="concentrate-undiluted", order="albuterol 2.5 mg by nebulizer, undiluted", have=(BOTTLE,),
           shows="would go in undiluted"),
    Screen(name="dose-ten-times", order="albuterol 100 mg by nebulizer", shows="above every published dose"),
    Screen(name="fill-over-cup", order="albuterol 2.5 mg by nebulizer, made up to 12 mL", cup="cup-6", have=(BOTTLE,),
           shows="holds 6 mL"),
    Screen(name="mixture-forbidden", order="albuterol 2.5 mg and aztreonam 75 mg by nebulizer", shows="do not mix"),
    Screen(name="hazardous", order="pentamidine 300 mg by nebulizer", shows="hazardous drugs"),
    Screen(name="out-of-an-ampoule", order="epinephrine 5 mg by nebulizer once", shows="not labelled for a nebulizer"),
    Screen(name="which-moiety", order="colistimethate 150 mg by nebulizer", shows="counted as what"),
    Screen(name="too-small-to-measure", order="albuterol 0.1 mg by nebulizer, made up to 3 mL", have=(BOTTLE,),
           shows="first dilution"),
    Screen(name="allergy", order="albuterol 2.5 mg by nebulizer, made up to 3 mL, allergic to benzalkonium chloride",
           have=(BOTTLE,), shows="benzalkonium"),
    Screen(name="mixture-without-data", order="levalbuterol 1.25 mg and terbutaline 2 mg by nebulizer", shows="no data"),
    Screen(name="refused", order="albuterol 2.5 mg by nebulizer QD with pixie dust in 5cc", shows="pixie dust"),
)  # fmt: skip
"""Ten findings of ten kinds, and what a refusal looks like."""


@contextmanager
def served() -> Iterator[str]:
    """The address of a server of our own, with a folder of its own for its files."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = shutil.which("drawndose", path=str(Path(sys.executable).parent)) or "drawndose"
    with tempfile.TemporaryDirectory() as static:
        env = os.environ | {"DRAWNDOSE_STATIC": static}
        server = subprocess.Popen([command, "serve", "--port", str(port)], env=env, stdout=subprocess.DEVNULL)
        try:
            yield _awaited(f"http://127.0.0.1:{port}/")
        finally:
            server.terminate()
            server.wait(timeout=20)


def _awaited(address: str) -> str:
    for _ in range(600):
        try:
            urlopen(address).close()
            return address
        except (URLError, ConnectionError):
            time.sleep(0.1)
    raise SystemExit(f"the server at {address} does not answer")


def answered(page: Page, address: str, one: Screen) -> None:
    """Fill in the form and press its button, as a person does."""
    page.goto(address)
    page.fill("#order", one.order)
    _settled(page)
    if one.cup:
        page.select_option("#cup", one.cup)
        _settled(page)
    if one.have:
        page.locator("#containers > summary").click()
        for box in page.locator('.pack:not(.pack-diluent) input[name="pack"]').all():
            box.set_checked(str(box.get_attribute("value")).startswith(one.have))
        _settled(page)
    page.click("#go")
    page.wait_for_selector("#plan-title:focus, #faults:focus")
    _settled(page)


def _settled(page: Page) -> None:
    page.wait_for_timeout(800)
    page.wait_for_load_state("networkidle")
    page.wait_for_selector("#plan:not([aria-busy])")


def taken(browser: Browser, address: str, folder: Path, light: str) -> list[str]:
    """One picture of each, in one lighting. What is wrong: a finding that is not there, or a stop that is not seen at once."""
    page = browser.new_context(viewport=PHONE).new_page()  # type: ignore[arg-type]
    page.goto(f"{address}?light={light}")
    missed = []
    for number, one in enumerate(SCREENS, start=1):
        answered(page, address, one)
        if not _in_view(page, one.shows):
            there = page.locator("#plan .finding", has_text=one.shows).first
            if page.locator("#plan .stop").count() or not there.count():
                missed.append(f"{one.name} by {light}: {one.shows!r} is not seen at once")
            else:
                there.scroll_into_view_if_needed()
                print(f"{one.name} by {light}: scrolled to")
        page.screenshot(path=folder / f"{number:02d}-{one.name}-{light}.png")
    page.context.close()
    return missed


def _in_view(page: Page, words: str) -> bool:
    """True when a part that is drawn on this screen, above the bar, holds these words."""
    return bool(
        page.evaluate(
            """([words, high]) => [...document.querySelectorAll("#plan p, #plan summary, #plan li, #plan h2, #plan h3")].some((one) => {
                const box = one.getBoundingClientRect();
                const text = one.textContent.replace(/\\s+/g, " ");
                return text.includes(words) && box.height > 0 && box.top >= 0 && box.top < high - 120;
            })""",
            [words, PHONE["height"]],
        )
    )


def main(words: list[str]) -> int:
    """Write the pictures. Exit status 1 when a finding is not there, or a stop not seen at once."""
    if not words:
        print(__doc__)
        return 2
    folder = Path(words[0])
    folder.mkdir(parents=True, exist_ok=True)
    missed = []
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=ARGUMENTS)
        for light in ("day", "night"):
            if words[1:]:
                missed += taken(browser, words[1], folder, light)
            else:
                with served() as address:
                    missed += taken(browser, address, folder, light)
        browser.close()
    for line in missed:
        print(line)
    print(f"{len(SCREENS)} screens by day and by night in {folder}; {len(missed)} do not show their finding")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
