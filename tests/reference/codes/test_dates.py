from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.reference.codes import dates
from tests.reference.codes.given import UNHURRIED

YEARS = st.integers(1100, 8900)


@UNHURRIED
@given(st.integers(0, 99), YEARS)
def test_two_digits_mean_a_year_at_most_fifty_away(two: int, current: int) -> None:
    full = dates.full_year(two, current)
    assert full % 100 == two
    assert -49 <= full - current <= 50


@pytest.mark.parametrize(
    ("two", "current", "full"), [(76, 2026, 2076), (77, 2026, 1977), (21, 2071, 2121), (22, 2071, 2022)]
)
def test_the_edges_of_the_window(two: int, current: int, full: int) -> None:
    assert dates.full_year(two, current) == full


@pytest.mark.parametrize("current", [0, 26, 999, 9000])
def test_a_current_year_has_four_digits(current: int) -> None:
    with pytest.raises(ValueError, match="four digits"):
        dates.full_year(1, current)


@UNHURRIED
@given(YEARS, st.integers(1, 12))
def test_the_last_day_is_followed_by_another_month(year: int, month: int) -> None:
    last = date(year, month, dates.last_day(year, month))
    assert (last + timedelta(days=1)).day == 1


@UNHURRIED
@given(st.data())
def test_a_day_in_the_window_comes_back(draw: st.DataObject) -> None:
    year = draw.draw(YEARS)
    day = draw.draw(st.dates(date(year - 49, 1, 1), date(year + 50, 12, 31)))
    made = dates.read(dates.write(dates.Day(day, False)), year=year)
    assert made == dates.Day(day, False)
    whole = dates.read(f"{day:%y%m}00", year=year)
    assert whole.date == day.replace(day=dates.last_day(day.year, day.month))
    assert dates.read(dates.write(whole), year=year) == whole


@UNHURRIED
@given(st.text(alphabet="0123456789", min_size=6, max_size=6), st.booleans())
def test_six_digits_are_a_day_or_refused(text: str, day_00: bool) -> None:
    try:
        made = dates.read(text, year=2026, day_00=day_00)
    except Refused:
        return
    assert dates.write(made) == text
    assert day_00 or not made.whole_month


@pytest.mark.parametrize("text", ["", "27063", "2706300", "27O630", "27\uff10630", "-27063"])
def test_what_is_not_six_digits_is_refused(text: str) -> None:
    with pytest.raises(Refused, match="six digits"):
        dates.read(text, year=2026)


@pytest.mark.parametrize("text", ["260010", "261301", "260431", "270229", "00000101", "20260931"])
def test_a_day_that_does_not_exist_is_refused_and_the_printed_date_asked_for(text: str) -> None:
    with pytest.raises(Refused, match="there is no such day") as refused:
        dates.read(text, year=2026)
    assert refused.value.faults[0].accepted == dates.PRINTED


def test_day_00_is_refused_where_it_is_not_used() -> None:
    with pytest.raises(Refused, match="day 00 is not used"):
        dates.read("270200", year=2026, day_00=False)
    with pytest.raises(Refused, match="day 00 is not used"):
        dates.read_moment("2711000800", year=2026)


def test_a_century_leap_day() -> None:
    assert dates.read("000229", year=2026).date == date(2000, 2, 29)
    with pytest.raises(Refused, match="no such day"):
        dates.read("000229", year=2076)  # the year 2100 has none


def test_eight_digits_need_no_window() -> None:
    assert dates.read("19770101", year=2026).date == date(1977, 1, 1)


def test_a_moment() -> None:
    assert dates.read_moment("2711302359", year=2026) == datetime(2027, 11, 30, 23, 59)
    for text in ("2711302400", "2711301260"):
        with pytest.raises(Refused, match="no such time"):
            dates.read_moment(text, year=2026)
    with pytest.raises(Refused, match="ten digits"):
        dates.read_moment("271130080", year=2026)


def test_what_people_read() -> None:
    assert dates.told(date(2027, 6, 30)) == "30 Jun 2027"
    assert dates.told(datetime(2027, 6, 3, 8, 5)) == "3 Jun 2027 08:05"
    assert str(dates.read("270600", year=2026)) == "30 Jun 2027 (day 00 means the last day of the month)"
    assert str(dates.read("270603", year=2026)) == "3 Jun 2027"
