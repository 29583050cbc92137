"""The drawings against the volumes that they stand for, worked out again here from the numbers of the scale."""

import doctest
import re
from fractions import Fraction

import pytest

from drawndose.bench import drawing
from drawndose.bench.drawing import barrel, figure
from drawndose.bench.drawing.graduations import BARREL, window_of
from drawndose.reference import Container, Instrument, Kind, load
from tests.bench.drawing.seen import CLOSE, NUMBER_STYLE, every_line, lines, texts

SYRINGES = [tool for tool in load().measures if tool.kind is Kind.SYRINGE and tool.tip == "luer"]
DROPPERS = [tool for tool in load().measures if tool.kind is Kind.DROPPER]


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
        bracket = re.search(r'class="band-edge" d="M \S+ (\S+) H \S+ V (\S+)', made.svg)
        assert bracket is not None
        error = tool.permissible_error(volume) * 200 / tool.capacity
        assert abs(edge - Fraction(bracket[1]) - error) <= CLOSE
        assert abs(Fraction(bracket[2]) - edge - error) <= CLOSE


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
    assert barrel.rod(Fraction(5), Fraction(5), BARREL) == ""
    assert barrel.rod(Fraction(5), Fraction(9), BARREL, torn_off=False) != ""
