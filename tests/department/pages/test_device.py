"""What a person chooses for a device: where the main button stands, and whether a scan is heard. Off until chosen, kept in the browser."""

from __future__ import annotations

import pytest

from tests.department.furnished import ward
from tests.pages import client, words

pytestmark = pytest.mark.usefixtures("storage")


def test_a_choice_is_kept_in_the_browser_and_shown_on_every_page() -> None:
    browser = client()
    browser.force_login(ward().on.ana)
    for address in ("/board/", "/"):
        page = browser.get(address).content.decode()
        assert ("data-tone" in page, 'class="mirrored"' in page, "mirror" in page) == (False, False, False)
    answer = browser.post("/me/", {"do": "device", "side": "right", "tone": "on"})
    assert (answer.status_code, answer["Location"]) == (302, "/me/?done=device")
    assert {name: answer.cookies[name].value for name in ("side", "tone")} == {"side": "right", "tone": "on"}
    assert answer.cookies["side"]["samesite"] == "Strict"
    for address in ("/board/", "/", "/me/"):
        page = browser.get(address).content.decode()
        assert '<html lang="en" data-light="day" data-tone>' in page
        assert '<body class="mirrored">' in page
        assert "drawndose/mirror" in page
    assert "<option selected>right" in browser.get("/me/").content.decode()
    browser.post("/sign-off/")
    assert 'class="mirrored"' in browser.get("/sign-in/").content.decode()
    browser.cookies["side"], browser.cookies["tone"] = "up", "loud"
    page = browser.get("/").content.decode()
    assert ("data-tone" in page, "mirrored" in page) == (False, False)


def test_a_choice_that_is_none_is_told_and_nothing_is_kept() -> None:
    browser = client()
    browser.force_login(ward().on.ana)
    answer = browser.post("/me/", {"do": "device", "side": "up", "tone": ""})
    assert answer.status_code == 422
    assert words(answer.content.decode()).count("there is no such choice") == 2
    assert "side" not in answer.cookies
