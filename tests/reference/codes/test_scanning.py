import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.reference.codes import Kind, Question, brackets, digital_link, element_strings, scan
from drawndose.reference.codes.elements import SEPARATOR, Elements
from drawndose.reference.codes.framing import Carries, symbologies
from drawndose.reference.codes.scanning import MOST_READINGS
from tests.reference.codes.given import ON_MEDICINES, UNHURRIED, YEAR, items

STRINGS = sorted(one.id for one in symbologies().values() if one.carries is Carries.ELEMENT_STRINGS)
FRAMES = st.sampled_from([*STRINGS, *(f"{ident}{SEPARATOR}" for ident in STRINGS), SEPARATOR])
CODE_LIKE = st.text(alphabet="0123456789ABCab-/()%]}{<>GS^\\ \x1d\r\n.:", max_size=50)


def told(*texts: str, sent: bool = False, year: int = YEAR) -> str:
    made = scan(texts, year=year, separators_sent=sent)
    if made.answer is not None:
        return str(made.answer)
    return f"{made.question.name}: {' | '.join(map(str, made.readings))}" if made.question else "plain"


# ------------------------------------------------------------------------------------------------- round trips


@UNHURRIED
@given(items(), FRAMES)
def test_every_item_comes_back_out_of_every_frame(made: Elements, frame: str) -> None:
    answer = scan([frame + element_strings.write(made)], year=YEAR, separators_sent=True).answer
    assert answer is not None
    assert answer.elements == made


@UNHURRIED
@given(items(), st.sampled_from(["{GS}", "^]", "\\x1d"]))
def test_every_item_comes_back_with_its_separators_written_out(made: Elements, written: str) -> None:
    text = "]d2" + element_strings.write(made).replace(SEPARATOR, written)
    answer = scan([text], year=YEAR, separators_sent=True).answer
    assert answer is not None
    assert answer.elements == made


@UNHURRIED
@given(items())
def test_every_item_comes_back_out_of_brackets(made: Elements) -> None:
    answer = scan([brackets.write(made)], year=YEAR).answer
    assert answer is not None
    assert answer.elements == made


@UNHURRIED
@given(items(names=ON_MEDICINES), st.sampled_from(["", "]Q1", "]d1"]))
def test_every_item_comes_back_out_of_a_link(made: Elements, frame: str) -> None:
    answer = scan([frame + digital_link.write(made)], year=YEAR).answer
    assert answer is not None
    assert set(map(str, answer.elements)) == set(map(str, made))


@UNHURRIED
@given(items(names=ON_MEDICINES), FRAMES)
def test_with_its_separators_lost_an_item_is_never_answered_as_another(made: Elements, frame: str) -> None:
    text = element_strings.write(made).replace(SEPARATOR, "")
    assume(not element_strings.read(text, year=YEAR).broken_off)
    lost = scan([frame + text], year=YEAR)
    if lost.answer is not None:
        assert lost.answer.elements == made
    elif not lost.more:
        assert made in [reading.elements for reading in lost.readings]


@UNHURRIED
@given(items(most=4))
def test_nor_with_any_identifier_of_the_dictionary(made: Elements) -> None:
    try:
        lost = scan(["]C1" + element_strings.write(made).replace(SEPARATOR, "")], year=YEAR)
    except Refused:
        return  # more readings than are looked for, and none found that goes together
    assert lost.answer is None or lost.answer.elements == made


@settings(UNHURRIED, max_examples=300)
@given(st.one_of(CODE_LIKE, st.text(max_size=50), st.tuples(FRAMES, CODE_LIKE).map("".join)))
def test_any_text_is_answered_asked_plain_or_refused(text: str) -> None:
    try:
        made = scan([text], year=YEAR)
    except Refused:
        return
    assert bool(made.readings) is not (made.parts[0].kind is Kind.PLAIN)
    if made.answer is not None and made.answer.elements:
        again = scan(["]d2" + element_strings.write(made.answer.elements)], year=YEAR, separators_sent=True)
        assert again.answer is not None
        assert again.answer.elements == made.answer.elements


# ------------------------------------------------------------------------------------------------------ frames


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("]C1010031234567890617270200" + "10LOT7", "(01)00312345678906 (17)270200 (10)LOT7"),
        ("]e00100312345678906", "(01)00312345678906"),
        ("\x1d01003123456789061726113010X\x1d3012", "(01)00312345678906 (17)261130 (10)X (30)12"),
        ("0100312345678906\r\n", "(01)00312345678906"),
        ("]E06291041500213", "(01)06291041500213"),
        ("]E0312345678906", "(01)00312345678906"),
        ("]E423456785", "(01)00000023456785"),
        ("]E400000000", "(01)00000000000000"),
        ("]I100312345678906", "(01)00312345678906"),
        ("]d1ABC123", "plain"),
        ("]C00100312345678906", "plain"),
        ("]Q1https://example.com/", "plain"),
        ("https://example.com/", "plain"),
        ("]Q1https://id.gs1.org/01/00312345678906", "(01)00312345678906"),
        ("00312345678906", "(01)00312345678906"),
        ("6291041500213", "(01)06291041500213"),
        ("312345678906", "(01)00312345678906"),
        ("23456785", "(01)00000023456785"),
        ("12345-678-90", "12345-678-90"),
        ("12345067890", "12345-0678-90"),
        ("123456-7890-12", "123456-7890-12"),
        ("1234567890", "HYPHENS: 1234-5678-90 | 12345-678-90 | 12345-6789-0"),
        ("90123456789", "STANDARDS: 90123-4567-89 | (90)123456789"),
    ],
)
def test_what_a_text_is(text: str, read: str) -> None:
    assert told(text) == read


def test_twelve_digits_are_a_gtin_until_such_codes_begin_and_asked_from_then() -> None:
    assert told("312345678906", year=2032) == "(01)00312345678906"
    assert told("312345678906", year=2033) == "STANDARDS: (01)00312345678906 | 312345-6789-06"
    assert told("312345678907", year=2033) == "312345-6789-07"


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("]E12", "an add-on code says nothing about the product"),
        ("]E06291041500214", "the check digit does not hold"),
        ("]E0629104150021", "the check digit does not hold"),
        ("]E001234565", "a shortened UPC has to be sent at full length"),
        ("]E0ABCDEFGHIJKLM", "the length is not what the standard allows"),
        ("]Q3https://id.gs1.org/01/00312345678906", "no application identifier begins so"),
        ("6291041500214", "the check digit does not hold"),
        ("01234565", "may be a shortened UPC"),
        ("ABC", "it is no code that is known here"),
        ("https://id.gs1.org/01/00312345678907", "the check digit does not hold"),
        ("123-45-6", "not of a known layout"),
        ("888888888", "no application identifier begins so"),
        ("]d2010031234567890610" + "ABCDEFGHIJKLMNOPQRSTU", "the length is not what the standard allows"),
        ("]d21727020010AB12", "a GTIN beside it"),
        ("(10)AB12", "a GTIN beside it"),
    ],
)
def test_what_is_refused(text: str, rule: str) -> None:
    with pytest.raises(Refused, match=rule):
        told(text)


# ---------------------------------------------------------------------------------------------------- questions


def test_a_lost_separator_is_asked_with_the_plain_reading_first() -> None:
    made = scan(["]d2010031234567890610AB1217270200"], year=YEAR)
    assert made.question is Question.SEPARATOR
    assert made.answer is None
    assert [str(one) for one in made.readings] == [
        "(01)00312345678906 (10)AB1217270200",
        "(01)00312345678906 (10)AB12 (17)270200",
        "(01)00312345678906 (10)AB1 (21)7270200",
    ]
    assert [one.plain for one in made.readings] == [True, False, False]


def test_a_reading_that_needs_a_lost_separator_is_asked_even_alone() -> None:
    made = scan(["]d2" + "10AB12" + "0100312345678906"], year=YEAR)
    assert made.question is Question.SEPARATOR
    assert [str(one) for one in made.readings] == ["(10)AB12 (01)00312345678906"]


def test_readings_that_do_not_go_together_are_no_question() -> None:
    # (10)AB12172 (7020)0 would need (416), and (10)AB12 (37)1 does not stand beside a GTIN
    assert told("]d2010031234567890610AB12371") == "(01)00312345678906 (10)AB12371"


def test_more_readings_than_are_shown_are_said_to_be_there() -> None:
    made = scan(["]d20100312345678906" + "91" + "21" * 40], year=YEAR)
    assert made.more
    assert len(made.readings) == MOST_READINGS


def test_a_separator_elsewhere_shows_that_the_scanner_sends_them() -> None:
    assert told("]d2010031234567890621S\x1d10AB1217270200") == "(01)00312345678906 (21)S (10)AB1217270200"
    # one at the very end could be what the scanner puts behind every code
    assert told("]d2010031234567890610AB1217270200\x1d").startswith("SEPARATOR")
    assert told("]d2010031234567890610AB1217270200", sent=True) == "(01)00312345678906 (10)AB1217270200"


# ------------------------------------------------------------------------------------------- codes of one item


@pytest.mark.parametrize(
    ("texts", "read"),
    [
        (("0100312345678906", "17261130" + "10X"), "(01)00312345678906 (17)261130 (10)X"),
        (("]E0312345678906", "]C1" + "17261130"), "(01)00312345678906 (17)261130"),
        (("0100312345678906", "17261130"), "(01)00312345678906 (17)261130"),
        (("0100312345678906", "0100312345678906"), "(01)00312345678906"),
        (("0100312345678906", "]d1ABC"), "(01)00312345678906"),
        (("00312345678906", "12345-678-90"), "(01)00312345678906 12345-678-90"),
        (("12345-678-90", "12345-678-90"), "12345-678-90"),
    ],
)
def test_codes_of_one_item_are_read_together(texts: tuple[str, ...], read: str) -> None:
    assert told(*texts) == read


@pytest.mark.parametrize(
    "texts",
    [
        ("00312345678906", "06291041500213"),
        ("010031234567890610A", "010031234567890610B"),
        ("00312345678906", "12345-678-91"),
        ("12345-678-90", "12345-678-91"),
    ],
)
def test_codes_that_do_not_say_the_same_are_refused(texts: tuple[str, ...]) -> None:
    with pytest.raises(Refused, match="two codes on one item do not say the same"):
        told(*texts)


def test_the_faults_of_every_code_come_together() -> None:
    with pytest.raises(Refused) as refused:
        scan(["ABC", "6291041500214", "]d2" + "17261301"], year=YEAR)
    assert [fault.rule for fault in refused.value.faults] == [
        "it is no code that is known here",
        "the check digit does not hold",
        "there is no such day",
    ]
    with pytest.raises(Refused, match="nothing was scanned"):
        scan([], year=YEAR)


def test_many_readings_of_many_codes_are_broken_off() -> None:
    many = "91" + "21" * 40
    made = scan(["]d20100312345678906" + many, "]d20100312345678906" + "92" + "22" * 40], year=YEAR)
    assert made.more
    assert made.answer is None


def test_link_fields_that_mean_nothing_here_are_named() -> None:
    made = scan(["https://id.gs1.org/01/00312345678906?linkType=pip"], year=YEAR)
    assert made.parts[0].beside == ("linkType",)
    assert made.parts[0].kind is Kind.LINK
