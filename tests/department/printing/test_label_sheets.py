"""Sheets of labels: each label where the grid says, each code read back, partly used sheets, what does not fit."""

import pytest

from drawndose.department.printing import GRIDS, Grid, Size, cup, print_each, print_sheet, shelf, size_for
from drawndose.department.printing import specimens as made_up
from drawndose.quantities import Refused
from tests.department.printing.reading import bare, codes, furthest_apart, printed_pages, shown, sides, signs, told

PAIR = [cup(made_up.FOR_ITSELF), shelf(made_up.SHELF)]


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.name)
def test_a_full_sheet_and_one_more(grid: Grid) -> None:
    labels = [PAIR[at % 2] for at in range(grid.count + 1)]
    printed = print_sheet(labels, grid)
    assert sides(printed.pdf) == [(round(grid.paper.width, 2), round(grid.paper.height, 2))] * 2
    assert printed.size == grid.paper
    first, second = told(printed.pdf)
    assert bare(first).count("albuterol2.5mgin3mL") == sum(label is PAIR[0] for label in labels[:-1])
    assert bare(second) == bare("".join(labels[-1].words))
    assert bare("".join(printed.words)).startswith(bare("".join(PAIR[0].words)))


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.name)
def test_each_label_stands_at_its_place(grid: Grid) -> None:
    """The code that is read within a place is the code of the label for it."""
    start = grid.columns  # the last place of the first row
    printed = print_sheet(PAIR, grid, first=start)
    (page,), dots = printed_pages(printed.pdf, 8), 8
    for at, label in enumerate(PAIR, start=start - 1):
        x, y = grid.place(at)
        cut = page.crop(tuple(round(one * dots) for one in (x, y, x + grid.size.width, y + grid.size.height)))  # type: ignore[arg-type]
        assert [one.text for one in codes(cut)] == [label.code]
    (found,) = signs(printed.pdf)
    inside = [
        sum(
            x <= one.left and one.right <= x + grid.size.width and y <= one.top and one.bottom <= y + grid.size.height
            for one in found
        )
        for x, y in map(grid.place, (start - 1, start))
    ]
    assert sum(inside) == len(found)
    assert furthest_apart(page, shown(printed.png)) < 48


def test_labels_to_cut_have_their_outline() -> None:
    cut, stock = print_sheet(PAIR, GRIDS[0]), print_sheet(PAIR, GRIDS[3])
    x, y = (round(one * 8) for one in GRIDS[0].place(0))
    assert shown(cut.png).crop((x - 2, y + 40, x + 2, y + 200)).convert("L").getextrema()[0] < 200
    x, y = (round(one * 8) for one in GRIDS[3].place(1))
    assert shown(stock.png).crop((x - 2, y + 40, x + 2, y + 200)).convert("L").getextrema()[0] == 255


@pytest.mark.parametrize("first", [0, GRIDS[0].count + 1])
def test_a_place_that_is_not_on_the_sheet_is_refused(first: int) -> None:
    with pytest.raises(Refused, match="a sheet holds places 1 to 24"):
        print_sheet(PAIR, GRIDS[0], first=first)
    with pytest.raises(Refused, match="0 labels"):
        print_sheet([], GRIDS[0])


def test_every_label_that_does_not_fit_is_named() -> None:
    with pytest.raises(Refused) as refused:
        print_sheet([PAIR[0], cup(made_up.TWO_DRUGS), PAIR[1], cup(made_up.TWO_DRUGS)], GRIDS[0])
    assert [fault.field for fault in refused.value.faults] == ["cup label 2", "cup label 4"]
    assert all("mm of height" in fault.rule for fault in refused.value.faults)


def test_each_label_on_a_page_of_its_own_size() -> None:
    pairs = [(label, size_for(label)) for label in PAIR]
    pdf = print_each(pairs)
    assert sides(pdf) == [(size.width, size.height) for _, size in pairs]
    assert [bare(text) for text in told(pdf)] == [bare("".join(label.words)) for label in PAIR]


def test_of_labels_on_their_own_pages_each_that_does_not_fit_is_told_by_its_number() -> None:
    small = Size(width=20, height=15)
    with pytest.raises(Refused) as met:
        print_each([(PAIR[0], size_for(PAIR[0])), (PAIR[1], small), (PAIR[0], small)])
    assert [fault.field for fault in met.value.faults] == ["shelf label 2", "cup label 3"]
    with pytest.raises(Refused, match="nothing to print"):
        print_each([])
