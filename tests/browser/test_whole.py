"""What the other browser tests lean on finds what is planted."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from tests.browser.conftest import SIZES, open_page
from tests.browser.whole import faults, findings

PLANTED = {
    "it scrolls sideways": ("<p>wide</p>", "width: 3000px"),
    "too small to press": ("<button>low</button>", "height: 20px; min-height: 0; width: 60px"),
    "out of its box": (
        "<p class='planted-box'><svg width='90' height='9' aria-hidden='true'></svg></p>",
        "width: 50px",
    ),
    "cut": ("<p class='planted-cell'>much too long</p>", "width: 20px; overflow: hidden; white-space: nowrap"),
    "too small to read": ("<p>tiny</p>", "font-size: 9px"),
    "color-contrast": ("<p>pale</p>", "color: #ccc; background: #fff"),
}
PLANT = """([html, css]) => { const one = document.createElement('div'); one.innerHTML = html; one.id = 'planted';
  one.firstChild.style.cssText = css; document.querySelector('main').append(one); }"""


@pytest.fixture(scope="module")
def words() -> dict[str, str]:
    return {"boxes": ".planted-box", "cells": ".planted-cell"}


def test_each_planted_fault_is_found_and_nothing_else(browser: Browser, address: str, words: dict[str, str]) -> None:
    page = open_page(browser, address, SIZES["phone"]).page
    assert faults(page, **words) == []
    for fault, planted in PLANTED.items():
        page.evaluate(PLANT, planted)
        found = {one[0] if isinstance(one, tuple) else one.partition(":")[0] for one in faults(page, **words)}
        assert found == {fault}
        page.evaluate("document.getElementById('planted').remove()")
    page.evaluate(PLANT, PLANTED["color-contrast"])
    assert {rule for rule, _ in findings(page, colours=True)} == {"color-contrast"}
    page.context.close()
