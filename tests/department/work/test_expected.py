"""How long a preparation runs, and when a reservoir is filled anew, as the board tells it; no dose is changed by it."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest

from tests.department.scene import Scene, labelled, order, scene

pytestmark = pytest.mark.usefixtures("storage")
HOURS = "10 mg/h albuterol by large-volume nebulizer for 20 h, output 25 mL/h"
ML = 1_000_000


def running(on: Scene, minutes: float, text: str = HOURS, ml: int = 200) -> Any:
    """A preparation that has been running for so many minutes."""
    from drawndose.department.ledger.append import now
    from drawndose.department.work.models import Preparation

    begun = now() - timedelta(minutes=minutes)
    return Preparation.objects.create(
        order=order(on, text), by=on.ana, started_at=begun - timedelta(minutes=5), state="given", given_at=begun, given_by=on.cleo,
        total_nl=ml * ML,
    )  # fmt: skip


def rows(on: Scene, name: str) -> list[Any]:
    from drawndose.department.ledger.append import now
    from drawndose.department.work.board import look

    return list(getattr(look(now(), on.site), name).rows)


def test_what_waits_says_how_long_it_will_run_and_its_label_stays() -> None:
    from drawndose.department.work.expected import expected

    on = scene()
    made, _, _ = labelled(on)
    before = (made.plan, made.label, made.total_nl, made.version)
    assert expected(made).time == "1 to 9 min"
    (row,) = rows(on, "ready")
    assert row.expects == "Once it runs: 1 to 9 min"
    made.refresh_from_db()
    assert (made.plan, made.label, made.total_nl, made.version) == before


def test_nebulizers_that_were_measured_here_count() -> None:
    from drawndose.department.work.policy import choose

    on = scene()
    labelled(on)
    text = "Small jet: jet, residual=1 mL, output=0.4 mL/min, at=sheet 9"
    choose("nebulizers", text, reason="weighed", by=on.cleo)
    assert rows(on, "ready")[0].expects == "Once it runs: 5 min"


def test_a_run_that_has_begun_says_when_it_ends() -> None:
    from drawndose.department.work.board import clock

    on = scene()
    made = running(on, 3, "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours", 3)
    (row,) = rows(on, "given")
    ends = [clock(made, made.given_at + timedelta(minutes=one), made.given_at) for one in (1, 9)]
    assert (row.kind, row.expects) == ("open", f"Runs until about {ends[0]} to {ends[1]}")


def test_a_reservoir_says_when_it_is_filled_anew() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work.board import clock
    from drawndose.department.work.expected import expected

    on = scene()
    made = running(on, 60)
    found = expected(made)
    assert found.time == "about 7.2 to 7.8 h"
    assert [one - made.given_at for one in found.refills] == [timedelta(minutes=417), timedelta(minutes=834)]
    first, second = (clock(made, one, now()) for one in found.refills)
    (row,) = rows(on, "given")
    assert row.kind == "open"
    assert re.fullmatch(rf"Fill it anew at {first}, in 5 h 5[67] min, then {second}", row.expects)


def test_when_it_is_to_be_filled_it_stands_first_until_it_may_be_empty() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work.board import clock, look

    on = scene()
    made = running(on, 417 + 5)
    labelled(on)
    later = running(on, 1, "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours", 3)
    assert later.pk > made.pk
    board = look(now(), on.site)
    first = board.given.rows[0]
    assert (first.made, first.kind, board.refill) == (made, "refill", 1)
    empty = clock(made, made.given_at + timedelta(minutes=432), now())
    assert first.expects.startswith(f"Fill it anew now: it may be empty from {empty}, then ")
    past = look(now() + timedelta(minutes=11), on.site)
    assert (past.refill, past.given.rows[-1].made) == (0, made)
    assert "Fill it anew at " in past.given.rows[-1].expects
    over = look(made.given_at + timedelta(hours=21), on.site)
    (row,) = (one for one in over.given.rows if one.made == made)
    assert row.expects.startswith("Runs until about ")


def test_where_nothing_is_known_nothing_is_said() -> None:
    from drawndose.department.work.expected import expected
    from drawndose.department.work.models import Order

    on = scene()
    made = running(on, 1, "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours", 3)
    made.total_nl = None
    assert expected(made).time == ""
    made.total_nl = ML // 2  # all of it may stay
    assert (expected(made).time, expected(made).ends) == ("", None)
    Order.objects.filter(pk=made.order_id).update(text="no words of ours")
    made.order.refresh_from_db()
    assert expected(made).time == ""
    (row,) = rows(on, "given")
    assert row.expects == ""


def test_what_is_past_its_limit_runs_no_more() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work.models import Preparation

    on = scene()
    made, _, _ = labelled(on)
    Preparation.objects.filter(pk=made.pk).update(limit_at=now() - timedelta(minutes=1))
    (row,) = rows(on, "ready")
    assert (row.kind, row.expects) == ("over", "")


def test_the_page_of_the_board_tells_it() -> None:
    from drawndose.department.people.models import RoleHeld
    from drawndose.department.people.roles import Role
    from tests.pages import client, words

    on = scene()
    running(on, 420)
    RoleHeld.objects.create(person=on.ana, role=Role.PREPARER.value)
    browser = client()
    browser.force_login(on.ana)
    page = browser.get("/board/").content.decode()
    assert "1 to fill anew" in words(page)
    assert 'class="board-row row-refill"' in page
    assert "Fill it anew now: it may be empty from" in words(page)
