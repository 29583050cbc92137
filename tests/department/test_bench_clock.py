"""When preparing begins: the bench offers the clock of its place, and counts the limit from what stands in the box."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from drawndose.quantities import Refused
from tests.pages import BOTTLE, client, django, form, words

ORDER = "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours"
AT = datetime(2026, 11, 25, 20, 5, 33, tzinfo=UTC)


@pytest.fixture
def at_noon(monkeypatch: pytest.MonkeyPatch) -> None:
    """The server's clock stands at 20:05:33 UTC, and the settings name Chicago."""
    django()
    from django.conf import settings

    from drawndose.department.web import clock

    monkeypatch.setattr(clock, "now", lambda: AT)
    monkeypatch.setitem(settings.CHOSEN.values, "zone", "America/Chicago")
    monkeypatch.setattr(clock, "_there", lambda: False)


def said(**more: str) -> str:
    answer = client().post("/", form(ORDER, [BOTTLE], cup="cup-6", **more))
    assert answer.status_code == 200
    return words(answer.content.decode())


def test_the_page_shows_its_clock_and_counts_from_now(at_noon: None) -> None:
    page = words(client().get("/").content.decode())
    assert "Empty: now. The clock of America/Chicago shows 14:05 (24 h)." in page
    text = said(started="")
    assert "That is by 25 Nov 2026 15:05 , when preparing begins 25 Nov 2026 14:05." in text
    assert "started 25 Nov 2026 14:05" in text


@pytest.mark.parametrize("typed", ["13:40", "1340", "2026-11-25 13:40", "2026-11-25T19:40Z"])
def test_what_is_typed_goes_before_the_clock(at_noon: None, typed: str) -> None:
    assert "That is by 25 Nov 2026 14:40 , when preparing begins 25 Nov 2026 13:40." in said(started=typed)


def test_a_form_without_the_box_counts_from_no_moment(at_noon: None) -> None:
    text = said()
    assert "Start giving within 1 h of starting to prepare" in text
    assert "when preparing begins" not in text


@pytest.mark.parametrize(
    ("typed", "rule"),
    [
        ("lunch", "a time is a day and a time of 24 h"),
        ("25:00", "a time is a day and a time of 24 h"),
        ("2026-03-08 02:30", "the clock of America/Chicago skips this time"),
        ("2026-11-01 01:30", "the clock of America/Chicago shows this time twice"),
    ],
)
def test_a_moment_that_cannot_be_is_told_at_its_box_and_nothing_is_planned(
    at_noon: None, typed: str, rule: str
) -> None:
    sent = form(ORDER, [BOTTLE], cup="cup-6", started=typed)
    page = client().post("/", sent).content.decode()
    assert rule in words(page)
    assert f'value="{typed}"' in page
    assert 'class="number"' not in page
    box = page.partition('id="fault-bench-started"')[2].partition("</div>")[0]
    assert rule in words(box)
    live = client().post("/", sent, headers={"hx-request": "true"}).content.decode()
    assert rule in words(live.partition('id="fault-bench-started"')[2].partition("</div>")[0])


def test_the_last_dose_is_held_against_it(at_noon: None) -> None:
    soon = words(
        client()
        .post("/", form(f"{ORDER}, last dose 2026-11-25 13:00", [BOTTLE], cup="cup-6", started=""))
        .content.decode()
    )
    assert "The last dose of albuterol was given 1 h 5 min before preparing began" in soon


@pytest.mark.usefixtures("storage")
def test_the_zone_is_that_of_the_site_that_was_chosen_else_of_the_first(monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.web import clock
    from drawndose.department.work.models import Site
    from tests.department.crew import crew

    monkeypatch.setattr(clock, "now", lambda: AT)
    on = crew()
    other = Site.objects.create(name="Ward 9", zone="Asia/Tokyo")
    browser = client()
    assert "America/Chicago shows 14:05" in words(browser.get("/").content.decode())
    browser.force_login(on.ana)
    browser.post("/me/", {"do": "site", "site": other.pk})
    assert "Asia/Tokyo shows 05:05" in words(browser.get("/").content.decode())


@pytest.mark.parametrize("zone", ["", "Nowhere/None", "../etc"])
def test_without_a_storage_and_with_a_zone_that_is_none_it_is_utc(
    monkeypatch: pytest.MonkeyPatch, at_noon: None, zone: str
) -> None:
    from django.conf import settings

    monkeypatch.setitem(settings.CHOSEN.values, "zone", zone)
    assert "The clock of UTC shows 20:05" in words(client().get("/").content.decode())


def test_a_storage_that_does_not_answer_stops_no_bench(monkeypatch: pytest.MonkeyPatch, at_noon: None) -> None:
    from django.db import OperationalError

    from drawndose.department.web import clock

    def away() -> bool:
        raise OperationalError("away")

    monkeypatch.setattr(clock, "_there", away)
    assert "America/Chicago shows 14:05" in words(client().get("/").content.decode())


def test_looking_for_a_site_makes_no_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    django()
    from django.db import connection

    from drawndose.department.web import clock

    if connection.vendor != "sqlite":
        pytest.skip("the storage is no file")
    monkeypatch.setitem(connection.settings_dict, "NAME", str(tmp_path / "none.sqlite3"))
    assert not clock._there()
    assert list(tmp_path.iterdir()) == []


def test_a_time_is_of_the_day_of_the_clock_beside_it() -> None:
    django()
    from zoneinfo import ZoneInfo

    from drawndose.department.web.clock import read_clock

    at = datetime(2026, 11, 25, 23, 50, tzinfo=ZoneInfo("America/Chicago"))
    assert read_clock("0:05", at, "x") == datetime(2026, 11, 25, 0, 5, tzinfo=ZoneInfo("America/Chicago"))
    with pytest.raises(Refused, match="x: "):
        read_clock("noon", at, "x")
