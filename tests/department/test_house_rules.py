"""What holds for every page: headers, no markup that runs or styles, the guard of the form, lighting, checks."""

import os
import re
from unittest.mock import patch

import pytest

from tests.pages import BOTTLE, client, form, post

ORDERS = (
    "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours",
    "epinephrine 5 mg by nebulizer once",
    "albuterol 2.5 mg in 3 mL saline by nebulizer",
    "albuterol 2.5 mg by nebulizer QD with pixie dust in 5cc",
    "",
)


@pytest.mark.parametrize("order", ORDERS)
def test_nothing_in_the_markup_runs_styles_or_calls_another_host(order: str) -> None:
    page = post(order)
    assert not re.search(r"\sstyle=|\son[a-z]+=|<style|javascript:", page)
    assert all("src=" in tag for tag in re.findall(r"<script[^>]*>", page))
    assert re.findall(r'(?:src|href|action)="(?:https?:)?//', page) == []


def test_headers_are_strict() -> None:
    answer = client().get("/")
    policy = answer["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    assert answer["Cache-Control"] == "no-store"
    assert answer["X-Frame-Options"] == "DENY"
    assert answer["Referrer-Policy"] == "same-origin"


def test_form_without_its_guard_is_refused_with_the_way_out() -> None:
    answer = client(enforce_csrf_checks=True).post("/", form("albuterol 2.5 mg by nebulizer"))
    assert answer.status_code == 403
    assert "Copy it, open the page anew" in answer.content.decode()


def test_unknown_host_and_unknown_page() -> None:
    assert client().get("/", headers={"host": "evil.example"}).status_code == 400
    lost = client().get("/nowhere/")
    assert lost.status_code == 404
    assert "There is no such page" in lost.content.decode()


def test_lighting_is_chosen_by_hand_kept_in_a_cookie_and_keeps_the_order() -> None:
    browser = client()
    page = browser.post("/", {"order": "albuterol 2.5 mg", "light": "night"}).content.decode()
    assert 'data-light="night"' in page
    assert "albuterol 2.5 mg</textarea>" in page
    assert 'data-light="night"' in browser.get("/").content.decode()
    assert 'data-light="day"' in client().get("/?light=disco").content.decode()


def test_live_answer_holds_the_plan_and_never_the_box_that_is_typed_in() -> None:
    sent = form("albuterol 2.5 mg by nebulizer, made up to 3 mL", [BOTTLE], cup="cup-6")
    page = client().post("/", sent, headers={"hx-request": "true"}).content.decode()
    assert page.lstrip().startswith('<section class="plan" id="plan"')
    assert '<p id="status" hx-swap-oob="innerHTML">Ready to draw up: 0.5' in page
    assert "<textarea" not in page
    assert "<html" not in page


def test_live_answer_rewrites_the_order_only_after_a_press() -> None:
    sent = {"order": "albuterol 2.5 mg to 3 mL", "answer": "route|by nebulizer|"}
    page = client().post("/", sent, headers={"hx-request": "true"}).content.decode()
    assert '<div id="order-box" hx-swap-oob="innerHTML">' in page
    assert "albuterol 2.5 mg to 3 mL, by nebulizer</textarea>" in page


def test_every_id_stands_once_on_every_page() -> None:
    pages = [post(order, **{"count-x": ""}) for order in ORDERS] + [client().get("/parts/").content.decode()]
    for page in pages:
        ids = re.findall(r'\sid="([^"]+)"', page)
        assert sorted(ids) == sorted(set(ids))


def test_parts_page_shows_every_state() -> None:
    page = client().get("/parts/").content.decode()
    for state in ("state-ready", "state-ask", "state-choose", "state-stopped", "refused", "empty"):
        assert state in page, state


@pytest.mark.parametrize(
    ("environment", "ident"),
    [
        ({"DRAWNDOSE_SECRET_KEY": "short"}, "drawndose.E001"),
        ({"DRAWNDOSE_HOSTS": "a.example, *"}, "drawndose.E002"),
        ({"DRAWNDOSE_HOSTS": "http://a.example/"}, "drawndose.E003"),
    ],
)
def test_bad_environment_is_named_with_a_hint(environment: dict[str, str], ident: str) -> None:
    client()
    from drawndose.department.web.checks import environment as check

    with patch.dict(os.environ, environment):
        found = list(check(None))
    assert [one.id for one in found] == [ident]
    assert found[0].hint


def test_nothing_typed_is_cut_by_the_browser_and_too_much_is_refused_in_words() -> None:
    assert "maxlength" not in post("albuterol 2.5 mg by nebulizer")
    assert "at most 10,000 characters" in post("a" * 10_001)
    answer = client().post("/", {"order": "a" * 300_000})
    assert answer.status_code == 413
    assert "type less" in answer.content.decode()


def test_long_order_is_whole_in_the_strip_and_does_not_cover_the_page() -> None:
    order = "albuterol 2.5 mg by nebulizer, " + "the order of the patient " * 8 + "every 4 hours"
    strip = re.search(r'<header class="strip".*?</header>', post(order), re.DOTALL)
    assert strip is not None
    assert 'class="strip-order long"' in strip[0]
    assert strip[0].count("the order of the patient") == 8
