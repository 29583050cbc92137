import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.reference.codes.dictionary import dictionary
from drawndose.reference.codes.elements import Element, element, faults, pairing, printable
from tests.reference.codes.given import IDENTIFIERS, UNHURRIED, YEAR, elements

GTIN = element("01", "00312345678906", year=YEAR)


def wrong(ai: str, value: str) -> list[str]:
    return [fault.rule for fault in faults(Element(dictionary().identifiers[ai], value), year=YEAR)]


@UNHURRIED
@given(elements())
def test_a_right_element_is_taken_as_it_stands(one: Element) -> None:
    made = element(one.ai, one.value, year=YEAR)
    assert made == one
    assert str(made) == f"({one.ai}){one.value}"


@UNHURRIED
@given(st.sampled_from(IDENTIFIERS), st.text(max_size=100))
def test_any_text_is_right_or_has_a_fault(identifier: object, value: str) -> None:
    found = faults(Element(identifier, value), year=YEAR)  # type: ignore[arg-type]
    assert all(fault.field.startswith("(") and fault.accepted for fault in found)


LENGTH = "the length is not what the standard allows"
DIGITS = "only digits stand here"
CHARACTER = "a character stands here that the standard does not use"
CHECK = "the check digit does not hold"
CONTENT = "the content is not what the standard allows"


@pytest.mark.parametrize(
    ("ai", "value", "rules"),
    [
        ("01", "0031234567890", [LENGTH]),
        ("01", "00312345678907", [CHECK]),
        ("01", "0031234567890O", [DIGITS]),
        ("01", "31234567890O", [LENGTH, DIGITS]),
        ("10", "", [LENGTH]),
        ("10", "A" * 21, [LENGTH]),
        ("10", "AB 12", [CHARACTER]),
        ("10", "AB\x1d12", [CHARACTER]),
        ("10", "AB#12", [CHARACTER]),
        ("17", "270229", ["there is no such day"]),
        ("17", "270200", []),
        ("7003", "2711000800", ["a day 00 is not used here"]),
        ("7003", "2711302400", [CONTENT]),
        ("7007", "260101260200", ["a day 00 is not used here"]),
        ("7250", "19770229", ["there is no such day"]),
        ("30", "123456789", [LENGTH]),
        ("30", "A", [DIGITS]),
        ("423", "1234", [LENGTH]),
        ("423", "12A", [DIGITS]),
        ("421", "12AB", [DIGITS]),
        ("421", "123A B", [CHARACTER]),
        ("253", "4012345678902", [CHECK]),
        ("8003", "14012345678901", [CONTENT]),
        ("8006", "003123456789060203", []),
        ("8006", "003123456789060302", [CONTENT]),
        ("8006", "003123456789060002", [CONTENT]),
        ("8013", "1987654Ad4X4bL5ttr2310c2K", []),
        ("8013", "1987654Ad4X4bL5ttr2310c2L", [CHECK]),
        ("8013", "22", [CONTENT]),
        ("7258", "1/2", []),
        ("7258", "2/1", [CONTENT]),
        ("7258", "1-2", [CONTENT]),
        ("8030", "12=", []),
        ("8030", "12==", [CONTENT]),
        ("8011", "012", [CONTENT]),
        ("4309", "18000000003600000000", []),
        ("4309", "18000000013600000000", [CONTENT]),
        ("4302", "A%2GB", [CONTENT]),
        ("8010", "1234a", [CHARACTER]),
        ("422", "999", []),
    ],
)
def test_what_is_wrong_with_a_value(ai: str, value: str, rules: list[str]) -> None:
    assert wrong(ai, value) == rules


def test_a_fault_says_what_came_and_what_is_accepted() -> None:
    with pytest.raises(Refused) as refused:
        element("10", "AB|12", year=YEAR)
    (fault,) = refused.value.faults
    assert (fault.field, fault.came) == ("(10) batch or lot", "AB|12")
    assert "without |" in fault.accepted
    assert "ASCII 29" in fault.accepted
    with pytest.raises(Refused, match="00312345678906, if the other digits are right"):
        element("01", "00312345678907", year=YEAR)
    with pytest.raises(Refused, match="no application identifier begins so"):
        element("05", "1", year=YEAR)


def test_control_characters_are_written_out() -> None:
    assert printable("A\x1dB\x07é\u202e") == "A{GS}B\\x07é\\x202e"


def made(*texts: str) -> tuple[Element, ...]:
    return tuple(element(text[1 : text.index(")")], text[text.index(")") + 1 :], year=YEAR) for text in texts)


@pytest.mark.parametrize(
    ("texts", "fields"),
    [
        (["(01)00312345678906", "(10)A", "(17)270630", "(30)2", "(21)S"], []),
        (["(10)A"], ["(10) batch or lot"]),
        (["(17)270630", "(30)2"], ["(17) use by or expiry", "(30) count of items"]),
        (["(21)S", "(02)00312345678906", "(37)2", "(00)376104250021234569"], ["(21) serial number"]),
        (["(01)00312345678906", "(21)S", "(235)T"], ["(21) serial number"]),
        (["(01)00312345678906", "(37)2", "(00)376104250021234569"], ["(01) GTIN", "(37) count of items inside"]),
        (["(01)00312345678906", "(3103)000500", "(3102)000500"], ["(3103) net weight", "(3102) net weight"]),
        (["(01)00312345678906", "(8030)AB", "(21)S"], []),
        (["(01)00312345678906", "(8030)AB"], ["(8030) digital signature"]),
        (["(01)00312345678906", "(3922)100", "(3103)000500"], []),
        (["(01)00312345678906", "(3922)100"], ["(3922) price"]),
        (["(400)1"], []),
    ],
)
def test_what_goes_together(texts: list[str], fields: list[str]) -> None:
    assert [fault.field for fault in pairing(made(*texts))] == fields


def test_a_missing_gtin_is_named() -> None:
    (fault,) = pairing(made("(10)A"))
    assert fault.accepted == "a GTIN beside it: (01), (02), (03), (8006), (8026)"
    (fault,) = pairing(made("(7022)A"))
    assert fault.accepted == "beside it: (7021)"
    assert "(01) with (21)" in pairing(made("(8030)AB"))[0].accepted
