import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.reference.codes import brackets
from drawndose.reference.codes.elements import Elements
from tests.reference.codes.given import UNHURRIED, YEAR, items


@UNHURRIED
@given(items())
def test_what_is_written_is_read(made: Elements) -> None:
    text = brackets.write(made)
    assert brackets.begins(text)
    assert brackets.read(text, year=YEAR) == made
    parted = "  ".join(brackets.write((one,)) for one in made)
    assert brackets.read(f" {parted} ", year=YEAR) == made


@UNHURRIED
@given(st.text(alphabet="()0123456789AB\\ \x1d", max_size=50))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        made = brackets.read(text, year=YEAR)
    except Refused:
        return
    assert brackets.read(brackets.write(made), year=YEAR) == made


def test_a_bracket_of_a_value_is_written_with_a_backslash() -> None:
    made = brackets.read("(01)00312345678906(10)A\\(17)B", year=YEAR)
    assert made[1].value == "A(17)B"
    assert brackets.write(made) == "(01)00312345678906(10)A\\(17)B"


def test_a_bracket_that_could_be_no_identifier_belongs_to_the_value() -> None:
    assert brackets.read("(10)A(5)B(12345)", year=YEAR)[0].value == "A(5)B(12345)"


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("", "no application identifier begins so"),
        ("A(10)B", "no application identifier begins so"),
        ("(05)1(10)A", "no application identifier begins so"),
        ("(10)A(10)B", "the same field stands twice"),
        ("(10)A B", "a character stands here"),
        ("(10)", "the length is not"),
        ("(01)00312345678907(17)261301", "the check digit does not hold"),
    ],
)
def test_faults(text: str, rule: str) -> None:
    with pytest.raises(Refused, match=rule):
        brackets.read(text, year=YEAR)
    assert brackets.begins(" (01)0") is True
    assert brackets.begins("01(1)") is False
