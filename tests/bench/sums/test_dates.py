"""Days and moments."""

from datetime import date

import pytest

from drawndose.bench.sums import work
from drawndose.bench.sums.dates import read_expiry
from drawndose.bench.verification import Status
from drawndose.quantities import Refused
from tests.bench.sums.asking import Row, faults, label, outcome, wrong

ROWS: list[Row] = [
    ("beyond_use_date", {"opened": "2024-02-10", "period": "28 days"}, "", "2024-03-09"),
    ("beyond_use_date", {"opened": "2022-01-05", "period": "6 months"}, "", "2022-07-05"),
    ("beyond_use_date", {"opened": "Jan 5, 2022", "period": "30 d"}, "", "2022-02-04"),
    ("expiry_date", {"printed_expiry": "Feb 2024"}, "", "2024-02-29"),
    ("expiry_date", {"printed_expiry": "2024-02"}, "", "2024-02-29"),
    ("expiry_date", {"printed_expiry": "06/24"}, "", "2024-06-30"),
    ("expiry_date", {"printed_expiry": "2025-07-14"}, "", "2025-07-14"),
    ("expiry_date", {"printed_expiry": "13/2025"}, "", "invalid"),
    ("expiry_date", {"printed_expiry": "2026-02-30"}, "", "invalid"),
    ("expiry_date", {"printed_expiry": "EXP 2026 MAR"}, "", "2026-03-31"),
    ("discard_date", {"opened": "2026-03-15", "period": "28 d", "printed_expiry": "2026-02"}, "", "invalid"),
    ("discard_date", {"opened": "2026-03-15", "period": "96 h"}, "", "2026-03-19"),
    ("discard_date", {"opened": "2026-03-15 08:00", "period": "96 h"}, "", "2026-03-19 08:00"),
    ("discard_date", {"opened": "2024-02-10", "period": "28 d"}, "", "2024-03-09"),
    ("discard_date", {"opened": "2026-02-30", "period": "28 d"}, "", "invalid"),
    ("discard_date", {"opened": "2026-03-15", "period": "28 d", "printed_expiry": "2026-12-31"}, "", "2026-04-12"),
    ("limit_time", {"start": "2026-11-25 22:15", "period": "1 h"}, "", "2026-11-25 23:15"),
    ("limit_time", {"start": "2024-02-28 22:15", "period": "48 h"}, "", "2024-03-01 22:15"),
    ("limit_time", {"start": "2026-11-25", "period": "4 h"}, "", "invalid"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_the_opening_day_is_day_0() -> None:
    worked = work("discard_date", {"opened": "2026-03-15", "period": "28 days"})
    assert worked.lines == ("opened 2026-03-15 is day 0; + 28 days = 2026-04-12",)
    assert wrong("discard_date", opened="2026-03-15", period="28 d") == {"opening day counted as day 1": "2026-04-11"}


def test_the_printed_expiry_cuts_it_short() -> None:
    given = {"opened": "2026-03-15", "period": "28 d", "printed_expiry": "2026-03"}
    worked = work("discard_date", given)
    assert worked.lines[1:] == (
        "printed 2026-03: last day 2026-03-31, the last day of that month",
        "the earlier of the two: 2026-03-31",
    )
    assert wrong("discard_date", **given) == {"printed expiry left out": "2026-04-12"}


def test_midnight() -> None:
    assert wrong("limit_time", start="2026-11-25 22:15", period="4 h") == {"midnight forgotten": "2026-11-25 02:15:00"}
    assert wrong("limit_time", start="2026-11-25 10:15", period="24 h") == {}
    assert wrong("limit_time", start="2026-11-25 10:15", period="30 min") == {}
    assert wrong("limit_time", start="2026-11-25", period="4 days") == {}


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("31 MAR 2023", "2023-03-31"),
        ("MAR 31, 2023", "2023-03-31"),
        ("2023 MAR 31", "2023-03-31"),
        ("MAR2023", "2023-03-31"),
        ("12/2023", "2023-12-31"),
        ("31.03.2023", "2023-03-31"),
        ("03/31/2023", "2023-03-31"),
        ("05/05/2023", "2023-05-05"),
        ("EXP: Feb 24", "2024-02-29"),
        ("EXP2024-02", "2024-02-29"),
        ("exp. date Feb 2024", "2024-02-29"),
    ],
)
def test_printed_forms(text: str, day: str) -> None:
    assert str(work("expiry_date", {"printed_expiry": text}).answer) == day


@pytest.mark.parametrize(
    "text", ["soon", "03/04/2023", "31/03/23", "13/2023", "2023", "1 2 3 4", "March", "2023-02-29"]
)
def test_what_could_be_two_days_or_none_is_refused(text: str) -> None:
    assert [field for field, _ in faults("expiry_date", printed_expiry=text)] == ["printed_expiry"]


@pytest.mark.parametrize("period", ["28", "0 days", "28 moons", "9999 years", "9999999 days", "5 h"])
def test_what_is_no_period_is_refused(period: str) -> None:
    assert [field for field, _ in faults("discard_date", opened="2026-03-15", period=period)] == ["period"]


@pytest.mark.parametrize("opened", ["", "2026-03", "2026-03-15 25:00", "2026-03-15 12:60"])
def test_what_is_no_moment_is_refused(opened: str) -> None:
    assert [field for field, _ in faults("discard_date", opened=opened, period="28 days")] == ["opened"]


def test_months_and_years() -> None:
    assert str(work("discard_date", {"opened": "2024-01-31", "period": "1 month"}).answer) == "2024-02-29"
    assert str(work("discard_date", {"opened": "2024-02-29", "period": "1 year"}).answer) == "2025-02-28"
    assert str(work("discard_date", {"opened": "2026-12-01", "period": "2 weeks"}).answer) == "2026-12-15"
    assert str(work("discard_date", {"opened": "2026-12-01", "period": "2880 min"}).answer) == "2026-12-03"


def test_a_moment_of_opening_and_an_expiry() -> None:
    given = {"opened": "2026-03-15 08:00", "period": "28 d", "printed_expiry": "2026-03-20"}
    assert str(work("discard_date", given).answer) == "2026-03-20"


def test_every_missing_input_is_named() -> None:
    assert [field for field, _ in faults("discard_date")] == ["opened", "period"]


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("25 Marmalade 2026", "a date is needed"),
        ("30 Juneb 2027", "a date is needed"),
        ("Decade 2027", "a date is needed"),
        ("expJun 20", "a date is needed"),
        ("use byJune 2027", "a date is needed"),
        ("Nov 202", "a year is four figures"),
        ("Nov 20277", "a year is four figures"),
        ("025 Nov 2027", "a year is four figures"),
    ],
)
def test_half_a_word_is_no_month_and_three_figures_are_no_year(text: str, rule: str) -> None:
    with pytest.raises(Refused) as refused:
        read_expiry(text)
    assert [fault.rule for fault in refused.value.faults] == [rule]


@pytest.mark.parametrize("text", ["30 Nov 2027", "30 NOVEMBER 2027", "30 Novem 2027", "Nov. 30, 2027", "30NOV2027"])
def test_a_month_is_its_name_or_the_beginning_of_it(text: str) -> None:
    assert read_expiry(text) == (date(2027, 11, 30), False)
