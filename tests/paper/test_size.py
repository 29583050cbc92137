"""Sizes of labels as a department types them: read as typed, told as they read back, and all that is wrong at once."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.paper.size import SIZES, Size, read_size
from drawndose.quantities import Refused


@pytest.mark.parametrize(
    ("text", "width", "height"), [("57 x 32 mm", 57, 32), ("25x67 mm", 25, 67), (" 66.7 x 25.4mm ", 66.7, 25.4)]
)
def test_a_size_is_read_as_it_is_typed(text: str, width: float, height: float) -> None:
    assert read_size(text) == Size(width=width, height=height)


@given(st.integers(15, 300), st.integers(15, 300))
def test_a_size_says_what_reads_back(width: int, height: int) -> None:
    assert read_size(Size(width=width, height=height).says) == Size(width=width, height=height)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "57",
        "57 x 32",
        "57 x 32 in",
        "57 by 32 mm",
        "5 7 x 32 mm",
        "57,5 x 32 mm",
        "-57 x 32 mm",
        "\u0665\u0667 x 32 mm",
    ],
)
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(Refused, match="two sides, width first"):
        read_size(text)


def test_all_that_is_wrong_with_a_size_is_told_at_once() -> None:
    with pytest.raises(Refused) as refused:
        Size(width=14, height=301, margin=6, large=11.9, text=7)
    assert [fault.field for fault in refused.value.faults] == ["width", "height", "margin", "large", "text"]
    assert "12 to 72 pt" in str(refused.value)
    assert "8 to 72 pt" in str(refused.value)


def test_the_text_runs_along_the_longer_side() -> None:
    assert [size.turned for size in SIZES] == [False, True, False, False]
