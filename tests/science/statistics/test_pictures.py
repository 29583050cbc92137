"""The pictures of the skills lab: well-formed, told in words and rows, in proportion, readable without colour."""

import itertools
import re
import xml.etree.ElementTree as ET
from fractions import Fraction

import numpy as np
import pytest

from drawndose.bench.drawing import LIGHTS, Figure, alone
from drawndose.quantities import Refused
from drawndose.science.aerosol.charts import LEFT, RIGHT
from drawndose.science.statistics import cusum
from drawndose.science.statistics.charts import Along, Axis, Sign, along_chart, axis_through, cells_chart, steps_chart
from drawndose.science.statistics.leniency import leniency
from drawndose.science.statistics.pictures import (
    Drawn,
    board_picture,
    cusum_picture,
    evaluators_picture,
    step_map,
    volumes_picture,
)

DESIGN = cusum.design(0.2, 0.4, 0.1, 0.1)
STEPS = ["order & label", "hands cleaned", "air in first"]
HALF = Drawn(
    who="Ana", target=Fraction(1, 2), low=Fraction(19, 40), high=Fraction(21, 40), found=0.52, verdict="within", spread=(0.51, 0.53)
)  # fmt: skip
FAR = Drawn(who="Ben", target=Fraction(1), low=Fraction(19, 20), high=Fraction(21, 20), found=1.4, verdict="outside")
SHORT = Drawn(who="Cleo", target=Fraction(1), low=Fraction(19, 20), high=Fraction(21, 20), found=0.5, verdict="outside")


def judged() -> np.ndarray:
    """Four evaluators, of whom the third is lenient, and a fifth who scored nothing."""
    chance = np.random.default_rng(3)
    truth = chance.random((40, 3)) < 0.5
    scores = (truth[None] ^ (chance.random((4, 40, 3)) < 0.05)).astype(float)
    scores[2, :, 1] = 1.0
    scores[1, :, 2] = 0.0
    return np.concatenate([scores, np.full((1, 40, 3), np.nan)])


NAMES = ["Ana", "Ben", "Cleo", "Dov", "Eli"]
EVERY = [
    step_map("a", "glass ampoule", STEPS, [[3, 1], [5, 0], [0, 0]], [[24, 10], [24, 10], [24, 0]]),
    cusum_picture("b", "Ana Sample", [True] * 9, DESIGN),
    cusum_picture("c", "Ben Sample", [False] * 9, DESIGN),
    cusum_picture("d", "Cleo Sample", [True, False], DESIGN),
    cusum_picture("e", "Dov Sample", [], DESIGN),
    volumes_picture("f", "stoppered vial", [HALF, FAR, SHORT]),
    evaluators_picture("g", leniency(judged()), NAMES),
    board_picture("h", "spring class", ["vial", "ampoule"], [("Ana", [Sign.PASSED, Sign.DUE]), ("Cleopatra Longnamed-Sample", [Sign.FAILED, Sign.UNDER_WAY]), ("Dov", [Sign.NOT_BEGUN] * 2)]),
]  # fmt: skip


@pytest.mark.parametrize("figure", EVERY, ids=lambda one: one.ident)
def test_a_picture_is_whole_and_told(figure: Figure) -> None:
    root = ET.fromstring(figure.svg)
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{figure.ident}-name"
    assert figure.name.endswith(".")
    assert figure.words
    assert figure.rows
    for bad in ("style=", "nan", "fill=", "inf"):
        assert bad not in figure.svg
    for light in LIGHTS:
        ET.fromstring(alone(figure, light))


@pytest.mark.parametrize("figure", EVERY, ids=lambda one: one.ident)
def test_no_words_run_out_of_a_narrow_picture(figure: Figure) -> None:
    for node in ET.fromstring(figure.svg).iter("text"):
        x, wide = float(node.get("x", "")), 8.2 * len("".join(node.itertext()))
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[node.get("text-anchor", "start")]
        assert left >= -6
        assert left + wide <= 366


def test_the_bar_of_a_cell_is_its_share_of_the_box() -> None:
    svg = cells_chart(
        "x", ["try 1", "try 2"], [("a", [("3 of 12", 0.25), ("not seen", None)]), ("b", [("0 of 4", 0.0)] * 2)]
    )
    bars = [float(node.get("width", "")) for node in ET.fromstring(svg).iter("rect")]
    assert bars == [pytest.approx(0.25 * (RIGHT - LEFT) / 2, abs=0.02)]
    assert svg.count('class="past"') == 1
    told = dict(EVERY[0].rows)
    assert told["1  order & label"] == "try 1: 3 of 24; try 2: 1 of 10"
    assert told["3  air in first"] == "try 1: 0 of 24; try 2: not seen"


@pytest.mark.parametrize(("place", "said"), [(1, "acceptable at try 8"), (2, "unacceptable at try 4"), (3, "not decided after 2"), (4, "not decided after 0")])  # fmt: skip
def test_a_line_says_where_it_ends(place: int, said: str) -> None:
    figure = EVERY[place]
    assert dict(figure.rows)["result"] == said
    assert said in figure.name
    tries = int(dict(figure.rows)["tries"])
    signs = list(ET.fromstring(figure.svg).iter("circle"))
    assert len(signs) == tries
    assert [one.get("class") for one in signs].count("dot") == int(dict(figure.rows)["failures"])


def test_the_line_lies_where_its_values_are() -> None:
    svg = steps_chart("x", [-1.0, 1.0], [True, False], [(2.0, "high"), (-2.0, "low")])
    first, second = ET.fromstring(svg).iter("circle")
    guides = [float(node.get("y1", "")) for node in ET.fromstring(svg).iter("line") if node.get("class") == "guide"]
    middle = sum(guides) / 2
    assert float(first.get("cy", "")) - middle == pytest.approx(middle - float(second.get("cy", "")))
    assert float(first.get("cy", "")) == pytest.approx((middle + guides[1]) / 2, abs=0.02)


def test_a_volume_lies_in_its_bracket_and_one_far_off_is_an_arrow() -> None:
    figure = EVERY[5]
    root = ET.fromstring(figure.svg)
    (dot,) = root.iter("circle")
    axis = Axis(-20.0, 20.0, 10.0)
    assert float(dot.get("cx", "")) == pytest.approx(float(axis.x(4.0)), abs=0.02)
    arrows = [node for node in root.iter("path") if node.get("class") == "edge beyond"]
    tips = [float(re.findall(r"L ([0-9.]+)", node.get("d", ""))[0]) for node in arrows]
    assert tips == [RIGHT, LEFT]
    told = dict(figure.rows)
    assert told["Ana"] == "0.52 mL of 0.5 mL, within; accepted 0.475 to 0.525 mL; +4.0 %"
    assert told["Cleo"].endswith("−50.0 %")


def test_who_is_lenient_is_said_in_words_with_the_step() -> None:
    told = dict(EVERY[6].rows)
    assert "lenient on step 2" in told["Cleo"]
    assert "severe on step 3" in told["Ben"]
    assert told["Eli"].startswith("not estimable: nobody else scored the same tries")
    assert "lenient" not in told["Ana"]
    assert "severe" not in told["Ana"]


def test_a_class_where_nobody_differs_has_an_axis() -> None:
    figure = evaluators_picture("x", leniency(np.ones((2, 3, 2))), ["Ana", "Ben"])
    assert "+0.0 %" in dict(figure.rows)["Ana"]


def test_no_difference_is_shown_beyond_all_steps() -> None:
    scores = np.array([[[1.0], [0.0]], [[0.0], [0.0]]])
    figure = evaluators_picture("x", leniency(scores), ["Ana", "Ben"])
    assert ">100 %<" in figure.svg
    assert dict(figure.rows)["Ana"] == "+50.0 %; 2 tries scored by others too"
    assert "; 1 try scored" in dict(evaluators_picture("x", leniency(scores[:, :1]), ["Ana", "Ben"]).rows)["Ana"]


def test_each_state_has_a_shape_of_its_own() -> None:
    shapes = set()
    for sign in Sign:
        svg = board_picture("x", "c", ["vial"], [("Ana", [sign])]).svg
        cell = svg[svg.index('class="board-row"') : svg.index('class="key"')]
        shapes.add(re.sub(r"[0-9.\-]+", "", cell))
    assert len(shapes) == len(Sign)
    assert dict(EVERY[7].rows)["Cleopatra Longnamed-Sample"] == "vial: not passed, no try left; ampoule: under way"
    assert "Cleopatra Longna…" in EVERY[7].svg


@pytest.mark.parametrize(("least", "most"), [(0.0, 0.0), (-3.0, -1.0), (-0.013, 0.9), (2.0, 48.0), (-20.0, 40.0)])
def test_an_axis_holds_both_ends_and_nothing(least: float, most: float) -> None:
    axis = axis_through(least, most)
    ticks = axis.ticks()
    assert axis.low <= min(least, 0.0)
    assert axis.high >= max(most, 0.0)
    assert 0.0 in ticks
    assert len(ticks) <= 8
    assert all(second - first == pytest.approx(axis.step) for first, second in itertools.pairwise(ticks))


def test_a_row_may_have_nothing_but_words() -> None:
    svg = along_chart("x", [Along(label="not estimable")], axis_through(-1, 1), "%")
    assert "circle" not in svg
    assert "rect" not in svg


def test_what_is_no_picture_is_refused() -> None:
    for work, words in (
        (lambda: step_map("x", "c", ["a"], [[1], [2]], [[1]]), "one row for each step"),
        (lambda: step_map("x", "c", ["a"], [[1]], [[1, 2]]), "one row for each step"),
        (lambda: volumes_picture("x", "c", []), "one draw at least"),
        (lambda: evaluators_picture("x", leniency(np.ones((2, 3, 2))), ["Ana"]), "one for each evaluator"),
        (lambda: board_picture("x", "c", ["a"], [("Ana", [])]), "one sign for each skill"),
        (lambda: board_picture("x", "c", [], []), "one sign for each skill"),
    ):
        with pytest.raises(Refused, match=words):
            work()
