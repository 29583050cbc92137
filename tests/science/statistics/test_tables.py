"""Tables in, and numbers or reasons out."""

import numpy as np
import pytest

from drawndose.quantities import Refused
from drawndose.science.statistics.estimable import Interval, NotEstimable, around, divided, finite
from drawndose.science.statistics.tables import column, complete, matrix, varies


def test_every_fault_of_a_table_is_told() -> None:
    with pytest.raises(Refused) as caught:
        matrix([[1, 2], [3], ["x", float("nan")]])  # type: ignore[list-item]
    assert [fault.field for fault in caught.value.faults] == [
        "table, row 2", "table, row 3, cell 1", "table, row 3, cell 2",
    ]  # fmt: skip


@pytest.mark.parametrize("rows", [[], [[]], np.empty((0, 3)), np.zeros(3)])
def test_an_empty_table_is_refused(rows: list[list[float]]) -> None:
    with pytest.raises(Refused, match="the table is empty"):
        matrix(rows)


def test_an_array_may_hold_missing_answers_but_nothing_infinite() -> None:
    assert complete(matrix(np.array([[1.0, np.nan], [1.0, 0.0]]))).tolist() == [[1.0, 0.0]]
    with pytest.raises(Refused, match="a cell is neither a number nor missing"):
        matrix(np.array([[np.inf]]))


def test_a_column_leaves_out_what_is_missing() -> None:
    assert column([]).size == 0
    assert varies(column([1, None, 2]))
    assert not varies(column([1, 1]))
    assert not varies(column([]))


def test_a_reason_is_handed_on() -> None:
    no = NotEstimable("x")
    assert around(no, 1.0) == no
    assert around(1.0, no) == no
    assert around(1.0, 1.0) == Interval(0.0, 2.0)
    assert divided(1.0, 1e-20, "nothing left") == NotEstimable("nothing left")
    assert finite(float("nan"), "no number") == NotEstimable("no number")
