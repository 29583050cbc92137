"""Our own code: it goes there and back, any wrong sign is told, and a reader of other makes sees what was written."""

import re

import numpy as np
import pytest
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st

from drawndose.department.printing import Kind, has_own_form, own_code, read_own_code
from drawndose.department.printing.matrix import MODULE_MM, matrix
from drawndose.department.printing.own_code import SIGNS
from drawndose.quantities import Refused

KEY, OTHER = b"a key of sixteen", b"another of 16 b."
KINDS, NUMBERS = st.sampled_from(Kind), st.integers(1, 10**12 - 1)


@given(kind=KINDS, number=NUMBERS)
def test_there_and_back(kind: Kind, number: int) -> None:
    code = own_code(kind, number, KEY)
    assert read_own_code(code, KEY) == (kind, number)
    assert read_own_code(f" {code[:3].lower()} {code[3:]} ", KEY) == (kind, number), "it may be typed"
    assert has_own_form(code)


@given(kind=KINDS, number=NUMBERS, place=st.integers(0, 20), sign=st.sampled_from(f"0123456789CP{SIGNS}"))
def test_one_sign_that_was_misread_is_told(kind: Kind, number: int, place: int, sign: str) -> None:
    """All of the number's signs and all of the check's: some 330,000 checks, so that a chance hit is not met here."""
    code = own_code(kind, number, KEY)
    at = place % len(code)
    wrong = f"{code[:at]}{sign}{code[at + 1 :]}"
    if wrong == code:
        return
    with pytest.raises(Refused):
        read_own_code(wrong, KEY)


@given(kind=KINDS, number=st.integers(1, 500))
def test_a_label_of_another_place_is_told(kind: Kind, number: int) -> None:
    code = own_code(kind, number, OTHER)
    assert code != own_code(kind, number, KEY)
    with pytest.raises(Refused, match="it was misread, or is from another place"):
        read_own_code(code, KEY)


@pytest.mark.parametrize(
    "text", ["", "P", "P0.2222", "P01.2222", "X12.2222", "P12.222", "P12.2222.", "(01)00312345678906", "P12.ABCD"]
)
def test_what_has_another_form_is_none_of_ours(text: str) -> None:
    assert not has_own_form(text)
    with pytest.raises(Refused, match="it is not a code of ours"):
        read_own_code(text, KEY)


def test_the_kinds_do_not_share_a_check() -> None:
    assert own_code(Kind.PREPARATION, 7, KEY)[1:] != own_code(Kind.CONTAINER, 7, KEY)[1:]


def test_checks_are_spread_over_their_signs() -> None:
    """Each sign comes up at each of the four places: the check is worth its length."""
    checks = [own_code(Kind.CONTAINER, number, KEY)[-4:] for number in range(1, 1001)]
    assert all({check[at] for check in checks} == set(SIGNS) for at in range(4))
    assert len(set(checks)) > 990
    assert not re.search("[AEIOU01LSZB]", SIGNS.replace("2", "").replace("5", "").replace("8", ""))


@pytest.mark.parametrize(("number", "key"), [(0, KEY), (10**12, KEY), (1, b"too short")])
def test_what_makes_no_code(number: int, key: bytes) -> None:
    with pytest.raises(ValueError, match="got"):
        own_code(Kind.CONTAINER, number, key)


@given(kind=KINDS, number=NUMBERS)
def test_the_matrix_is_read_back_out_of_its_path(kind: Kind, number: int) -> None:
    """Painted by its own path, each module of eight pixels, and read by the reader library."""
    code = own_code(kind, number, KEY)
    made = matrix(code)
    side = round(made.side / MODULE_MM)
    grid = np.full((side, side), 255, np.uint8)
    for x, y in re.findall(r"M(\d+) (\d+)h1v1h-1z", made.svg):
        grid[int(y), int(x)] = 0
    assert f'viewBox="0 0 {side} {side}"' in made.svg
    assert (grid[[0, -1]] == 255).all()
    assert (grid[:, [0, -1]] == 255).all()
    (found,) = zxingcpp.read_barcodes(np.kron(grid, np.ones((8, 8), np.uint8)), text_mode=zxingcpp.TextMode.Plain)
    assert (found.text, found.symbology_identifier, found.content_type) == (code, "]d1", zxingcpp.ContentType.Text)
    assert made.side <= 9, "it stays small: 16 modules and the free edge"
