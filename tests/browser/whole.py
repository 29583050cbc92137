"""Whether a page is whole: nothing sideways, nothing cut, nothing too small to press or to read, and nothing that axe finds."""

from __future__ import annotations

from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.conftest import SIZES

PRESSED = "button, summary, select, textarea, input:not([type=hidden]), .tick, .away"
"""What is pressed on any page; of a tick, its whole row."""
PARTS = "p, dd, td, th, pre, svg, text, input, select, button"
LOOK = """([press, boxes, cells, parts]) => {
  const shown = (of, root = document) => !of ? [] : [...root.querySelectorAll(of)].filter((one) => one.checkVisibility() && !one.closest('.vh'));
  const told = (what, one) => `${what}: ${one.outerHTML.slice(0, 90)}`;
  const faults = document.documentElement.scrollWidth <= innerWidth ? [] : ['it scrolls sideways'];
  for (const one of shown(press)) {
    const box = one.getBoundingClientRect();
    if (!['checkbox', 'radio'].includes(one.type) && (box.height < 47.5 || box.width < 47.5)) faults.push(told('too small to press', one));
  }
  for (const box of shown(boxes)) for (const one of shown(parts, box))
    if (one.getBoundingClientRect().right > box.getBoundingClientRect().right + 1) faults.push(told('out of its box', one));
  for (const one of shown(cells))
    if (one.scrollWidth > one.clientWidth + 1 && getComputedStyle(one).display !== 'inline') faults.push(told('cut', one));
  for (const one of shown('body *'))
    if (one.innerText?.trim() && !one.closest('.label') && parseFloat(getComputedStyle(one).fontSize) < 14) faults.push(told('too small to read', one));
  return faults;
}"""


def faults(page: Page, *, press: str = PRESSED, boxes: str = "", cells: str = "") -> list[Any]:
    """What is wrong with a page as a desk shows it and as a phone does, where axe looks too.

    boxes: what holds all its parts; cells: what shows all its text. The picture of a label is as small as the label is; how
    small its letters may be is held where it is printed.
    """
    found = []
    for width, height in (SIZES["desk"], SIZES["phone"]):
        page.set_viewport_size({"width": width, "height": height})
        found += page.evaluate(LOOK, [press, boxes, cells, PARTS])
    return [*found, *findings(page)]


def findings(page: Page, *, colours: bool = False) -> list[tuple[str, str]]:
    """What axe finds: its rule, and where. `colours` alone is enough for a page seen by every rule in another lighting."""
    options = {"resultTypes": ["violations"]} | ({"runOnly": ["color-contrast"]} if colours else {})
    found = Axe().run(page, options=options).response["violations"]
    return [(one["id"], node["html"][:200]) for one in found for node in one["nodes"]]
