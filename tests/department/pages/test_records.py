"""Records and the day report: what is searched, what is refused with a sentence, what became of every due dose."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.department.furnished import TID, furnished, ward
from tests.department.pages.test_board import plans, scans
from tests.department.scene import BOTTLE, labelled, order, received
from tests.pages import said, signed

pytestmark = pytest.mark.usefixtures("storage")


@pytest.mark.parametrize(
    ("query", "count"),
    [
        ("", 5),
        ("number=204118", 5),
        ("number=310472", 0),
        ("words=albuterol+3+mL", 5),
        ("words=ipratropium", 0),
        ("lot=4k21", 4),
        ("lot=L7X", 0),
        ("person=cleo", 2),
        ("person=ana&state=planned", 1),
        ("state=closed", 1),
        ("first=01 Jan 2020&last=31 Jan 2020", 0),
        ("number=204118&state=labelled&person=ana&lot=4K21", 2),
    ],
)
def test_sheets_are_found_by_what_is_known_of_them(query: str, count: int) -> None:
    made = furnished()
    text = said(signed(made.on.ben).get(f"/records/?{query}"))
    assert f": {count} sheet" in text, text[:900]
    assert text.count("born 05 Nov 1961 no. 204118") == count


@pytest.mark.parametrize(
    ("query", "told"),
    [
        ("number=204119", "no patient here has this number"),
        ("person=nobody", "nobody here signs in with this name"),
        ("state=lost", "no such state"),
        ("first=11/05/2026", "read in one way only"),
        ("first=2026-02-01&last=2026-01-01", "first day is after the last"),
        ("first=2020-01-01&last=2026-01-01", "at most a year at once"),
        ("number=" + "9" * 5_000, "no patient here has this number"),
    ],
)
def test_what_cannot_be_searched_is_told_and_finds_nothing(query: str, told: str) -> None:
    made = furnished()
    answer = signed(made.on.ben).get(f"/records/?{query}")
    assert (answer.status_code, told in said(answer)) == (422, True)
    assert "no. 204118" not in said(answer)


def test_more_than_a_page_goes_on_without_a_gap(monkeypatch: pytest.MonkeyPatch) -> None:
    import re

    from drawndose.department.work import records

    made = furnished()
    monkeypatch.setattr(records, "PAGE", 2)
    browser, address, seen = signed(made.on.ben), "/records/?words=albuterol", []
    for _ in range(4):
        page = browser.get(address).content.decode()
        seen += [int(number) for number in re.findall(r">Sheet (\d+):", page)]
        older = re.search(r'href="(\?[^"]*before=\d+[^"]*)"', page)
        if older is None:
            break
        address = f"/records/{older[1].replace('&amp;', '&')}"
    assert seen == sorted(set(seen), reverse=True)
    assert len(seen) == 5


def test_with_two_sites_a_time_says_by_whose_clock_it_is() -> None:
    from drawndose.department.work.models import Site

    made = furnished()
    assert "by its clock" not in said(signed(made.on.ana).get("/records/"))
    Site.objects.create(name="Clinic", zone="America/New_York")
    assert f"{made.on.site.name}, by its clock" in said(signed(made.on.ana).get("/records/"))


def test_an_empty_department_says_what_fills_the_records() -> None:
    made = ward()
    assert "Records appear here when a preparation is begun" in said(signed(made.on.ben).get("/records/"))


def test_searching_reads_no_whole_table() -> None:
    from datetime import date

    from django.db import connection

    from drawndose.department.work.places import zone_of
    from drawndose.department.work.records import Wanted, search

    if connection.vendor != "sqlite":
        pytest.skip("SQLite's plan is looked at")
    made = furnished()
    for wanted in (Wanted(), Wanted(number="204118"), Wanted(lot="4K21"), Wanted(words="albuterol", state="closed")):
        found = plans(lambda wanted=wanted: search(wanted, zone_of(made.on.site), date(2026, 11, 25)))
        assert scans(found) == [], wanted


def test_the_day_says_what_became_of_every_dose() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import due, giving, orders, shelf
    from drawndose.department.work.models import DueDose, Preparation

    made = ward()
    given, _, _ = labelled(made.on)
    giving.give(given, "204118", "1961-11-05", by=made.on.cleo, version=given.version)
    late, _, _ = labelled(made.on)
    giving.give(late, "204118", "1961-11-05", by=made.on.cleo, version=late.version)
    hours = [now() - timedelta(hours=count) for count in (3, 2, 1)]
    past = dict(zip(("from_at", "due_at", "to_at"), hours, strict=True))
    DueDose.objects.filter(pk=late.dose_id).update(**past)
    refused = order(made.on, TID).duedose_set.order_by("due_at").first()
    due.not_given(
        refused, by=made.on.cleo, version=refused.version, reason="refused by the patient", told="Dr. Invented"
    )
    ended = order(made.on)
    orders.end(ended, by=made.on.ana, version=ended.version, reason="goes home")
    moment = now()
    order(made.on, ordered_at=moment - timedelta(hours=3), first_at=moment - timedelta(hours=2, minutes=30))
    bottle = received(made.on, BOTTLE, "20 mL", lot="B8")
    shelf.doubt(bottle, by=made.on.ana, version=bottle.version, reason="cap was off")
    from drawndose.department.work.day import day
    from drawndose.department.work.places import local

    found = day(local(made.on.site, moment).date(), made.on.site, now())
    counts = found.outcomes
    assert (counts["in time"], counts["late"], counts["not given"], counts["still open"]) == (1, 1, 1, 1)
    assert counts["dropped"] > 0
    assert Preparation.objects.count() == 2
    text = said(signed(made.max).get("/day/"))
    for part in (
        "late 1",
        "not given 1",
        "not given : refused by the patient",
        "Orders entered 5",
        "Not given Model, Dora, no. 204118",
        f"Doubted container {bottle.pk}, albuterol 0.5 % solution, dropper bottle, 20 mL, lot B8",
    ):
        assert part in text, part


def test_a_day_is_by_the_clock_of_the_site() -> None:
    from datetime import date, datetime
    from zoneinfo import ZoneInfo

    from drawndose.department.work.day import day
    from drawndose.department.work.models import DueDose

    made = ward()
    dose = order(made.on).duedose_set.order_by("due_at").first()
    made.on.site.zone = "America/Chicago"
    made.on.site.save()
    evening = datetime(2026, 11, 24, 23, 30, tzinfo=ZoneInfo("America/Chicago"))
    DueDose.objects.exclude(pk=dose.pk).delete()
    DueDose.objects.filter(pk=dose.pk).update(due_at=evening, from_at=evening, to_at=evening)
    later = evening + timedelta(days=1)
    assert [len(day(on, made.on.site, later).doses) for on in (date(2026, 11, 24), date(2026, 11, 25))] == [1, 0]


def test_a_day_without_anything_and_a_day_that_is_none() -> None:
    made = ward()
    browser = signed(made.max)
    assert "Nothing happened on this day" in said(browser.get("/day/?on=2020-01-01"))
    wrong = browser.get("/day/?on=11/25/2026")
    assert (wrong.status_code, "read in one way only" in said(wrong)) == (422, True)
    for out in ("9999-12-31", "0001-01-01", "1999-12-31"):
        for address in (f"/day/?on={out}", f"/records/?first={out}", f"/records/?last={out}"):
            answer = browser.get(address)
            assert (answer.status_code, "a day between them" in said(answer)) == (422, True), address
    assert signed(made.on.ana).get("/day/").status_code == 403


def test_the_day_reads_no_whole_table() -> None:
    from django.db import connection

    from drawndose.department.ledger.append import now
    from drawndose.department.work.day import day

    if connection.vendor != "sqlite":
        pytest.skip("SQLite's plan is looked at")
    made = furnished()
    assert scans(plans(lambda: day(now().date(), made.on.site, now()))) == []
