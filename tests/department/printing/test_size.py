"""Grids as settings: what would not stand on the paper."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.department.printing import A4, GRIDS, LETTER, SIZES, Grid, Size, cut_grid
from drawndose.quantities import Refused


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.name)
def test_the_places_of_a_grid_lie_on_the_paper_and_apart(grid: Grid) -> None:
    places = [grid.place(at) for at in range(grid.count)]
    assert len(set(places)) == grid.count
    for x, y in places:
        assert x >= 0
        assert y >= 0
        assert x + grid.size.width <= grid.paper.width
        assert y + grid.size.height <= grid.paper.height
    for at, (x, y) in enumerate(places):
        for other_x, other_y in places[at + 1 :]:
            assert abs(x - other_x) >= grid.size.width - 1e-9 or abs(y - other_y) >= grid.size.height - 1e-9


def test_a_printer_that_pulls_askew_is_set_right() -> None:
    grid = Grid(
        name="one",
        paper=A4,
        size=SIZES[0],
        columns=1,
        rows=1,
        left=10,
        top=10,
        across=0,
        down=0,
        shift_right=1.5,
        shift_down=-2,
    )
    assert grid.place(0) == (11.5, 8)


WRONG = [
    ({"columns": 0}, "columns"),
    ({"columns": 4}, "columns"),
    ({"left": -1}, "columns"),
    ({"across": 56}, "columns"),
    ({"rows": 10}, "rows"),
    ({"shift_down": -11}, "rows"),
]


@pytest.mark.parametrize(("change", "field"), WRONG)
def test_a_grid_that_does_not_stand_on_its_paper_is_refused(change: dict[str, float], field: str) -> None:
    known = {"columns": 3, "rows": 8, "left": 10, "top": 10, "across": 60, "down": 34} | change
    with pytest.raises(Refused) as refused:
        Grid(name="own", paper=A4, size=SIZES[0], **known)  # type: ignore[arg-type]
    assert [fault.field for fault in refused.value.faults] == [field]


@given(st.sampled_from([A4, LETTER]), st.integers(20, 180), st.integers(20, 180))
def test_plain_paper_is_filled_evenly(paper, width: int, height: int) -> None:
    grid = cut_grid(paper, Size(width=width, height=height))
    last = grid.place(grid.count - 1)
    assert grid.framed
    assert last[0] + width == pytest.approx(paper.width - grid.left)
    assert last[1] + height == pytest.approx(paper.height - grid.top)


def test_a_label_that_no_paper_holds_is_refused() -> None:
    with pytest.raises(Refused, match="do not stand on A4"):
        cut_grid(A4, Size(width=250, height=30))
