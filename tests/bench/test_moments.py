"""Elapsed time across clock changes, calendar days, month ends, and how a wall-clock time is read."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.bench.moments import (
    Span,
    days_in,
    end_of,
    is_over,
    months_later,
    read_moment,
    read_span,
    told,
    told_end,
)
from drawndose.quantities import Refused

CHICAGO = ZoneInfo("America/Chicago")
ZONES = [ZoneInfo(name) for name in ("America/Chicago", "Europe/Berlin", "Australia/Lord_Howe", "Asia/Kolkata", "UTC")]
MOMENTS = st.datetimes(datetime(2020, 1, 1), datetime(2040, 12, 31), timezones=st.sampled_from(ZONES))


def at(text: str, zone: ZoneInfo = CHICAGO) -> datetime:
    return read_moment(text, zone, "started")


@pytest.mark.parametrize(
    ("start", "span", "ends"),
    [
        # 01 Nov 2026 02:00 the clock goes back an hour; 08 Mar 2026 02:00 it goes forward
        ("2026-11-01 00:30", "4 h", "01 Nov 2026 03:30"),
        ("2026-03-08 00:30", "4 h", "08 Mar 2026 05:30"),
        ("2026-11-25 22:15", "4 h", "26 Nov 2026 02:15"),
        ("2028-02-28 23:30", "1 h", "29 Feb 2028 00:30"),
        ("2026-02-28 23:30", "1 h", "01 Mar 2026 00:30"),
        ("2026-12-31 23:30", "45 min", "01 Jan 2027 00:15"),
        ("2026-11-24 08:00", "96 h", "28 Nov 2026 08:00"),
    ],
)
def test_hours_are_elapsed_time(start: str, span: str, ends: str) -> None:
    life = read_span(span)
    assert life is not None
    assert told(life.after(at(start))) == ends


@pytest.mark.parametrize(
    ("start", "span", "last"),
    [
        ("2026-03-15 23:59", "28 d", "12 Apr 2026"),
        ("2026-02-10 00:00", "28 d", "10 Mar 2026"),
        ("2028-02-10 12:00", "28 d", "09 Mar 2028"),
        ("2026-10-20 12:00", "14 d", "03 Nov 2026"),
        ("2026-01-31 12:00", "1 month", "28 Feb 2026"),
        ("2028-01-31 12:00", "1 month", "29 Feb 2028"),
        ("2026-11-30 12:00", "3 months", "28 Feb 2027"),
        ("2026-11-25 12:00", "6 weeks", "06 Jan 2027"),
    ],
)
def test_days_are_calendar_days_and_last_to_their_end(start: str, span: str, last: str) -> None:
    life = read_span(span)
    assert life is not None
    over_at = life.after(at(start))
    assert told_end(over_at) == f"the end of {last}"
    assert not is_over(over_at, over_at - timedelta(minutes=1))
    assert is_over(over_at, over_at)


@given(MOMENTS, st.integers(1, 2000))
def test_so_many_hours_later_is_so_much_elapsed_time(start: datetime, hours: int) -> None:
    later = Span(hours, "h").after(start)
    assert later.astimezone(UTC) - start.astimezone(UTC) == timedelta(hours=hours)
    assert later.tzinfo is start.tzinfo


@given(MOMENTS, st.integers(1, 400))
def test_a_life_in_days_ends_when_its_last_day_does(start: datetime, days: int) -> None:
    over_at = Span(days, "day").after(start)
    assert over_at == end_of(start.date() + timedelta(days=days), start)
    assert not is_over(over_at, start)


@given(st.dates(date(2020, 1, 1), date(2040, 1, 1)), st.integers(0, 60))
def test_months_later_keeps_the_day_or_takes_the_last_one(start: date, months: int) -> None:
    later = months_later(start, months)
    assert (later.year * 12 + later.month) - (start.year * 12 + start.month) == months
    assert later.day == min(start.day, days_in(later.year, later.month))


def test_the_calendar_ends() -> None:
    with pytest.raises(OverflowError):
        months_later(date(9999, 12, 1), 1)


def test_a_life_needs_a_zone() -> None:
    with pytest.raises(ValueError, match="with its zone"):
        Span(4, "h").after(datetime(2026, 11, 25, 14, 5))


@pytest.mark.parametrize("text", ["at once", "none printed", "0 d", "1.5 h", "28", "28d", "d", "100000 d"])
def test_words_are_no_span(text: str) -> None:
    assert read_span(text) is None


def test_spans_are_said_in_full() -> None:
    spans = ["96 h", "90 min", "1 d", "28 d", "1 week", "6 weeks", "1 month", "3 months"]
    said = [span.says for span in map(read_span, spans) if span is not None]
    assert said == ["96 h", "90 min", "1 day", "28 days", "1 week", "6 weeks", "1 month", "3 months"]


def test_a_time_that_the_clock_shows_twice_is_asked_for() -> None:
    with pytest.raises(Refused) as refused:
        at("2026-11-01 01:30")
    (fault,) = refused.value.faults
    assert "shows this time twice" in fault.rule
    first, second = (at(text) for text in fault.accepted.split(" or "))
    assert second.astimezone(UTC) - first.astimezone(UTC) == timedelta(hours=1)
    assert told(first) == "01 Nov 2026 01:30 (UTC-05:00)"
    assert told(second) == "01 Nov 2026 01:30 (UTC-06:00)"


def test_a_time_that_the_clock_skips_is_refused() -> None:
    with pytest.raises(Refused, match="skips this time"):
        at("2026-03-08 02:30")


@pytest.mark.parametrize(
    "text", ["25 Nov 2026 14:05", "2026-11-25", "2026-02-29 10:00", "2026-11-25 24:00", "", "2026-11-25 2:05 pm"]
)
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(Refused) as refused:
        at(text)
    assert refused.value.faults[0].accepted == "2026-11-25 14:05"


@given(MOMENTS)
def test_a_time_with_its_offset_is_read_back(moment: datetime) -> None:
    minute = moment.replace(second=0, microsecond=0).astimezone(UTC).astimezone(moment.tzinfo)
    zone = moment.tzinfo
    assert isinstance(zone, ZoneInfo)
    assert read_moment(minute.isoformat(" ", "minutes"), zone, "at").astimezone(UTC) == minute.astimezone(UTC)
