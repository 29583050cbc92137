from datetime import date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose import load
from drawndose.quantities import Refused
from drawndose.reference.codes import OwnProduct, known, own
from tests.reference.codes.given import UNHURRIED

BOOK = load()
ONE = """
[[product]]
gtin = "312345678906"
presentation = "albuterol-0.5pct-bottle-20ml"
pack = "20 mL"
by = "R. Example, RRT"
when = 2026-11-25
"""
PACKED = [(made, pack) for made in BOOK.presentations for pack in made.packs]


def read(text: str) -> tuple[OwnProduct, ...]:
    return own.read(text, "ours", catalogue=BOOK)


def test_a_product_is_remembered_with_who_and_when() -> None:
    (one,) = read(ONE)
    assert (one.gtin, one.presentation.id, one.by, one.when) == (
        "00312345678906",
        "albuterol-0.5pct-bottle-20ml",
        "R. Example, RRT",
        date(2026, 11, 25),
    )
    assert own.size(one.pack) == "20 mL"
    assert known("312345678906", [one]) is one
    assert known("00312345678906", [one]) is one
    assert known("50312345678901", [one]) is None


def test_a_pack_may_be_left_out_where_there_is_one_size() -> None:
    assert read(ONE.replace('pack = "20 mL"\n', "")) == read(ONE)


@UNHURRIED
@given(st.sampled_from(PACKED), st.text(min_size=1).filter(str.strip), st.dates())
def test_a_list_comes_back(packed: tuple[object, object], by: str, when: date) -> None:
    presentation, pack = packed
    made = (
        OwnProduct(gtin="00312345678906", presentation=presentation, pack=pack, by=by, when=when),  # type: ignore[arg-type]
        OwnProduct(gtin="06291041500213", presentation=presentation, pack=pack, by=by, when=when),  # type: ignore[arg-type]
    )
    assert read(own.write(made)) == made


def test_an_empty_list_is_a_list() -> None:
    assert read("") == ()
    assert own.write(()) == ""


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        (("312345678906", "312345678907"), "8, 12, 13 or 14 digits whose check digit holds"),
        (("312345678906", "123456789012345675"), "8, 12, 13 or 14 digits whose check digit holds"),
        (("312345678906", "31234567890X"), "8, 12, 13 or 14 digits whose check digit holds"),
        (("albuterol-0.5pct-bottle-20ml", "nothing"), "no presentation has this id"),
        (("20 mL", "30 mL"), "the presentation has no pack of this size"),
        (("20 mL", "20 mg"), "the presentation has no pack of this size|a mass"),
        (("20 mL", "20"), "a number needs a unit"),
        (('pack = "20 mL"', "pack = 20"), "a text is needed"),
        (('by = "R. Example, RRT"\n', ""), "a text is needed"),
        (("when = 2026-11-25", 'when = "yesterday"'), "a date is needed"),
        (("by =", "who ="), "the key is not known here"),
        (("[[product]]", "[[product"), "Expected"),
    ],
)
def test_a_fault_of_the_list_is_named(change: tuple[str, str], rule: str) -> None:
    with pytest.raises(Refused, match=rule):
        read(ONE.replace(*change))


def test_a_presentation_with_several_packs_needs_the_pack() -> None:
    several = ONE.replace("albuterol-0.5pct-bottle-20ml", "acetylcysteine-10pct").replace("20 mL", "10 mL")
    assert own.size(read(several)[0].pack) == "10 mL"
    with pytest.raises(Refused, match="no pack of this size"):
        read(several.replace('pack = "10 mL"\n', ""))


def test_a_gtin_stands_once_at_whatever_width() -> None:
    with pytest.raises(Refused, match="a GTIN stands once"):
        read(ONE + ONE.replace("312345678906", "00312345678906"))


def test_every_fault_of_the_file_comes_together() -> None:
    bad = ONE.replace("312345678906", "1").replace("20 mL", "1 mL").replace("R. Example, RRT", " ")
    with pytest.raises(Refused) as refused:
        read(bad + bad)
    assert len(refused.value.faults) >= 6


def test_a_time_of_day_is_a_day_too_many() -> None:
    with pytest.raises(Refused, match="a date is needed"):
        read(ONE.replace("2026-11-25", datetime(2026, 11, 25, 8, 0).isoformat()))
