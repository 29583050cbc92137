import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.reference.codes import ndc
from drawndose.reference.codes.check_digits import holds
from drawndose.reference.codes.ndc import LAYOUTS, OF_ELEVEN, OF_TEN, OF_TWELVE, Layout, Ndc
from tests.reference.codes.given import UNHURRIED


def codes(layouts: tuple[Layout, ...] = LAYOUTS) -> st.SearchStrategy[Ndc]:
    def of(layout: Layout) -> st.SearchStrategy[Ndc]:
        return st.tuples(*(st.text(alphabet="0123456789", min_size=n, max_size=n) for n in layout)).map(
            lambda segments: Ndc(*segments)
        )

    return st.sampled_from(layouts).flatmap(of)


TEN = codes(OF_TEN)


@UNHURRIED
@given(codes())
def test_hyphens_keep_the_segments(one: Ndc) -> None:
    assert ndc.read(ndc.write(one)) == (one,)
    assert one in ndc.read(one.digits)


@UNHURRIED
@given(TEN)
def test_ten_digits_without_hyphens_are_never_split_alone(one: Ndc) -> None:
    found = ndc.read(one.digits)
    assert [made.layout for made in found] == list(OF_TEN)
    assert {made.digits for made in found} == {one.digits}


@UNHURRIED
@given(TEN, st.sampled_from([OF_ELEVEN, OF_TWELVE]))
def test_the_zero_goes_into_the_short_segments_and_comes_out_again(one: Ndc, layout: Layout) -> None:
    wide = ndc.widened(one, layout)
    assert wide.layout == layout
    assert [int(segment) for segment in str(wide).split("-")] == [int(segment) for segment in str(one).split("-")]
    assert one in ndc.narrowed(wide)


@UNHURRIED
@given(codes((OF_ELEVEN,)))
def test_the_way_back_is_one_exactly_when_one_segment_begins_with_0(one: Ndc) -> None:
    short = sum(segment.startswith("0") for segment in str(one).split("-"))
    if short == 0:
        with pytest.raises(Refused, match="no ten-digit NDC becomes this one"):
            ndc.narrowed(one)
    else:
        found = ndc.narrowed(one)
        assert len(found) == short
        assert {ndc.widened(made, OF_ELEVEN) for made in found} == {one}


@UNHURRIED
@given(TEN, st.integers(0, 9))
def test_ten_digits_come_back_out_of_a_gtin(one: Ndc, indicator: int) -> None:
    gtin = ndc.gtin14(one.digits, indicator)
    assert holds(gtin)
    assert ndc.in_gtin(gtin) == one.digits
    assert ndc.in_gtin(ndc.gtin12(one.digits)) == one.digits
    assert ndc.agrees(one, gtin)


@pytest.mark.parametrize(
    ("ten", "eleven"),
    [("1234-5678-90", "01234-5678-90"), ("12345-678-90", "12345-0678-90"), ("12345-6789-0", "12345-6789-00")],
)
def test_eleven_digits(ten: str, eleven: str) -> None:
    (one,) = ndc.read(ten)
    assert str(ndc.widened(one, OF_ELEVEN)) == eleven


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("123-456-789", "not of a known layout"),
        ("12345-67890-1", "not of a known layout"),
        ("1234-567-890", "not of a known layout"),
        ("123456789", "it is not an NDC"),
        ("1234567890123", "it is not an NDC"),
        ("12345-678", "it is not an NDC"),
        ("12345-678-9O", "it is not an NDC"),
        ("", "it is not an NDC"),
    ],
)
def test_what_is_no_ndc_is_refused(text: str, rule: str) -> None:
    with pytest.raises(Refused, match=rule):
        ndc.read(text)


@pytest.mark.parametrize("gtin", ["00312345678907", "00412345678908", "0031234567890", "x", "", "6291041500213"])
def test_a_gtin_without_an_ndc_is_refused(gtin: str) -> None:
    with pytest.raises(Refused, match="does not hold an NDC"):
        ndc.in_gtin(gtin)


def test_codes_of_one_item_that_do_not_agree() -> None:
    gtin = "00312345678906"
    assert not ndc.agrees(Ndc("12345", "678", "91"), gtin)
    assert ndc.agrees(Ndc("12345", "0678", "90"), gtin)
    assert not ndc.agrees(Ndc("12345", "6789", "10"), gtin)
    assert ndc.agrees(Ndc("123456", "7890", "12"), gtin)
    assert ndc.agrees(Ndc("12345", "678", "91"), "06291041500213")


def test_what_cannot_be_is_an_error_of_the_caller() -> None:
    for wrong in (lambda: Ndc("1", "2", "3"), lambda: Ndc("1234O", "678", "90")):
        with pytest.raises(ValueError, match="has no known layout"):
            wrong()
    with pytest.raises(ValueError, match="does not have the digits"):
        ndc.split("123", OF_ELEVEN)
    with pytest.raises(ValueError, match="is wider than"):
        ndc.widened(Ndc("123456", "7890", "12"), OF_ELEVEN)
    for ten, indicator in (("123", 0), ("123456789O", 0), ("1234567890", 10), ("1234567890", -1)):
        with pytest.raises(ValueError, match="ten digits and an indicator"):
            ndc.gtin14(ten, indicator)
