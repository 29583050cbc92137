"""What is shown instead of a page: one clear sentence, and a way on for who is looking."""

from __future__ import annotations

import re

import pytest

from tests.department.furnished import Ward, ward
from tests.pages import client, said, signed

pytestmark = pytest.mark.usefixtures("storage")
BOARD, BENCH = ("/board/", "Open Board"), ("/", "Open the bench")


@pytest.fixture
def made(storage: None) -> Ward:
    return ward()


def ways(answer) -> list[tuple[str, str]]:
    return re.findall(r'<a class="(?:go|away)" href="([^"]+)">([^<]+)</a>', answer.content.decode())


def test_no_such_page_leads_to_the_board_or_to_the_bench(made: Ward) -> None:
    for browser, way in ((signed(made.on.ana), BOARD), (client(), BENCH)):
        answer = browser.get("/nothing/")
        assert (answer.status_code, ways(answer)) == (404, [way])
        assert "There is no such page" in said(answer)
    made.max.roleheld_set.update(role="learner")
    assert ways(signed(made.max).get("/nothing/")) == [("/lab/mine/", "Open My training")]


def test_a_form_without_its_guard_is_refused_with_a_way_on(made: Ward) -> None:
    for browser, way in (
        (signed(made.on.ana, enforce_csrf_checks=True), BOARD),
        (client(enforce_csrf_checks=True), BENCH),
    ):
        answer = browser.post("/sign-in/", {"username": "ana"})
        assert (answer.status_code, ways(answer)) == (403, [way])
        assert "Nothing of it was done. Go back" in said(answer)


def test_more_than_any_form_holds_is_told_with_the_measure(made: Ward) -> None:
    answer = signed(made.on.ana).post("/orders/new/", {"order": "a" * 5_000_000})
    assert (answer.status_code, ways(answer)) == (413, [BOARD])
    assert "It holds more than 200,000 bytes" in said(answer)
    many = client().post("/", {f"n{at}": "" for at in range(1_200)})
    assert (many.status_code, "not what a form of these pages sends" in said(many)) == (400, True)
    other = client().get("/", headers={"host": "evil.example"})
    assert (other.status_code, "DRAWNDOSE_HOSTS" in said(other)) == (400, True)


def test_what_takes_a_form_alone_is_no_empty_page(made: Ward) -> None:
    answer = signed(made.on.ana).get("/sign-off/")
    assert (answer.status_code, answer["Allow"], ways(answer)) == (405, "POST", [BOARD])
    assert "only takes a form. Nothing was done." in said(answer)
    assert client().put("/board/").content == b""


def test_a_fault_of_ours_on_a_page_of_records_says_where_to_look(made: Ward, monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.pages import records

    def fails(*args: object) -> None:
        raise ValueError

    monkeypatch.setattr(records, "site_of", fails)
    browser = signed(made.on.ana, raise_request_exception=False)
    answer = browser.get("/records/")
    assert (answer.status_code, ways(answer)) == (500, [BOARD])
    assert "look at what it was about" in said(answer)
    assert f"found in the log: {answer['X-Request-ID']}" in said(answer)


def test_a_storage_that_refuses_everything_leaves_trying_again_and_the_bench(
    made: Ward, monkeypatch: pytest.MonkeyPatch
) -> None:
    from django.db import OperationalError

    from drawndose.department.pages import idle, instead

    def full(*args: object) -> None:
        raise OperationalError("database or disk is full")

    browser = signed(made.on.ana, raise_request_exception=False)
    monkeypatch.setattr(idle, "_looked", full)
    answer = browser.get("/day/?day=2026-11-25")
    assert (answer.status_code, ways(answer)) == (503, [("/day/?day=2026-11-25", "Try again"), BOARD, BENCH])
    assert "The disk is full. Nothing of this was written" in said(answer)
    monkeypatch.setattr(instead, "places_of", full)
    assert ways(browser.post("/orders/new/", {})) == [BENCH]
