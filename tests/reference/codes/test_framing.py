import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.reference import How
from drawndose.reference.codes import framing
from drawndose.reference.codes.framing import Carries, Frame, symbologies
from tests.reference.codes.given import UNHURRIED

EVERY = list(symbologies().values())


@UNHURRIED
@given(st.sampled_from([None, *EVERY]), st.booleans(), st.text(alphabet="0123456789ABab%\x1d", min_size=1, max_size=30))
def test_a_frame_comes_back(symbology: framing.Symbology | None, marked: bool, data: str) -> None:
    if data.startswith("\x1d"):
        data = f"0{data}"
    frame = Frame(symbology=symbology, marked=marked, data=data)
    assert framing.read(framing.write(frame)) == frame
    assert framing.read(f" {framing.write(frame)}\r\n") == frame


@UNHURRIED
@given(st.text(max_size=40))
def test_any_text_has_a_frame_or_is_refused(text: str) -> None:
    try:
        frame = framing.read(text)
    except Refused:
        return
    assert frame.data
    assert not frame.data.startswith("]")


@pytest.mark.parametrize("written", ["\x1d", "{GS}", "{gs}", "^]", "\\x1d", "\\x1D", "\\u001d", "\u241d"])
def test_spellings_of_the_separator(written: str) -> None:
    assert framing.read(f"10A{written}21B").data == "10A\x1d21B"
    assert framing.read(f"{written}10A").marked


def test_the_spelling_that_a_lot_may_hold_is_replaced_only_on_request() -> None:
    assert framing.read("10A<GS>21B").data == "10A<GS>21B"
    assert framing.spelled_out("10A<GS>21B") == "10A\x1d21B"


def test_letters_that_fold_to_others_are_no_separator() -> None:
    assert framing.read("10A{G\u017f}").data == "10A{G\u017f}"


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("", "nothing was scanned"),
        (" \r\n", "nothing was scanned"),
        ("]C1", "nothing was scanned"),
        ("\x1d", "nothing was scanned"),
        ("]X9123", "the symbology identifier is not known here"),
        ("]c1123", "the symbology identifier is not known here"),
        ("]", "the symbology identifier is not known here"),
        ("1" * 2501, "the text is longer than a code"),
    ],
)
def test_faults(text: str, rule: str) -> None:
    with pytest.raises(Refused, match=rule):
        framing.read(text)


def test_what_each_symbology_carries() -> None:
    carried = {one.id: one.carries for one in EVERY}
    assert {ident for ident, carries in carried.items() if carries is Carries.ELEMENT_STRINGS} == {
        *("]C1", "]e0", "]e1", "]e2", "]d2", "]d5", "]Q3", "]Q4", "]J1")
    }
    assert {ident for ident, carries in carried.items() if carries is Carries.GTIN} == {"]E0", "]E4", "]I1"}
    assert all((one.carries is Carries.GTIN) is bool(one.digits) for one in EVERY)
    assert carried["]C0"] is carried["]d1"] is carried["]Q1"] is Carries.PLAIN


def test_no_line_of_the_file_passes_for_read() -> None:
    assert {one.origin.how for one in EVERY} == {How.SECONDARY, How.MEMORY}


GOOD = """
origin = { source = "a", at = "b", how = "secondary" }
symbology = [ { id = "]E4", name = "EAN-8", carries = "gtin", digits = [8] } ]
"""


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        (("[8]", '"8"'), "a list of lengths"),
        (("[8]", "[true]"), "a list of lengths"),
        (('"gtin"', '"gtins"'), "one word of a closed list"),
        (("origin =", "orign ="), "a text is needed"),
    ],
)
def test_a_fault_of_the_file_is_named(change: tuple[str, str], rule: str) -> None:
    assert list(framing.read_symbologies(GOOD, "own")[0]) == ["]E4"]
    with pytest.raises(Refused, match=rule):
        framing.read_symbologies(GOOD.replace(*change), "own")
