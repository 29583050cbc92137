"""When doses are due: elapsed time for an interval, the house's times of day for so many a day, across clock changes too."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import islice
from zoneinfo import ZoneInfo

import pytest

from tests.department.scene import scene

pytestmark = pytest.mark.usefixtures("storage")
CHICAGO = ZoneInfo("America/Chicago")
GIVEN = "albuterol 2.5 mg by nebulizer, made up to 3 mL"


def due(text: str, first: str, count: int = 6) -> list[str]:
    from drawndose.department.work.reading import reading_of
    from drawndose.department.work.times import moments

    start = datetime.fromisoformat(first).replace(tzinfo=CHICAGO)
    found = islice(moments(reading_of(f"{GIVEN}, {text}"), CHICAGO, start), count)
    return [one.astimezone(CHICAGO).strftime("%d %H:%M") for one in found]


def test_an_interval_is_elapsed_time() -> None:
    assert due("every 4 hours", "2026-11-25T13:20", 3) == ["25 13:20", "25 17:20", "25 21:20"]
    assert due("every 6 hours", "2026-10-31T22:00", 3) == ["31 22:00", "01 03:00", "01 09:00"]


def test_so_many_a_day_stand_at_the_house_times() -> None:
    assert due("three times daily", "2026-11-25T08:00", 5) == [
        "25 08:00",
        "25 14:00",
        "25 20:00",
        "26 08:00",
        "26 14:00",
    ]
    assert due("four times a day", "2026-11-25T08:00", 5) == [
        "25 08:00",
        "25 12:00",
        "25 16:00",
        "25 20:00",
        "26 08:00",
    ]
    assert due("twice daily", "2026-10-31T20:00", 3) == ["31 20:00", "01 08:00", "01 20:00"]


def test_after_a_first_dose_at_another_time_no_house_time_comes_too_near() -> None:
    assert due("three times daily", "2026-11-25T13:20", 3) == ["25 13:20", "25 20:00", "26 08:00"]
    assert due("three times daily", "2026-11-25T17:00", 3) == ["25 17:00", "26 08:00", "26 14:00"]
    assert due("once daily", "2026-11-25T23:00", 2) == ["25 23:00", "27 08:00"]


def test_more_a_day_than_the_house_has_times_for_are_shared_out() -> None:
    assert due("6 times a day", "2026-11-25T13:20", 3) == ["25 13:20", "25 17:20", "25 21:20"]


def test_a_single_dose_is_one_and_as_needed_has_none() -> None:
    assert due("once", "2026-11-25T13:20") == ["25 13:20"]
    assert due("every 4 hours as needed for wheeze", "2026-11-25T13:20") == []


def test_the_house_chooses_its_times() -> None:
    from drawndose.department.work.policy import choose

    on = scene()
    choose("times_3", "06:30, 14:30, 22:30", reason="shift change", by=on.cleo)
    assert due("three times daily", "2026-11-25T06:30", 4) == ["25 06:30", "25 14:30", "25 22:30", "26 06:30"]


def test_no_dose_of_a_day_is_ever_left_out_between_house_times() -> None:
    from drawndose.department.work.policy import choose

    on = scene()
    choose("times_4", "08:00, 09:00, 10:00, 20:00", reason="an odd ward", by=on.cleo)
    assert due("four times a day", "2026-11-25T08:00", 5) == [
        "25 08:00",
        "25 09:00",
        "25 10:00",
        "25 20:00",
        "26 08:00",
    ]


def test_a_house_time_that_the_clock_skips_is_still_one_moment() -> None:
    from drawndose.department.work.policy import choose

    on = scene()
    choose("times_2", "02:30, 14:30", reason="an odd ward", by=on.cleo)
    assert due("twice daily", "2027-03-13T14:30", 4) == ["13 14:30", "14 03:30", "14 14:30", "15 02:30"]


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_a_year_has_so_many_doses(count: int) -> None:
    from drawndose.department.work.reading import reading_of
    from drawndose.department.work.times import moments

    words = {1: "once daily", 2: "twice daily", 3: "three times daily", 4: "four times a day"}[count]
    first = datetime(2026, 1, 1, 8, tzinfo=CHICAGO)
    end = first + timedelta(days=365)
    found = []
    for moment in moments(reading_of(f"{GIVEN}, {words}"), CHICAGO, first):
        if moment >= end:
            break
        found.append(moment)
    assert len(found) == 365 * count
    assert found == sorted(set(found))
