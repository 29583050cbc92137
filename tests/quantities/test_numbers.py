import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Manner, Refused, read_number, show_number
from drawndose.quantities.numbers import exact, is_decimal
from tests.strategies import numbers

NOT_ORDER = (Manner.READING, Manner.DATA)
SHAPE = "a number is digits with at most one point"
POINT = "a point without a digit before it is read as ten times more"
ZERO = "a zero at the end of a decimal is read as ten times more"
LEADING = "a number does not start with 0 and another digit"
GROUPS = "commas must part thousands in groups of three"


def faults_of(text: str, manner: Manner = Manner.DATA) -> list[tuple[str, str]]:
    with pytest.raises(Refused) as refusal:
        read_number(text, manner=manner)
    return [(fault.rule, fault.accepted) for fault in refusal.value.faults]


@pytest.mark.parametrize("manner", Manner)
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0", Fraction(0)),
        ("5", Fraction(5)),
        ("0.5", Fraction(1, 2)),
        ("10", Fraction(10)),
        ("0.083", Fraction(83, 1000)),
        ("1000", Fraction(1000)),
        ("1,000", Fraction(1000)),
        ("1,234,567.25", Fraction(123456725, 100)),
        (" 5\u00a0", Fraction(5)),
        ("123456789012345", Fraction(123456789012345)),
    ],
)
def test_a_plain_number_is_read_in_every_manner(text: str, value: Fraction, manner: Manner) -> None:
    assert read_number(text, manner=manner) == value


@pytest.mark.parametrize(
    ("text", "value", "rules", "accepted"),
    [
        (".5", Fraction(1, 2), [POINT], "0.5"),
        ("1.0", Fraction(1), [ZERO], "1"),
        ("0.50", Fraction(1, 2), [ZERO], "0.5"),
        (".50", Fraction(1, 2), [POINT, ZERO], "0.5"),
        ("10.00", Fraction(10), [ZERO], "10"),
        ("0.0", Fraction(0), [ZERO], "0"),
        ("1,000.0", Fraction(1000), [ZERO], "1,000"),
    ],
)
def test_points_and_zeros_that_get_lost_are_refused_in_an_order_and_read_elsewhere(
    text: str, value: Fraction, rules: list[str], accepted: str
) -> None:
    assert faults_of(text, Manner.ORDER) == [(rule, accepted) for rule in rules]
    for manner in NOT_ORDER:
        assert read_number(text, manner=manner) == value


@pytest.mark.parametrize("manner", Manner)
@pytest.mark.parametrize(
    ("text", "point", "group", "accepted"),
    [
        ("1,5", "1.5", "15", "1.5, or 15"),
        ("2,25", "2.25", "225", "2.25, or 225"),
        ("0,500", "0.5", "500", "0.5, or 500"),
        ("1,0", "1", "10", "1, or 10"),
        ("1234,567", "1,234.567", "1,234,567", "1,234.567, or 1,234,567"),
        ("0,0", "0", "0", "0"),
    ],
)
def test_a_comma_with_two_readings_is_asked_back(
    text: str, point: str, group: str, accepted: str, manner: Manner
) -> None:
    rule = f"a comma must part thousands, and {text} could be {point} or {group}"
    assert faults_of(text, manner) == [(rule, accepted)]


@pytest.mark.parametrize("text", ["1,00,000", "1,,000", "5,", "1,000,", "1,5.2", "10,0000.5"])
def test_commas_out_of_place_are_refused(text: str) -> None:
    assert faults_of(text) == [(GROUPS, "1,000 or 1000")]


@pytest.mark.parametrize(
    ("text", "accepted"),
    [
        ("05", "0.5, or 5"),
        ("007", "0.07, or 7"),
        ("010", "0.1, or 10"),
        ("00", "0"),
        ("00.5", "0.5"),
        ("01.25", "1.25"),
    ],
)
@pytest.mark.parametrize("manner", Manner)
def test_leading_zeros_are_refused(text: str, accepted: str, manner: Manner) -> None:
    assert faults_of(text, manner) == [(LEADING, accepted)]


def test_all_faults_of_one_number_come_together() -> None:
    assert faults_of("05.50", Manner.ORDER) == [(ZERO, "5.5"), (LEADING, "5.5")]


@pytest.mark.parametrize("manner", Manner)
@pytest.mark.parametrize(
    "text",
    [
        *(
            "",
            " ",
            ".",
            ",",
            ",5",
            "5.",
            "1.2.3",
            "1..2",
            "-5",
            "+5",
            "\u22125",
            "1e3",
            "1E3",
            "0x10",
            "1_000",
            "1 000",
        ),
        *("inf", "-inf", "Infinity", "nan", "NaN", "\u221e", "five", "\u00bd", "5\u00b2", "5\u0301", "\U0001f4a7"),
        *("\u0665", "\uff15", "\u0967\u0968", "5\u200b", "1\u00a0000", "5'000", "5/", "/5", "5%"),
    ],
)
def test_what_is_not_a_plain_number_is_refused(text: str, manner: Manner) -> None:
    assert faults_of(text, manner) == [(SHAPE, "0.5, 2.5, 1,000")]


@pytest.mark.parametrize("text", ["1234567890123456", "0.0000000000000001", "1" * 10_000, "1," * 20 + "1"])
def test_a_number_longer_than_any_dose_is_refused(text: str) -> None:
    assert faults_of(text) == [("a number has at most 15 digits", "a shorter number")]


@pytest.mark.parametrize(
    ("text", "value"), [("227/2", Fraction(227, 2)), ("0/3", Fraction(0)), ("999999999999999/1", 999999999999999)]
)
def test_a_fraction_is_data_and_nothing_else(text: str, value: Fraction) -> None:
    assert read_number(text) == value
    for manner in (Manner.ORDER, Manner.READING):
        assert faults_of(text, manner) == [(SHAPE, "0.5, 2.5, 1,000")]


@pytest.mark.parametrize(
    "text", ["01/2", "1/02", "1/2/3", "1.5/2", "1,000/3", "1/1234567890123456", "1234567890123456/7", "-1/2"]
)
def test_a_fraction_is_two_plain_whole_numbers(text: str) -> None:
    assert faults_of(text) == [(SHAPE, "0.5, 2.5, 1,000")]


def test_a_fraction_over_nothing_is_refused() -> None:
    assert faults_of("5/0") == [("a fraction cannot be over 0", "1/2")]


@pytest.mark.parametrize("value", [0.5, float("nan"), float("inf"), True, False, "5", Decimal(5), None, 5j])
def test_only_an_int_or_a_fraction_is_exact(value: object) -> None:
    with pytest.raises(TypeError, match=r"^the dose must be an int or a Fraction \(got .+, a \w+\)$"):
        exact(value, "the dose")


@pytest.mark.parametrize("value", [-1, Fraction(-1, 10**9)])
def test_nothing_exact_is_negative(value: Fraction) -> None:
    with pytest.raises(ValueError, match=r"^the dose must not be negative"):
        exact(value, "the dose")


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (Fraction(0), "0"),
        (Fraction(1, 2), "0.5"),
        (Fraction(1, 20), "0.05"),
        (Fraction(25, 10), "2.5"),
        (Fraction(10), "10"),
        (Fraction(999), "999"),
        (Fraction(1000), "1,000"),
        (Fraction(12345678, 10), "1,234,567.8"),
        (Fraction(1, 3), "1/3"),
        (Fraction(10000, 3), "10000/3"),
        (Fraction(1, 2**20), "0.00000095367431640625"),
    ],
)
def test_a_number_is_shown_exactly(value: Fraction, shown: str) -> None:
    assert show_number(value) == shown


@given(st.integers(0, 10**6), st.integers(1, 10**4))
def test_a_decimal_ends(numerator: int, denominator: int) -> None:
    value = Fraction(numerator, denominator)
    assert is_decimal(value) == (10**20 % value.denominator == 0)


@given(numbers)
def test_a_shown_number_reads_back_as_itself(value: Fraction) -> None:
    assert read_number(show_number(value)) == value


@given(numbers.filter(is_decimal), st.sampled_from(Manner))
def test_a_shown_decimal_is_a_safe_spelling_in_every_manner(value: Fraction, manner: Manner) -> None:
    shown = show_number(value)
    assert read_number(shown, manner=manner) == value
    assert re.fullmatch(r"(0|[1-9][0-9]{0,2}(,[0-9]{3})*)(\.[0-9]*[1-9])?", shown)


@given(st.text("0123456789.,", max_size=15), st.sampled_from(Manner))
def test_what_a_refusal_accepts_is_accepted(text: str, manner: Manner) -> None:
    try:
        read_number(text, manner=manner)
    except Refused as refused:
        for fault in refused.faults:
            spellings = re.split(", or | or |, ", fault.accepted)
            assert all(
                read_number(spelling, manner=manner) >= 0 for spelling in spellings if spelling != "a shorter number"
            )


@given(st.text(max_size=20), st.sampled_from(Manner))
def test_any_text_is_read_exactly_or_refused(text: str, manner: Manner) -> None:
    try:
        value = read_number(text, manner=manner)
    except Refused:
        return
    assert value == Fraction(text.strip().replace(",", ""))
