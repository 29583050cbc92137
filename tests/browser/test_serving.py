"""What the other browser tests lean on finds what is planted."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from tests.browser.conftest import SIZES, open_page
from tests.browser.serving import findings


@pytest.mark.parametrize("colours", [False, True])
def test_a_planted_fault_is_found(browser: Browser, address: str, colours: bool) -> None:
    page = open_page(browser, address, SIZES["phone"]).page
    assert findings(page, colours=colours) == []
    pale = "one.textContent = 'pale'; one.style.cssText = 'color: #ccc; background: #fff'"
    page.evaluate(
        f"() => {{ const one = document.createElement('p'); {pale}; document.querySelector('main').append(one) }}"
    )
    page.evaluate("() => document.querySelector('main').append(document.createElement('button'))")
    found = {rule for rule, _ in findings(page, colours=colours)}
    assert found == ({"color-contrast"} if colours else {"color-contrast", "button-name"})
    page.context.close()
