import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.reference.codes.element_strings import MOST_STEPS, read, write
from drawndose.reference.codes.elements import SEPARATOR, Elements, pairing
from tests.reference.codes.given import ON_MEDICINES, UNHURRIED, YEAR, items

TEXT = st.text(alphabet="0123456789ABab-/()%\x1d ", max_size=60)


def told(found: Elements | None) -> str:
    return " ".join(map(str, found)) if found is not None else "none"


@UNHURRIED
@given(items())
def test_what_is_written_is_read_where_separators_are_sent(made: Elements) -> None:
    found = read(write(made), year=YEAR, separators_sent=True)
    assert found.plain == made
    assert found.others == ()
    assert found.faults == ()


@UNHURRIED
@given(items(names=ON_MEDICINES))
def test_without_its_separators_the_true_reading_is_among_those_found(made: Elements) -> None:
    found = read(write(made).replace(SEPARATOR, ""), year=YEAR)
    assert found.broken_off or made in {found.plain, *found.others}


@UNHURRIED
@given(items(names=ON_MEDICINES))
def test_a_separator_behind_every_value_is_tolerated(made: Elements) -> None:
    data = "".join(f"{one.ai}{one.value}{SEPARATOR}" for one in made)
    assert read(data, year=YEAR).plain == made


@UNHURRIED
@given(TEXT)
def test_any_text_is_read_or_has_faults(data: str) -> None:
    found = read(data, year=YEAR)
    assert (found.plain is None) is bool(found.faults)
    for reading in found.others:
        assert "".join(f"{one.ai}{one.value}" for one in reading) == data.replace(SEPARATOR, "")
    if found.plain is not None:
        assert "".join(f"{one.ai}{one.value}" for one in found.plain) == data.replace(SEPARATOR, "")
        assert read(write(found.plain), year=YEAR, separators_sent=True).plain == found.plain


@pytest.mark.parametrize(
    ("data", "plain", "others"),
    [
        ("010031234567890610AB12", "(01)00312345678906 (10)AB12", []),
        (
            "010031234567890610AB1217270200",
            "(01)00312345678906 (10)AB1217270200",
            ["(01)00312345678906 (10)AB12 (17)270200", "(01)00312345678906 (10)AB1 (21)7270200"],
        ),
        ("010031234567890610AB12\x1d17270200", "(01)00312345678906 (10)AB12 (17)270200", []),
        # the date behind the lot is impossible, so no other reading has it
        ("010031234567890610AB17275599", "(01)00312345678906 (10)AB17275599", []),
        # over twenty characters: the plain reading is wrong, and the other is still only a possibility
        (
            "0100312345678906" + "10ABCDEFGHIJKLMNOPQRST17270630",
            "none",
            ["(01)00312345678906 (10)ABCDEFGHIJKLMNOPQRST (17)270630"],
        ),
        (
            "0100312345678906" + "3012" + "17270630",
            "none",
            ["(01)00312345678906 (30)12 (17)270630", "(01)00312345678906 (30)1 (21)7270630"],
        ),
        ("7003271130080010AB" + "\x1d", "none", []),
        ("010031234567890670032711300800" + "10AB", "none", ["(01)00312345678906 (7003)2711300800 (10)AB"]),
    ],
)
def test_readings(data: str, plain: str, others: list[str]) -> None:
    found = read(data, year=YEAR)
    assert told(found.plain) == plain
    assert [told(one) for one in found.others if not pairing(one)] == others


def test_a_scanner_that_is_known_to_send_separators_leaves_no_question() -> None:
    found = read("010031234567890610AB1217270200", year=YEAR, separators_sent=True)
    assert told(found.plain) == "(01)00312345678906 (10)AB1217270200"
    assert found.others == ()


def test_even_then_a_value_that_is_too_long_is_shown_with_its_readings() -> None:
    found = read("010031234567890610ABCDEFGHIJKLMNOPQRST17270630", year=YEAR, separators_sent=True)
    assert found.plain is None
    assert len(found.others) == 1


@pytest.mark.parametrize(
    ("data", "rules"),
    [
        ("", ["the length is not what the standard allows"]),
        ("04X", ["no application identifier begins so"]),
        ("10A\x1d\x1d17270630", ["no application identifier begins so"]),
        ("10A\x1d10B", ["the same field stands twice"]),
        ("0100312345678907" + "17261301", ["the check digit does not hold", "there is no such day"]),
        ("01003\x1d10A", ["the length is not what the standard allows"]),
    ],
)
def test_faults_of_the_plain_reading_are_gathered(data: str, rules: list[str]) -> None:
    assert [fault.rule for fault in read(data, year=YEAR).faults] == rules


def test_a_search_without_end_is_broken_off_and_says_so() -> None:
    # (91) up to 90 characters, then serials, customer parts and the like: far more ways than anyone would read
    digits = "2130240241250251" * 40
    found = read("0100312345678906" + "".join(f"9{n}{digits[: 60 + n]}" for n in range(1, 8)), year=YEAR)
    assert found.broken_off
    assert len(found.others) < MOST_STEPS


def test_year_decides_whether_a_leap_day_exists() -> None:
    assert read("0100312345678906" + "17000229", year=2026).plain is not None
    assert read("0100312345678906" + "17000229", year=2080).plain is None
