"""What can be printed: every letter of the packaged type and nothing else, judged by an independent reader of typefaces."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from drawndose.paper import TYPE, letter_faults

FILES = {weight: sorted(TYPE.glob(f"*-{weight}.ttf")) for weight in ("400", "700")}


@pytest.mark.parametrize(
    "name", ["Ana Sample", "Łucja Dvořáková", "Nguyễn Thị Ánh", "Ольга", "Ευγενία", "O'Neil-Díaz", "]#$*_`@\\"]
)
def test_names_of_people_are_printed(name: str) -> None:
    assert letter_faults(name, "person") == []


@pytest.mark.parametrize(
    ("text", "said", "came"),
    [
        ("a\nb", "U+000A, a control character", "a[U+000A]b"),
        ("a\tb", "U+0009, a control character", "a[U+0009]b"),
        ("a\x00", "U+0000, a control character", "a[U+0000]"),
        ("12\u202e34", "U+202E, right-to-left override", "12[U+202E]34"),
        ("a\u200bb", "U+200B, zero width space", "a[U+200B]b"),
        ("a\u00adb", "U+00AD, soft hyphen", "a[U+00AD]b"),
        ("\ud800", "U+D800, a control character", "[U+D800]"),
        ("中", "U+4E2D, cjk unified ideograph-4e2d", "[U+4E2D]"),
        ("\U0001f489", "U+1F489, syringe", "[U+1F489]"),
    ],
)
def test_what_leaves_no_mark_is_refused_with_its_name(text: str, said: str, came: str) -> None:
    (fault,) = letter_faults(text, "person")
    assert (fault.field, fault.rule, fault.came) == ("person", f"paper has no sign for {said}", came)


def test_a_mark_of_its_own_is_the_same_letter() -> None:
    assert letter_faults("e\u0301", "person") == letter_faults("é", "person") == []


def test_all_that_is_wrong_is_one_fault_at_its_first_sign() -> None:
    (fault,) = letter_faults("中\n中", "person")
    assert fault.came == "[U+4E2D][U+000A][U+4E2D]"


def inked(file: str, one: str) -> bytes:
    return bytes(ImageFont.truetype(file, 40).getmask(one, mode="L"))


@given(st.characters(codec="utf-8"))
def test_each_accepted_letter_leaves_its_own_ink_in_both_weights(one: str) -> None:
    """Pillow's FreeType as the second opinion: a letter without a sign is drawn as the sign of one that nobody has."""
    if letter_faults(one, "x") or one.isspace():
        return
    for files in FILES.values():
        drawn = {inked(str(file), unicodedata.normalize("NFC", one)) for file in files}
        nothing = {inked(str(file), "\ue123") for file in files}
        assert drawn - nothing
