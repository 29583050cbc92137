"""Intraclass correlations: known limits, intervals that keep their level, and no number where learners do not differ."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.science.ranges import OutOfRange
from drawndose.science.statistics.estimable import Interval, NotEstimable
from drawndose.science.statistics.icc import icc, learners_needed

TABLES = st.tuples(st.integers(2, 5), st.integers(2, 4)).flatmap(
    lambda size: st.lists(
        st.lists(st.integers(0, 4), min_size=size[1], max_size=size[1]), min_size=size[0], max_size=size[0]
    )
)


@settings(deadline=None)
@given(TABLES)
def test_values_lie_in_their_intervals_and_nothing_is_nan(table: list[list[int]]) -> None:
    for form in (*icc(table).single, *icc(table).mean):
        assert isinstance(form.value, NotEstimable) or (np.isfinite(form.value) and form.value <= 1.0 + 1e-9)
        if isinstance(form.interval, Interval) and isinstance(form.value, float):
            assert form.interval.low - 1e-6 <= form.value <= form.interval.high + 1e-6


@settings(deadline=None)
@given(TABLES, st.integers(-3, 3), st.integers(1, 4))
@example([[0, 2], [1, 3], [2, 0]], 0, 3)  # just on -1, and with thirds a hair below it
def test_zero_and_unit_of_the_scores_do_not_matter(table: list[list[int]], zero: int, unit: int) -> None:
    moved = [[unit * one + zero for one in row] for row in table]
    for ours, theirs in zip(icc(table).single, icc(moved).single, strict=True):
        assert isinstance(ours.value, NotEstimable) == isinstance(theirs.value, NotEstimable)
        if isinstance(ours.value, float):
            assert ours.value == pytest.approx(theirs.value, abs=1e-6)


@settings(deadline=None)
@given(TABLES, st.lists(st.integers(-3, 3), min_size=4, max_size=4))
def test_consistency_does_not_mind_a_severe_evaluator_and_agreement_does(
    table: list[list[int]], off: list[int]
) -> None:
    moved = [[one + off[place] for place, one in enumerate(row)] for row in table]
    ours, theirs = icc(table).single[2].value, icc(moved).single[2].value
    assert isinstance(ours, NotEstimable) == isinstance(theirs, NotEstimable)
    if isinstance(ours, float):
        assert ours == pytest.approx(theirs, abs=1e-6)


def test_the_mean_of_many_is_steadier_than_one() -> None:
    table = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
    for one, many in zip(icc(table).single, icc(table).mean, strict=True):
        assert isinstance(one.value, float)
        assert many.value == pytest.approx(4 * one.value / (1 + 3 * one.value))


@pytest.mark.parametrize("form", [0, 1, 2])
def test_intervals_keep_their_level(form: int) -> None:
    """Learners with variance 1, evaluators with 0.25 (none for the first and third form), rest 0.5."""
    chance = np.random.default_rng(7)
    people = 0.5 if form == 1 else 0.0
    true = 1.0 / (1.0 + people**2 + 0.5)
    hits = 0
    for _ in range(600):
        table = chance.normal(0, 1, (20, 1)) + chance.normal(0, people, (1, 4)) + chance.normal(0, 0.5**0.5, (20, 4))
        ends = icc(table).single[form].interval
        assert isinstance(ends, Interval)
        hits += ends.low <= true <= ends.high
    assert hits / 600 == pytest.approx(0.95, abs=0.03)


@pytest.mark.parametrize(
    ("table", "because"),
    [
        ([[1, 2]], "two learners and two evaluators"),
        ([[1], [2]], "two learners and two evaluators"),
        ([[1, None], [2, 2]], "two learners and two evaluators"),
        ([[1, 1], [1, 1]], "every score is the same"),
        ([[1, 2], [1, 2]], "the learners do not differ"),
    ],
)
def test_no_number_and_why(table: list[list[int | None]], because: str) -> None:
    found = icc(table)
    for form in (*found.single, *found.mean):
        assert isinstance(form.value, NotEstimable)
        assert because in form.value.because
        assert form.interval == form.value


def test_a_learner_with_a_missing_score_is_left_out_and_counted() -> None:
    found = icc([[1, 2], [3, 4], [None, 5], [5, 7]])
    assert (found.learners, found.left_out, found.raters) == (3, 1, 2)


def test_evaluators_who_never_differ_show_no_spread() -> None:
    found = icc([[1, 1], [2, 2], [3, 3]])
    assert [form.value for form in (*found.single, *found.mean)] == pytest.approx([1.0] * 6)
    assert all(isinstance(form.interval, NotEstimable) for form in found.single)
    assert isinstance(found.df_two, NotEstimable)


def test_evaluators_who_differ_more_than_the_learners() -> None:
    no = NotEstimable("the evaluators differ more than the learners do")
    found = icc([[0, 4], [4, 1]])
    assert found.mean[1].value == no
    assert found.mean[1].interval == no


def test_learners_who_hardly_differ_give_no_interval() -> None:
    found = icc([[0, 5], [4, 1.01]])
    no = NotEstimable("the evaluators differ more than the learners do")
    assert (found.df_two, found.single[1].interval) == (no, no)
    wild = icc([[0, 4], [4, 0.01]])
    assert wild.single[1].value == wild.single[1].interval == wild.mean[1].interval == wild.df_two == no
    still = icc([[0, 8], [4, 4.01]])
    assert isinstance(still.single[1].value, float)
    assert (still.single[1].interval, still.df_two) == (no, no)


def test_sizes() -> None:
    assert learners_needed(0.7, 2, 0.2) == 101
    assert learners_needed(0.6, 2, 0.2, corrected=True) == learners_needed(0.6, 2, 0.2)
    assert learners_needed(0.8, 3, 0.1) > learners_needed(0.8, 3, 0.2)
    with pytest.raises(OutOfRange):
        learners_needed(1.2, 1, 0.0)


def test_a_table_that_is_none_is_refused() -> None:
    with pytest.raises(Refused):
        icc([[1, 2], [1]])
    with pytest.raises(OutOfRange):
        icc([[1, 2], [2, 1]], level_percent=101)
