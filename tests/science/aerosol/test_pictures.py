"""Pictures of an outcome: well-formed, told in words and rows, in proportion, readable without colour."""

import itertools
import re
import xml.etree.ElementTree as ET

import pytest

from drawndose.bench.drawing import LIGHTS, Figure, alone
from drawndose.science.aerosol.boxes import read_setup
from drawndose.science.aerosol.charts import LEFT, RIGHT, Row, axis_of, bands_chart, parts_chart
from drawndose.science.aerosol.outcome import Outcome, outcome
from drawndose.science.aerosol.pictures import beside_picture, course, course_picture, pictures

JET = outcome(read_setup(["jet", "fill=3 mL", "dose=2.5 mg"]), trials=20_000)
MESH = outcome(read_setup(["mesh", "fill=3 mL"]), trials=20_000)
CHILD = outcome(read_setup(["jet", "fill=3 mL", "breath=child", "stop=4"]), trials=20_000)
EVERY = [*pictures(JET, "a"), *pictures(MESH, "b"), *pictures(CHILD, "c"), beside_picture(JET, MESH, "d")]


@pytest.mark.parametrize("figure", EVERY, ids=lambda one: one.ident)
def test_a_picture_is_whole_and_told(figure: Figure) -> None:
    root = ET.fromstring(figure.svg)
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{figure.ident}-name"
    assert figure.name.endswith(".")
    assert figure.words
    assert figure.rows
    assert "style=" not in figure.svg
    assert "nan" not in figure.svg
    for light in LIGHTS:
        ET.fromstring(alone(figure, light))


def test_every_id_is_another() -> None:
    assert len({one.ident for one in EVERY}) == len(EVERY)


def test_which_pictures_there_are() -> None:
    kinds = [one.kind for one in pictures(JET, "a")]
    assert kinds == ["mass balance", "concentration over time", "regions", *["what matters most"] * 4]
    assert "regions" not in [one.kind for one in pictures(CHILD, "c")]


def test_the_parts_of_the_bar_are_as_wide_as_their_shares() -> None:
    (picture,) = (one for one in pictures(JET, "a") if one.kind == "mass balance")
    boxes = [node for node in ET.fromstring(picture.svg).iter() if node.tag == "rect"]
    shares = [share for _, _, share in JET.balance]
    assert [float(node.get("width", "")) for node in boxes] == [
        pytest.approx((RIGHT - LEFT) * share, abs=0.02) for share in shares
    ]
    assert len(picture.rows) == 6


def test_the_numbers_over_narrow_parts_do_not_touch() -> None:
    svg = parts_chart("x", [("a", 0.97), ("b", 0.01), ("c", 0.01), ("d", 0.01)])
    places = [float(x) for x in re.findall(r'class="container-number" x="([0-9.]+)"', svg)]
    assert all(second - first >= 14 for first, second in itertools.pairwise(places))


def test_the_course_begins_at_one_and_rises() -> None:
    minutes, low, middle, high = course(JET)
    assert (minutes[0], low[0], middle[0], high[0]) == (0.0, 1.0, 1.0, 1.0)
    assert list(high) == sorted(high)
    assert all(one <= two <= three for one, two, three in zip(low, middle, high, strict=True))
    assert high[-1] == pytest.approx(JET.bands["rise"].high, rel=0.05)
    assert course(CHILD)[0][-1] == 4.0


def test_a_band_lies_where_its_numbers_are() -> None:
    svg = bands_chart(
        "x", [Row(label="a", low=20.0, high=50.0, mark=30.0, spread=(10.0, 60.0), point=40.0)], "%", 100.0
    )
    (box,) = (node for node in ET.fromstring(svg).iter() if node.tag == "rect")
    wide = RIGHT - LEFT
    assert float(box.get("x", "")) == pytest.approx(LEFT + 0.2 * wide)
    assert float(box.get("width", "")) == pytest.approx(0.3 * wide)
    (dot,) = (node for node in ET.fromstring(svg).iter() if node.tag == "circle")
    assert float(dot.get("cx", "")) == pytest.approx(LEFT + 0.4 * wide)
    assert 'class="edge"' in svg
    assert 'class="edge"' not in bands_chart("x", [Row(label="a", low=1.0, high=2.0)], "min")


@pytest.mark.parametrize("most", [0.013, 0.9, 1.0, 3.0, 7.2, 48.0, 100.0, 480.0])
def test_an_axis_holds_what_it_must_in_few_steps(most: float) -> None:
    end, step = axis_of(most)
    assert end >= most - 1e-9
    assert 1 <= round(end / step) <= 6
    assert end / step == pytest.approx(round(end / step))


def test_side_by_side_tells_both(capsys: pytest.CaptureFixture[str]) -> None:
    del capsys
    picture = beside_picture(JET, CHILD, "x")
    assert [name for name, _ in picture.rows][:2] == ["time, 1", "time, 2"]
    assert "lung in all, 1" not in dict(picture.rows)
    assert "lung in all, 2" in dict(beside_picture(JET, MESH, "x").rows)


def _table(found: Outcome) -> dict[str, str]:
    return dict(found.rows)


def test_regions_in_the_picture_are_rounded_as_in_the_table() -> None:
    (picture,) = (one for one in pictures(MESH, "b") if one.kind == "regions")
    assert dict(picture.rows)["deep lung"] == _table(MESH)["deep lung"]
    words = "".join(ET.fromstring(picture.svg).itertext())
    assert f"deep lung: {_table(MESH)['deep lung']}" in words


def test_a_cup_that_does_not_grow_stronger_is_told_as_filled() -> None:
    rows = course_picture(MESH, "x").rows
    assert {said for _, said in rows} == {"as filled"}
    rising = course_picture(JET, "x").rows
    assert rising[0] == ("0 min", "as filled")
    assert all(said.startswith("1 to ") and said.endswith(" times") for _, said in rising[1:])
