"""Intervals of a share: bounds, symmetry, coverage, and the edges of small groups."""

from math import log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from drawndose.quantities import Refused
from drawndose.science.ranges import OutOfRange
from drawndose.science.statistics.estimable import Interval, NotEstimable
from drawndose.science.statistics.proportion import (
    difference,
    exact,
    exact_lower,
    share,
    successes_needed,
    wald,
    wilson,
)

COUNTS = st.integers(1, 300).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@settings(deadline=None)
@given(COUNTS)
def test_both_intervals_agree_with_scipy(counts: tuple[int, int]) -> None:
    x, n = counts
    theirs = stats.binomtest(x, n)
    for ours, method in ((wilson(x, n), "wilson"), (exact(x, n), "exact")):
        assert ours == pytest.approx(tuple(theirs.proportion_ci(0.95, method=method)), abs=1e-9)


@settings(deadline=None)
@given(COUNTS)
def test_failures_have_the_mirrored_interval(counts: tuple[int, int]) -> None:
    x, n = counts
    for kind in (wilson, exact):
        ours, mirrored = kind(x, n), kind(n - x, n)
        assert isinstance(ours, Interval)
        assert isinstance(mirrored, Interval)
        assert 0.0 <= ours.low <= x / n <= ours.high <= 1.0
        assert (ours.low, ours.high) == pytest.approx((1 - mirrored.high, 1 - mirrored.low), abs=1e-9)


@settings(deadline=None)
@given(COUNTS)
def test_the_exact_interval_keeps_its_level(counts: tuple[int, int]) -> None:
    x, n = counts
    ends = exact(x, n)
    assert isinstance(ends, Interval)
    if x:
        assert stats.binom.sf(x - 1, n, ends.low) == pytest.approx(0.025, abs=1e-6)
    if x < n:
        assert stats.binom.cdf(x, n, ends.high) == pytest.approx(0.025, abs=1e-6)


def test_a_class_of_ten_that_all_passed_still_leaves_room() -> None:
    assert wilson(10, 10) == pytest.approx((0.7225, 1.0), abs=1e-4)
    assert exact_lower(0, 10) == 0.0


@pytest.mark.parametrize("kind", [wilson, exact, wald, share])
def test_nobody_tried(kind: object) -> None:
    assert kind(0, 0) == NotEstimable("nobody tried")  # type: ignore[operator]
    assert difference((0, 0), (1, 2)) == difference((1, 2), (0, 0)) == NotEstimable("nobody tried")


@pytest.mark.parametrize("x", [0, 20])
def test_the_plain_interval_has_no_width_where_all_came_out_alike(x: int) -> None:
    assert isinstance(wald(x, 20), NotEstimable)


def test_the_plain_interval() -> None:
    assert wald(30, 1180) == pytest.approx((0.016443, 0.034405), abs=1e-6)


@settings(deadline=None)
@given(COUNTS, COUNTS)
def test_a_difference_mirrors_and_holds_the_observed_one(one: tuple[int, int], other: tuple[int, int]) -> None:
    ends, mirrored = difference(one, other), difference(other, one)
    assert isinstance(ends, Interval)
    assert isinstance(mirrored, Interval)
    assert -1.0 - 1e-9 <= ends.low <= one[0] / one[1] - other[0] / other[1] + 1e-9
    assert ends.low <= ends.high <= 1.0 + 1e-9
    assert ends == pytest.approx((-mirrored.high, -mirrored.low), abs=1e-9)


@settings(deadline=None)
@given(st.floats(0.05, 0.999), st.sampled_from([50.0, 80.0, 90.0, 95.0, 99.0]))
def test_the_number_in_a_row_is_the_smallest_that_shows_it(claim: float, level: float) -> None:
    count = successes_needed(claim, level)
    assert count * log(claim) <= log(1 - level / 100) * (1 - 1e-9)
    assert (count - 1) * log(claim) > log(1 - level / 100) * (1 + 1e-9) or count == 1
    assert exact_lower(count, count, level) >= claim - 1e-9


@pytest.mark.parametrize("counts", [(3, 2), (0.5, 2), (1, 2.5)])
def test_what_is_no_count_is_refused(counts: tuple[float, float]) -> None:
    with pytest.raises(Refused, match="they are counted"):
        wilson(*counts)


@pytest.mark.parametrize(("counts", "level"), [((-1, 2), 95.0), ((1, 2), 49.0)])
def test_outside_its_range_there_is_no_number(counts: tuple[int, int], level: float) -> None:
    with pytest.raises(OutOfRange):
        wilson(*counts, level)
