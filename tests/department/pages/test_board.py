"""The board: late first, two identifiers on every row, empty, failed, bounded by indexes however much lies behind it."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.department.furnished import furnished, ward
from tests.pages import signed, words

pytestmark = pytest.mark.usefixtures("storage")


@pytest.fixture(autouse=True)
def nothing_drawn() -> None:
    """No drawing of another test."""
    forget()


def forget() -> None:
    from drawndose.department.pages import board

    board._DRAWN.clear()


def late() -> int:
    """How many doses are late by the rows themselves: house times make it a matter of the hour."""
    from drawndose.department.ledger.append import now
    from drawndose.department.work.models import DueDose

    rows = DueDose.objects.filter(state="due", order__state="complete", to_at__lt=now())
    return sum(one.from_at != one.to_at for one in rows)


def part(page: str, name: str) -> str:
    return words(page.partition(f'id="part-{name}"')[2].partition("</section>")[0])


def test_every_state_stands_in_its_part_and_the_latest_first() -> None:
    made = furnished()
    page = signed(made.on.ana).get("/board/").content.decode()
    due = part(page, "due")
    places = [due.index(word) for word in ("Late by 4 h 40 min", "Late by 40 min", "Asked for", "On hold")]
    assert places == sorted(places)
    assert "Planned, 59 min left" in part(page, "work")
    ready = part(page, "ready")
    assert ready.index("Past its limit since") < ready.index("59 min left")
    assert "Given, not closed yet" in part(page, "given")
    assert "1 past the limit" in words(page)
    assert late() >= 3
    assert f"{late()} late" in words(page)
    for name in ("due", "work", "ready", "given"):
        text = part(page, name)
        assert text.count("born ") == text.count("no. ") > 0, name


def test_an_empty_board_says_what_fills_it_and_what_comes_next() -> None:
    from drawndose.department.ledger.append import now
    from tests.department.scene import order

    made = ward()
    said = words(signed(made.on.ana).get("/board/").content.decode())
    assert "The board is empty" in said
    moment = now()
    order(made.on, first_at=moment + timedelta(hours=5))
    said = words(signed(made.on.ana).get("/board/").content.decode())
    assert "Nothing is due in the next 2 h. The next dose: " in said


def test_a_storage_that_does_not_answer_is_said_and_not_an_empty_board(monkeypatch: pytest.MonkeyPatch) -> None:
    from django.db import OperationalError

    from drawndose.department.pages import board

    made = ward()

    def broken(*args):
        raise OperationalError("database is locked")

    monkeypatch.setattr(board, "look", broken)
    answer = signed(made.on.ana).get("/board/")
    said = words(answer.content.decode())
    assert (answer.status_code, "The board did not load at" in said, "Try again" in said) == (503, True, True)
    assert "Nothing is due" not in said


def test_it_renews_itself_with_and_without_scripts_and_reads_out_only_a_change() -> None:
    made = furnished()
    browser = signed(made.on.ana)
    page = browser.get("/board/").content.decode()
    assert '<noscript><meta http-equiv="refresh" content="60;url=?renewed"></noscript>' in page
    assert 'hx-trigger="every 20s"' in page
    again = browser.get(
        f"/board/?told=1 past the limit, {late()} late", headers={"hx-request": "true"}
    ).content.decode()
    assert "<html" not in again
    assert "hx-swap-oob" not in again
    other = browser.get("/board/?told=2 late", headers={"hx-request": "true"}).content.decode()
    assert f'hx-swap-oob="innerHTML">1 past the limit, {late()} late.' in other


def test_looking_at_the_board_plans_what_is_owed(clock) -> None:
    from tests.department.scene import order

    made = ward()
    entered = order(made.on)
    later = entered.first_at + timedelta(hours=30)
    clock.stands(later)
    signed(made.on.ana).get("/board/")
    assert entered.duedose_set.filter(due_at__gt=later).exists()


def test_an_order_that_can_no_longer_be_read_stands_on_top() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work.models import Order
    from tests.department.scene import order

    made = ward()
    entered = order(made.on)
    Order.objects.filter(pk=entered.pk).update(text="no words of ours", next_at=now())
    said = words(signed(made.on.ana).get("/board/").content.decode())
    assert "can no longer be read: no doses are planned" in said


def test_only_what_a_person_may_do_can_be_pressed() -> None:
    made = furnished()
    for who, prepares, gives in ((made.on.ana, True, True), (made.on.cleo, False, True), (made.on.ben, False, False)):
        page = signed(who).get("/board/").content.decode()
        assert (">Prepare<" in page, ">Give<" in page) == (prepares, gives), who


def test_only_who_prepares_is_led_to_a_new_sheet() -> None:
    made = ward()
    assert "/sheet/new/" in signed(made.on.ana).get("/board/").content.decode()
    assert "/sheet/new/" not in signed(made.max).get("/board/").content.decode()


def test_the_board_is_of_the_site_that_was_chosen() -> None:
    from drawndose.department.work.models import Site

    made = furnished()
    other = Site.objects.create(name="Ward 9", zone="UTC")
    browser = signed(made.on.ana)
    browser.post("/me/", {"do": "site", "site": other.pk})
    said = words(browser.get("/board/").content.decode())
    assert "Board: Ward 9" in said
    assert "Late by" not in said


def plans(run) -> list[str]:
    """How the storage finds the rows of every query that runs: SQLite's own plan, a line each."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as seen:
        run()
    found = []
    with connection.cursor() as cursor:
        for query in seen.captured_queries:
            if query["sql"].startswith("SELECT"):
                cursor.execute(f"EXPLAIN QUERY PLAN {query['sql']}")
                found += [f"{row[3]}  <-  {query['sql'][:120]}" for row in cursor.fetchall()]
    return found


SMALL = ("work_site", "work_setting", "people_", "work_stocklevel")
"""Tables that stay small whatever a department does."""


def scans(found: list[str]) -> list[str]:
    return [one for one in found if one.startswith("SCAN") and not any(name in one for name in SMALL)]


def test_no_query_of_the_board_reads_a_whole_table() -> None:
    from django.db import connection

    from drawndose.department.ledger.append import now
    from drawndose.department.work.board import look

    if connection.vendor != "sqlite":
        pytest.skip("SQLite's plan is looked at")
    made = furnished()
    for site in (None, made.on.site):
        found = plans(lambda site=site: list(look(now(), site).due.rows))
        assert len(found) > 5
        assert scans(found) == []
    assert scans(plans(lambda: list(_whole_table()))) != []


def _whole_table():
    from drawndose.department.work.models import Preparation

    return Preparation.objects.filter(observed={})


def test_the_board_asks_the_storage_a_fixed_number_of_times() -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from tests.department.scene import order

    made = furnished()
    browser = signed(made.on.ana)
    browser.get("/board/")

    def asked() -> int:
        forget()
        with CaptureQueriesContext(connection) as seen:
            browser.get("/board/", headers={"hx-request": "true"})
        return len(seen)

    before = asked()
    for _ in range(5):
        order(made.on)
    assert asked() <= before
    assert before <= 19


def test_while_nothing_happens_the_same_drawing_is_shown_for_seconds_and_never_longer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from datetime import UTC, datetime

    from drawndose.department.pages import board
    from tests.department.scene import order

    made, looked = furnished(), []
    moment = datetime.now(UTC).replace(second=10, microsecond=0)
    monkeypatch.setattr(board, "now", lambda: moment)
    look = board.look
    monkeypatch.setattr(board, "look", lambda *args: looked.append(args) or look(*args))
    ana, cleo = signed(made.on.ana), signed(made.on.cleo)
    first = ana.get("/board/").content.decode()
    assert part(ana.get("/board/").content.decode(), "due") == part(first, "due")
    assert len(looked) == 1
    assert part(cleo.get("/board/").content.decode(), "due") != part(first, "due")  # who gives is led elsewhere
    assert len(looked) == 2
    order(made.on)
    ana.get("/board/")
    assert len(looked) == 3
    moment += timedelta(seconds=board.FRESH_S)
    ana.get("/board/")
    assert len(looked) == 4
