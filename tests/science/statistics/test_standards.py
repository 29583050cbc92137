"""Pass marks: what the constructed vectors cannot show, and where no mark can be set."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.science.statistics.estimable import Interval, NotEstimable
from drawndose.science.statistics.standards import angoff, borderline

PLACES = st.lists(st.tuples(st.integers(1, 4), st.integers(20, 100)), min_size=4, max_size=20)


@settings(deadline=None)
@given(st.lists(st.lists(st.floats(0, 1), min_size=3, max_size=3), min_size=1, max_size=6))
def test_the_cut_lies_between_the_judges(ratings: list[list[float]]) -> None:
    found = angoff(ratings)
    assert isinstance(found.cut.value, float)
    assert min(found.by_judge) - 1e-9 <= found.cut.value <= max(found.by_judge) + 1e-9
    assert found.cut.percent == pytest.approx(100 * found.cut.value / 3)
    assert isinstance(found.cut.se, NotEstimable) == isinstance(found.cut.interval, NotEstimable)


def test_judges_who_are_too_few_or_all_alike() -> None:
    one = angoff([[0.5, 0.7]])
    assert one.cut.value == pytest.approx(1.2)
    assert one.cut.se == one.sd_judges == one.spread_of_step[0] == NotEstimable("one judge shows no spread")
    alike = angoff([[0.5, 0.75]] * 3)
    assert (alike.sd_judges, alike.cut.se) == (0.0, NotEstimable("every judge stands at the same"))
    gaps = angoff([[0.5, None], [None, 0.5]])
    assert (gaps.left_out, gaps.cut.rests_on) == (2, 0)
    assert gaps.cut.value == gaps.cut.percent == NotEstimable("no judge rated every step")


def test_a_chance_is_a_chance() -> None:
    with pytest.raises(Refused) as caught:
        angoff([[0.5, 70], [-0.1, 0.5]])
    assert len(caught.value.faults) == 2


@settings(deadline=None)
@given(PLACES)
def test_the_line_meets_the_group_where_everybody_is_borderline(places: list[tuple[int, int]]) -> None:
    grades, scores = [2.0] * len(places), [float(score) for _, score in places]
    found = borderline(grades, scores, 2)
    assert found.group.value == pytest.approx(sum(scores) / len(scores))
    assert found.regression.value == NotEstimable("a line needs two points of unlike x")


@settings(deadline=None)
@given(PLACES)
def test_marks_move_with_the_scores(places: list[tuple[int, int]]) -> None:
    grades, scores = [float(one) for one, _ in places], [float(score) for _, score in places]
    ours, moved = borderline(grades, scores, 2), borderline(grades, [score + 10 for score in scores], 2)
    for one, other in ((ours.group, moved.group), (ours.regression, moved.regression)):
        assert isinstance(one.value, NotEstimable) == isinstance(other.value, NotEstimable)
        if isinstance(one.value, float) and isinstance(other.value, float):
            assert other.value == pytest.approx(one.value + 10)
        if isinstance(one.interval, Interval):
            assert isinstance(one.value, float)
            assert one.interval.low <= one.value <= one.interval.high


def test_marks_that_cannot_be_set() -> None:
    found = borderline([1, 3, 4], [30, 60, 90], 2)
    assert found.group.value == found.group_median == found.group.se == NotEstimable("nobody was called borderline")
    assert found.regression.value == pytest.approx(47.142857, abs=1e-6)
    one = borderline([1, 2, 4], [30, 55, 90], 2)
    assert (one.group.value, one.group.se) == (55.0, NotEstimable("one borderline learner shows no spread"))
    assert borderline([1, 2, 3], [90, 60, 30], 2).regression.value == NotEstimable(
        "scores do not rise with the grade, so the line sets no standard"
    )
    assert borderline([1, 2, 3], [50, 50, 50], 2).regression.value == NotEstimable("y never varies")
    assert borderline([1, 2], [30, 50], 2).regression.se == NotEstimable(
        "three points at least show how far they lie off the line"
    )


def test_what_does_not_belong_together_is_refused() -> None:
    with pytest.raises(Refused, match="one for each grade"):
        borderline([1, 2], [30], 2)
    with pytest.raises(Refused, match="the full score is more than 0"):
        borderline([1, 2], [30, 40], 2, full=0)
