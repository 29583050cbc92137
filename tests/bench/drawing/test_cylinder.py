"""A graduated cylinder: zero at the foot, its own lines, read at the lowest point of the curve."""

import re
from dataclasses import replace
from fractions import Fraction

import pytest

from drawndose.bench import drawing
from drawndose.bench.draws import line_words
from drawndose.reference import Instrument, Kind, load
from tests.bench.drawing.seen import CLOSE, every_line, lines, texts

CYLINDERS = [tool for tool in load().measures if tool.kind is Kind.CYLINDER]


@pytest.mark.parametrize("tool", CYLINDERS, ids=lambda tool: tool.id)
def test_lines_rise_from_the_foot_and_the_curve_rests_on_its_line(tool: Instrument) -> None:
    for volume in every_line(tool):
        made = drawing.cylinder("d", tool, volume, line_words(tool, volume))
        marks = lines(made.svg, "mark")
        heights = [height for _, height in marks]
        assert heights == sorted(heights, reverse=True), "more must stand higher"
        [(stands_for, edge)] = lines(made.svg, "edge")
        assert (stands_for, edge) in marks
        curve = re.search(r'class="meniscus" d="M \S+ (\S+) Q \S+ (\S+) \S+ (\S+)"', made.svg)
        assert curve is not None
        wall, control, _ = (Fraction(one) for one in curve.groups())
        assert (wall + control) / 2 == edge, "the line touches the lowest point of the curve"
        assert "eye level here" in texts(made.svg)
        assert "the lowest point of the curve" in made.words[1]


@pytest.mark.parametrize("tool", CYLINDERS, ids=lambda tool: tool.id)
def test_bracket_of_a_cylinder_stands_for_the_permissible_error(tool: Instrument) -> None:
    for volume in every_line(tool):
        made = drawing.cylinder("d", tool, volume, "here")
        found = re.search(r'class="band-edge" d="M \S+ (\S+) H \S+ V (\S+)', made.svg)
        error = tool.permissible_error(volume)
        assert (found is not None) == (2 * error >= tool.step)
        if found is None:
            assert "less than one mark shows" in made.words[2]
            continue
        (first, low), (last, high) = lines(made.svg, "mark")[0], lines(made.svg, "mark")[-1]
        pixels = (high - low) / (last - first)
        assert abs(Fraction(found[1]) - (low + (volume + error - first) * pixels)) <= CLOSE
        assert abs(Fraction(found[2]) - (low + (max(volume - error, Fraction(0)) - first) * pixels)) <= CLOSE


def test_crowded_lines_are_shown_in_a_window_with_torn_ends() -> None:
    tool = replace(CYLINDERS[0], step=Fraction(1, 10), numbered=Fraction(1))
    shown = {volume: drawing.cylinder("d", tool, volume, "here").svg for volume in every_line(tool)}
    for volume, svg in shown.items():
        numbers = [Fraction(text) for text in texts(svg) if re.fullmatch(r"[\d.]+", text)]
        assert any(number < volume for number in numbers)
        assert any(number > volume for number in numbers) or volume == tool.capacity
    assert shown[Fraction(26, 5)].count(" L ") > shown[Fraction(1, 5)].count(" L "), (
        "the foot is whole where it is shown"
    )


def test_nothing_is_drawn_between_the_lines_of_a_cylinder() -> None:
    with pytest.raises(ValueError, match="no line"):
        drawing.cylinder("d", CYLINDERS[0], Fraction(1, 7), "here")
