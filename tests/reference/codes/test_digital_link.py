import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.reference.codes import digital_link
from drawndose.reference.codes.elements import Elements, element
from tests.reference.codes.given import UNHURRIED, YEAR, items

STEM = "https://id.gs1.org"


def told(text: str) -> str:
    link = digital_link.read(text, year=YEAR)
    return " ".join(map(str, link.elements)) if link is not None else "none"


def ways(made: Elements) -> bool:
    """True when a link can hold the item: what may stand in no query has its place in the path."""
    path = {"01", "22", "10", "21"} if "235" not in {one.ai for one in made} else {"01", "235"}
    return all(one.identifier.attribute or one.ai in path for one in made)


@UNHURRIED
@given(items().filter(ways), st.sampled_from([STEM, "http://example.com/a/b", "HTTPS://x.example"]))
def test_what_is_written_is_read(made: Elements, stem: str) -> None:
    leading = next(one for one in made if one.identifier.qualifiers is not None)
    if leading.ai != "01":
        return
    text = digital_link.write(made, stem)
    assert digital_link.begins(text)
    link = digital_link.read(text, year=YEAR)
    assert link is not None
    assert sorted(map(str, link.elements)) == sorted(map(str, made))
    assert link.beside == ()


@UNHURRIED
@given(st.text(alphabet="/0123456789AB%?=&;#", max_size=60))
def test_any_address_is_read_or_refused(path: str) -> None:
    try:
        link = digital_link.read(f"{STEM}/01/00312345678906{path}", year=YEAR)
    except Refused:
        return
    assert link is None or all(one.value for one in link.elements)


@pytest.mark.parametrize(
    ("text", "read"),
    [
        (f"{STEM}/01/00312345678906", "(01)00312345678906"),
        (f"{STEM}/01/00312345678906/", "(01)00312345678906"),
        (f"{STEM}/01/312345678906", "(01)00312345678906"),
        (f"{STEM}/01/23456785", "(01)00000023456785"),
        (f"{STEM}/01/00312345678906/22/V/10/AB%2F12/21/%5f1#part", "(01)00312345678906 (22)V (10)AB/12 (21)_1"),
        (f"{STEM}/01/00312345678906/235/T", "(01)00312345678906 (235)T"),
        (f"{STEM}/01/00312345678906/10/01", "(01)00312345678906 (10)01"),
        (f"{STEM}/01/00312345678906?17=270200&10=AB;30=2", "(01)00312345678906 (17)270200 (10)AB (30)2"),
        ("http://example.com/shop/01/x/01/00312345678906/10/A", "(01)00312345678906 (10)A"),
        (f"{STEM}/00/376104250021234569", "(00)376104250021234569"),
        (f"{STEM}/8018/376104250021234569/8019/1", "(8018)376104250021234569 (8019)1"),
        ("https://example.com", "none"),
        ("https://example.com/01/page", "none"),
        ("https://example.com/a?17=270630", "none"),
    ],
)
def test_links(text: str, read: str) -> None:
    if read == "none" and "/01/" in text:
        with pytest.raises(Refused):
            told(text)
        return
    assert told(text) == read


def test_query_fields_that_are_not_gs1s_are_named_and_not_used() -> None:
    link = digital_link.read(f"{STEM}/01/00312345678906?linkType=pip&17=270630&lang", year=YEAR)
    assert link is not None
    assert link.beside == ("linkType", "lang")
    assert len(link.elements) == 2


@pytest.mark.parametrize(
    ("path", "rule"),
    [
        ("/01/00312345678906/10", "the path does not pair"),
        ("/01/00312345678906/21/S/10/A", "the path does not pair"),
        ("/01/00312345678906/235/T/10/A", "the path does not pair"),
        ("/01/00312345678906/17/270630", "the path does not pair"),
        ("/01/00312345678906/999/1", "no application identifier begins so"),
        ("/01/00312345678907", "the check digit does not hold"),
        ("/01/00312345678906/10/A%2", "a percent sign is followed"),
        ("/01/00312345678906/10/A%E9", "a percent sign is followed"),
        ("/01/00312345678906/10/A%20B", "a character stands here"),
        ("/01/00312345678906?21=S", "does not stand in the query"),
        ("/01/00312345678906?05=S", "no application identifier begins so"),
        ("/01/00312345678906/10/A?10=A", "the same field stands twice"),
    ],
)
def test_faults(path: str, rule: str) -> None:
    with pytest.raises(Refused, match=rule):
        digital_link.read(STEM + path, year=YEAR)


def test_a_link_needs_a_key() -> None:
    with pytest.raises(ValueError, match="no element may lead"):
        digital_link.write((element("10", "A", year=YEAR),))
