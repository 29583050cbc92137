import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.reference.codes.check_digits import (
    CHARACTERS_82,
    check_digit,
    check_pair,
    digits_only,
    holds,
    pair_holds,
)
from tests.reference.codes.given import UNHURRIED

DIGITS = st.text(alphabet="0123456789", min_size=1, max_size=40)


@UNHURRIED
@given(DIGITS)
def test_a_number_with_its_check_digit_holds_and_with_no_other(data: str) -> None:
    right = check_digit(data)
    assert [digit for digit in "0123456789" if holds(data + digit)] == [right]


@UNHURRIED
@given(DIGITS, st.data())
def test_every_single_wrong_digit_is_found(data: str, draw: st.DataObject) -> None:
    number = data + check_digit(data)
    place = draw.draw(st.integers(0, len(number) - 1))
    other = draw.draw(st.sampled_from([digit for digit in "0123456789" if digit != number[place]]))
    assert not holds(number[:place] + other + number[place + 1 :])


def test_a_sum_that_is_a_multiple_of_ten_gives_0() -> None:
    assert check_digit("0000000000000") == "0"


@pytest.mark.parametrize("text", ["", "A", "12A", "1\uff123", "-1", " 1"])
def test_only_digits_have_a_check_digit(text: str) -> None:
    assert not digits_only(text)
    assert not holds(text)
    with pytest.raises(Refused, match="only digits have a check digit"):
        check_digit(text)


def test_one_digit_is_no_number_with_its_check_digit() -> None:
    assert not holds("0")


@UNHURRIED
@given(st.text(alphabet=CHARACTERS_82, max_size=97))
def test_a_key_with_its_pair_holds(data: str) -> None:
    assert pair_holds(data + check_pair(data))


@UNHURRIED
@given(st.text(alphabet=CHARACTERS_82, min_size=1, max_size=30), st.data())
def test_every_single_wrong_character_of_a_key_is_found(data: str, draw: st.DataObject) -> None:
    place = draw.draw(st.integers(0, len(data) - 1))
    other = draw.draw(st.sampled_from([sign for sign in CHARACTERS_82 if sign != data[place]]))
    assert check_pair(data[:place] + other + data[place + 1 :]) != check_pair(data)


def test_what_has_no_pair_is_refused() -> None:
    for data in (" ", "é", "1" * 98):
        with pytest.raises(Refused, match="no check pair"):
            check_pair(data)
    assert not pair_holds("A")


def test_the_set_has_82_characters() -> None:
    assert len(set(CHARACTERS_82)) == 82
    assert list(CHARACTERS_82) == sorted(CHARACTERS_82)
