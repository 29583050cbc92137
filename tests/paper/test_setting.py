"""A document: its values are never read as source, it reaches nothing outside, and says what its layout is."""

import sys

import pypdfium2
import pytest

from drawndose.paper import TYPE, Setting
from drawndose.quantities import Refused

PAGE = '#set page(width: 80mm, height: 20mm, margin: 2mm)\n#set text(font: "B612", fallback: false)\n'
SHOW = f"{PAGE}#sys.inputs.text"
SOURCES = [
    '#import "x.typ"',
    '#read("/etc/hostname")',
    "]",
    "[",
    "$x^2$",
    "*bold* _it_ `raw`",
    "#panic()",
    "\\ // no /* no */",
    '"; #sys',
    "@ref <label>",
    "= Head",
]


def text(pdf: bytes) -> str:
    with pypdfium2.PdfDocument(pdf) as document:
        return "\n".join(page.get_textpage().get_text_bounded() for page in document)


@pytest.mark.parametrize("value", SOURCES)
def test_a_value_prints_as_it_is(value: str) -> None:
    assert text(Setting(SHOW, {"text": value}).pdf()).split() == value.split()


def test_the_same_document_is_the_same_file() -> None:
    one, two = (Setting(SHOW, {"text": "0.5 mL"}) for _ in range(2))
    assert (one.pdf(), one.png(8)) == (two.pdf(), two.png(8))


def test_a_png_has_the_dots_that_were_asked_for_and_one_for_each_page() -> None:
    pages = Setting(f"{PAGE}one#pagebreak()two", {}).png(10)
    assert len(pages) == 2
    assert [int.from_bytes(pages[0][at : at + 4]) for at in (16, 20)] == [800, 200]


def test_the_layout_can_be_asked() -> None:
    made = Setting(f"{PAGE}#metadata(1) <it>#metadata(2) <it>", {})
    assert made.told("it") == [1, 2]
    assert made.told("else") == []
    assert made.pdf().startswith(b"%PDF-"), "asking takes nothing away"


@pytest.mark.parametrize(
    "source",
    [
        '#read("/../setting.py")',
        f'#read("{TYPE.parent}/setting.py")',
        '#image("/etc/hostname")',
        '#import "@preview/cetz:0.1.0"',
    ],
)
def test_even_a_source_reaches_no_file_and_no_package(source: str) -> None:
    with pytest.raises(RuntimeError):
        Setting(source, {}).pdf()


def test_no_typeface_but_the_packaged_is_there() -> None:
    assert text(Setting(f'{PAGE}#set text(font: "DejaVu Sans Mono")\nx', {}).pdf()).strip() in {"", "\ufffd", "\x00"}


def test_without_typst_nothing_is_set(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(Refused, match="needs the package typst, which is not installed"):
        Setting(SHOW, {})
