"""A drawing as a file, and what holds for every drawing: style of numbers, digits that agree, classes that have a style."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from drawndose.bench import drawing
from drawndose.bench.drawing.alone import STYLE
from tests.bench.drawing.seen import NUMBER_STYLE, every_sort, quantities, said, texts

CSS = Path(drawing.__file__).parents[2] / "department/web/static/drawndose/drawndose.css"
FIGURES = list(every_sort())
GROUPS = {  # classes that only name a part: whatever stands in them has a class of its own
    *(
        "air",
        "band",
        "barrel",
        "barrel-end",
        "callout",
        "container",
        "liquid",
        "marks",
        "moment",
        "mounted",
        "nth-moment",
    ),
    *("numerals", "rib", "rod", "rule", "stopper", "tip", "vial", "level", "score", "edge", "past", "scale-drawing"),
    *("container-drawing", "overview"),
}


def styled(css: str) -> set[str]:
    return set(re.findall(r"\.([a-z][a-z-]+)", css))


def worn(svg: str) -> set[str]:
    return {one for found in re.findall(r' class="([^"]*)"', svg) for one in found.split()}


def test_every_text_of_every_figure_is_written_in_the_style_of_numbers() -> None:
    assert {text for figure in FIGURES for text in said(figure) if NUMBER_STYLE.search(text)} == set()


def test_what_a_picture_prints_stands_in_its_words_or_table_digit_for_digit() -> None:
    for figure in FIGURES:
        beside = " ".join([figure.name, *figure.words, *(part for row in figure.rows for part in row)])
        for text in (*texts(figure.svg), *texts(figure.small)):
            assert quantities(text) <= quantities(beside) | {"50"}, (figure.name, text)


def test_every_figure_is_named_described_and_told_in_a_table() -> None:
    assert {figure.kind for figure in FIGURES} == {
        *("syringe", "dropper", "cylinder", "trim", "needle", "life-size"),
        *("container", "inverted-vial", "ampoule", "cup"),
    }
    for figure in FIGURES:
        assert figure.name.endswith(".")
        assert figure.words
        assert len(dict(figure.rows)) == len(figure.rows) > 1
        assert 'role="img" aria-labelledby="d-name" aria-describedby="d-words"' in figure.svg


def test_every_class_has_a_style_on_the_page_and_in_a_file() -> None:
    page = CSS.read_text(encoding="utf-8")
    drawings = page[page.index("@layer drawings") : page.index("@layer pages")]
    used = set().union(*(worn(figure.svg) | worn(figure.small) for figure in FIGURES)) - GROUPS
    assert used - styled(drawings) == set()
    assert used - styled(STYLE.template) == set()


@pytest.mark.parametrize("light", ["day", "bright", "night"])
def test_a_file_has_the_colours_of_the_page(light: str) -> None:
    page = CSS.read_text(encoding="utf-8")
    tokens = dict(re.findall(r"--([a-z]+): (#[0-9a-f]+|[\d.]+px)", re.search(r":root \{(.*?)\}", page, re.DOTALL)[1]))  # type: ignore[index]
    if light != "day":
        found = re.search(rf'\[data-light="{light}"\] \{{(.*?)\}}', page, re.DOTALL)
        assert found is not None
        tokens |= dict(re.findall(r"--([a-z]+): (#[0-9a-f]+|[\d.]+px)", found[1]))
    for name, value in drawing.LIGHTS[light].items():
        assert tokens["edge" if name == "tint" else name] == value


@pytest.mark.parametrize("light", drawing.LIGHTS)
def test_every_figure_is_a_file_that_names_itself_and_loads_nothing(light: str) -> None:
    for figure in FIGURES:
        file = drawing.alone(figure, light)
        root = ElementTree.fromstring(file)
        assert root.findtext("{*}title") == figure.name
        assert root.findtext("{*}desc") == " ".join(figure.words)
        assert "aria-" not in file
        assert "var(" not in file
        assert "url(" not in file
        assert "$" not in file


def test_a_file_has_room_for_its_strokes() -> None:
    file = drawing.alone(next(figure for figure in FIGURES if figure.kind == "syringe"))
    found = re.search(r'viewBox="-4 -4 (\S+) (\S+)" width="(\S+)" height="(\S+)"', file)
    assert found is not None
    assert (found[1], found[2]) == (found[3], found[4])


def test_on_paper_no_tint_is_left_and_everything_is_black_on_white() -> None:
    assert set(drawing.LIGHTS["paper"].values()) == {"#000", "#fff", "none", "1.5px"}


def test_the_number_of_the_mark_is_readable_at_arms_length() -> None:
    """CSS defines its pixel by an angle, 1/96 inch seen from 28 inches; digits of our figures are 0.72 of their size high.

    20 minutes of arc is what ergonomics asks of a character that is read without haste (from memory: ISO 9241-303), and 15
    is enough for a numeral of the scale.
    """
    minutes = 1 / 96 / 28 * 60 * 180 / 3.14159
    page = CSS.read_text(encoding="utf-8")
    for css, least in (("callout-number", 20), ("numeral", 15)):
        for style in (page, STYLE.template):
            size = re.search(rf"\.{css} \{{ font-size: ([\d.]+)px", style)
            assert size is not None
            assert float(size[1]) * 0.72 * minutes >= least
