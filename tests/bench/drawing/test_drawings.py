"""The drawings against the volumes that they stand for, worked out again here from the numbers of the scale."""

import doctest
import importlib
import re
from fractions import Fraction

import pytest

from drawndose.bench import drawing
from drawndose.bench.drawing import figure
from drawndose.bench.drawing.syringe import window_of
from drawndose.reference import Container, Instrument, Kind, load

syringe_module = importlib.import_module("drawndose.bench.drawing.syringe")
SYRINGES = [tool for tool in load().instruments if tool.kind is Kind.SYRINGE and tool.tip == "luer"]
DROPPERS = [tool for tool in load().instruments if tool.kind is Kind.DROPPER]
CLOSE = Fraction(1, 4)

NUMBER_STYLE = re.compile(
    r"(?<![\d.])\.\d"  # a naked point
    r"|\d\.\d*0(?!\d)"  # a trailing zero
    r"|\d{4}"  # no comma from 1,000 on
    r"|(?<![a-z])cc\b|\bIU\b|\d ?U\b|\bmLs\b|[\u00b5\u03bc]|/ ?\d|/ ?mL"
)


def lines(svg: str, css: str) -> list[tuple[Fraction, Fraction]]:
    """Volume and height of every line of a class."""
    found = re.findall(rf'<line class="{css}" [^>]*y1="([^"]+)"[^>]*y2="([^"]+)" data-ml="([^"]+)"', svg)
    assert all(first == last for first, last, _ in found)
    return [(Fraction(volume), Fraction(height)) for height, _, volume in found]


def texts(svg: str) -> list[str]:
    return [one.replace("\u00a0", " ") for one in re.findall(r"<text[^>]*>([^<]*)</text>", svg)]


def every_line(tool: Instrument) -> list[Fraction]:
    count = int(tool.capacity / tool.step)
    return [tool.step * place for place in range(1, count + 1)]


def test_coordinates_are_written_exactly() -> None:
    assert doctest.testmod(figure).failed == 0


@pytest.mark.parametrize("tool", SYRINGES, ids=lambda tool: tool.id)
def test_every_mark_and_every_reading_of_every_syringe_stands_where_its_volume_puts_it(tool: Instrument) -> None:
    for volume in every_line(tool):
        made = drawing.syringe("d", tool, volume, "here")
        marks = lines(made.svg, "mark")
        (first, top), (last, bottom) = marks[0], marks[-1]
        per_ml = (bottom - top) / (last - first)
        assert per_ml * tool.step >= 5 - CLOSE / 10, "marks closer than 5 pixels cannot be counted"
        for place, height in marks:
            assert (place / tool.step).denominator == 1, "a mark that the scale does not have"
            assert abs(height - (top + (place - first) * per_ml)) <= CLOSE
        [(stands_for, edge)] = lines(made.svg, "edge")
        assert stands_for == volume
        assert abs(edge - (top + (volume - first) * per_ml)) <= CLOSE
        numbers = [text for text in texts(made.svg) if re.fullmatch(r"[\d.,]+", text)]
        assert any(Fraction(text) < volume for text in numbers)
        assert any(Fraction(text) > volume for text in numbers) or volume + tool.numbered > tool.capacity


@pytest.mark.parametrize("tool", SYRINGES, ids=lambda tool: tool.id)
def test_numbers_of_the_scale_are_level_with_their_marks(tool: Instrument) -> None:
    made = drawing.syringe("d", tool, tool.capacity, "here")
    marks = dict(lines(made.svg, "mark"))
    for height, text in re.findall(r'<text class="numeral" x="[^"]+" y="([^"]+)"[^>]*>([^<]+)<', made.svg):
        assert abs(marks[Fraction(text)] - (Fraction(height) - Fraction(11, 2))) <= CLOSE


def test_bracket_stands_for_the_permissible_error_and_only_where_a_mark_shows_it() -> None:
    for tool in SYRINGES:
        for volume in every_line(tool):
            made = drawing.syringe("d", tool, volume, "here")
            error = tool.permissible_error(volume)
            found = re.search(r'class="band-edge" d="M [\d.]+ ([\d.]+) H [\d.]+ V ([\d.]+)', made.svg)
            assert (found is not None) == (2 * error >= tool.step)
            if found is not None:
                (first, top), (last, bottom) = lines(made.svg, "mark")[0], lines(made.svg, "mark")[-1]
                per_ml = (bottom - top) / (last - first)
                least = max(volume - error, Fraction(0))  # a barrel cannot hold less than nothing
                low, high = top + (least - first) * per_ml, top + (volume + error - first) * per_ml
                assert abs(Fraction(found[1]) - low) <= CLOSE
                assert abs(Fraction(found[2]) - high) <= CLOSE
            else:
                assert "less than one mark shows" in made.words[2]


def test_window_shows_a_numbered_mark_on_each_side() -> None:
    tool = load().instrument("syringe-1")
    for volume in every_line(tool):
        low, high = window_of(tool, volume)
        below = max(place for place in (tool.numbered * n for n in range(11)) if place < volume)
        assert 0 <= low <= below < volume <= high <= tool.capacity


@pytest.mark.parametrize("tool", DROPPERS, ids=lambda tool: tool.id)
def test_dropper_has_its_own_marks_and_no_others(tool: Instrument) -> None:
    for volume in tool.marks:
        made = drawing.dropper("d", tool, volume, "here")
        marks = lines(made.svg, "mark")
        assert [place for place, _ in marks] == list(tool.marks)
        [(stands_for, edge)] = lines(made.svg, "edge")
        assert (stands_for, edge) in marks
        assert abs((marks[0][1] - 308) * tool.marks[1] - (marks[1][1] - 308) * tool.marks[0]) <= CLOSE
        curve = re.search(r'class="meniscus" d="M \S+ (\S+) Q \S+ (\S+) \S+ (\S+)"', made.svg)
        assert curve is not None
        wall, control, _ = (Fraction(one) for one in curve.groups())
        assert (wall + control) / 2 == edge, "the line touches the lowest point of the curve"
        assert "eye level here" in texts(made.svg)


@pytest.mark.parametrize("kind", Container)
def test_level_and_bracket_of_a_container_are_shares_of_its_contents(kind: Container) -> None:
    for holds, taken in ((Fraction(20), Fraction(1, 2)), (Fraction(3), Fraction(3)), (Fraction(5, 2), Fraction(5, 4))):
        made = drawing.container("d", kind, "a name", (holds, holds), (taken,))
        (_, level), (_, after) = lines(made.svg, "level") + lines(made.svg, "level after")
        assert abs((after - level) - taken / holds * 78) <= CLOSE
        bracket = re.search(r'class="band-edge" d="M \S+ (\S+) H \S+ V (\S+)', made.svg)
        assert bracket is not None
        assert (Fraction(bracket[1]), Fraction(bracket[2])) == (level, after)


def test_cup_is_a_fill_guide_and_says_that_it_is_no_measure() -> None:
    for one in load().cups:
        for total in (one.needs.to("mL").value, one.holds.to("mL").value / 2):
            made = drawing.cup("d", one, total)
            assert "Fill guide, not a measure." in made.words[0]
            (stands_for, level), *_ = lines(made.svg, "fill-line")
            assert stands_for == total
            assert abs(level - (166 - total / one.holds.to("mL").value * 130)) <= CLOSE


def test_every_text_in_every_drawing_is_written_in_the_style_of_numbers() -> None:
    said: set[str] = set()
    for tool in SYRINGES:
        for volume in every_line(tool):
            made = drawing.syringe("d", tool, volume, "here")
            said |= {*texts(made.svg), *texts(made.small)}
    for tool in DROPPERS:
        for volume in tool.marks:
            said |= set(texts(drawing.dropper("d", tool, volume, "here").svg))
    for one in load().cups:
        said |= set(texts(drawing.cup("d", one, one.needs.to("mL").value).svg))
    assert {text for text in said if NUMBER_STYLE.search(text)} == set()
    assert all(text.endswith(" mL") for text in said if re.match(r"\d", text) and not re.fullmatch(r"[\d.,]+", text))


@pytest.mark.parametrize(
    "wrong", ["1.0 mL", ".5 mL", "2.50", "5cc", "5 cc", "10 U", "1000", "2.5 mg/3 mL", "5 \u00b5g"]
)
def test_number_style_catches_planted_faults(wrong: str) -> None:
    assert NUMBER_STYLE.search(wrong)


def test_nothing_is_drawn_between_lines() -> None:
    book = load()
    with pytest.raises(ValueError, match="no line"):
        drawing.syringe("d", book.instrument("syringe-3"), Fraction(1, 4), "here")
    with pytest.raises(ValueError, match="no mark"):
        drawing.dropper("d", book.instrument("dropper-0.25-0.5"), Fraction(2, 5), "here")


def test_a_full_cup_has_one_word_at_its_line_and_no_rod_is_drawn_where_the_window_ends() -> None:
    for one in load().cups:
        full = texts(drawing.cup("d", one, one.holds.to("mL").value).svg)
        assert [text for text in full if text.startswith("fill")] == []
        assert any(text.startswith("holds") for text in full)
    assert syringe_module._rod(Fraction(5), Fraction(5)) == ""
    assert syringe_module._rod(Fraction(5), Fraction(9), torn_off=False) != ""


def test_a_drawing_alone_has_room_for_its_strokes_and_names_itself() -> None:
    made = drawing.syringe("d", load().instrument("syringe-3"), Fraction(2, 5), "here")
    file = drawing.alone(made)
    assert file.count("xmlns=") == 1
    assert 'viewBox="-4 -4 ' in file
    assert "<title>3 mL syringe, luer lock: fill to 0.4" in file
    assert "aria-" not in file
