from datetime import date, datetime

import pytest
from hypothesis import given

from drawndose.reference.codes import element
from drawndose.reference.codes.elements import Element
from drawndose.reference.codes.meanings import is_past, last_use, says
from tests.reference.codes.given import UNHURRIED, YEAR, elements


@UNHURRIED
@given(elements())
def test_every_right_element_has_a_meaning_or_none(one: Element) -> None:
    text = says(one, year=YEAR)
    assert text == text.strip()
    assert "  " not in text


@pytest.mark.parametrize(
    ("ai", "value", "text"),
    [
        ("01", "00312345678906", "unit of sale or of use; NDC digits 1234567890, hyphens not known"),
        ("01", "50312345678901", "packaging level 5; NDC digits 1234567890, hyphens not known"),
        ("01", "06291041500213", "unit of sale or of use"),
        ("01", "96291041500216", "measure that varies"),
        ("10", "aB01", "compare exactly: capitals and leading zeros count"),
        ("17", "270600", "expires 30 Jun 2027 (day 00 means the last day of the month)"),
        ("17", "270615", "expires 15 Jun 2027"),
        ("11", "260102", "made 2 Jan 2026"),
        ("12", "260102", "2 Jan 2026"),
        ("30", "12", "12 items: a count, never a dose or a volume"),
        ("30", "0001", "1 item: a count, never a dose or a volume"),
        ("3103", "000500", "0.5 kg"),
        ("3152", "000250", "2.5 L"),
        ("7003", "2711300800", "expires 30 Nov 2027 08:00"),
        ("7007", "260101260203", "1 Jan 2026 to 3 Feb 2026"),
        ("7007", "260101", "1 Jan 2026"),
        ("7250", "19770131", "31 Jan 1977"),
        ("7251", "197701310805", "31 Jan 1977 08:05"),
        ("4324", "2601310805", "31 Jan 2026 08:05"),
        ("8008", "26013108", "31 Jan 2026 08"),
        ("715", "12345-678-90", "NDC 12345-678-90"),
        ("715", "1234567890", "NDC 1234-5678-90 or NDC 12345-678-90 or NDC 12345-6789-0"),
        ("715", "ABC", "not in a known layout of an NDC"),
        ("422", "999", "not checked against a list of country numbers"),
        ("240", "AB", ""),
    ],
)
def test_meanings(ai: str, value: str, text: str) -> None:
    assert says(element(ai, value, year=YEAR), year=YEAR) == text


def test_the_earliest_expiry_holds() -> None:
    gtin, day, moment = (
        element(ai, value, year=YEAR)
        for ai, value in (("01", "00312345678906"), ("17", "271130"), ("7003", "2711300800"))
    )
    assert last_use((gtin,), year=YEAR) is None
    assert last_use((gtin, day), year=YEAR) == date(2027, 11, 30)
    assert last_use((gtin, day, moment), year=YEAR) == datetime(2027, 11, 30, 8, 0)
    later = element("7003", "2712010800", year=YEAR)
    assert last_use((gtin, later, day), year=YEAR) == date(2027, 11, 30)


@pytest.mark.parametrize(
    ("expiry", "moment", "past"),
    [
        (date(2026, 11, 25), date(2026, 11, 25), False),
        (date(2026, 11, 25), datetime(2026, 11, 25, 23, 59), False),
        (date(2026, 11, 25), date(2026, 11, 26), True),
        (datetime(2026, 11, 25, 8, 0), datetime(2026, 11, 25, 7, 59), False),
        (datetime(2026, 11, 25, 8, 0), datetime(2026, 11, 25, 8, 0), True),
        (datetime(2026, 11, 25, 8, 0), date(2026, 11, 25), False),
        (datetime(2026, 11, 25, 8, 0), date(2026, 11, 26), True),
    ],
)
def test_a_day_lasts_to_its_end_and_a_moment_to_its_minute(expiry: date, moment: date, past: bool) -> None:
    assert is_past(expiry, moment) is past
