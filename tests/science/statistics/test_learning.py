"""Learning and lasting: curves against another optimizer and planted learners; who was tested twice; what few tries cannot show."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from drawndose.quantities import Refused
from drawndose.science.ranges import OutOfRange
from drawndose.science.statistics.estimable import Interval, NotEstimable
from drawndose.science.statistics.learning import Curve, by_try, learning_curve, practice_time
from drawndose.science.statistics.retention import change_in_points, retention

TABLES = st.integers(1, 6).flatmap(
    lambda tries: st.lists(
        st.lists(st.none() | st.integers(0, 1), min_size=tries, max_size=tries), min_size=1, max_size=6
    )
)


@settings(deadline=None, max_examples=60)
@given(TABLES)
def test_the_curve_is_where_another_optimizer_finds_it(outcomes: list[list[int | None]]) -> None:
    found = learning_curve(outcomes)
    if isinstance(found, NotEstimable):
        return
    pairs = [(np.log2(at), y) for row in outcomes for at, y in enumerate(row, start=1) if y is not None]
    x, y = (np.array(part, dtype=float) for part in zip(*pairs, strict=True))

    def loss(where: np.ndarray) -> float:
        height = where[0] + where[1] * x
        return float((np.logaddexp(0.0, height) - y * height).sum())

    theirs = optimize.minimize(loss, [0.0, 0.0], method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12})
    assert loss(np.array([found.start, found.slope])) <= theirs.fun + 1e-9
    assert found.tries == len(y)
    assert 0.0 <= found.at(1) <= 1.0


def test_planted_learners_are_found_again() -> None:
    chance = np.random.default_rng(2)
    height = -0.5 + 1.2 * np.log2(np.arange(1, 13))
    table = (chance.random((400, 12)) < 1 / (1 + np.exp(-height))).astype(float)
    found = learning_curve(table)
    assert isinstance(found, Curve)
    assert isinstance(found.interval, Interval)
    assert found.interval.low < 1.2 < found.interval.high
    assert found.se == pytest.approx(0.03, abs=0.02)
    at = found.reaches(0.9)
    assert isinstance(at, float)
    assert found.at(at) == pytest.approx(0.9)


def test_the_interval_holds_the_planted_slope_as_often_as_it_says() -> None:
    chance, held = np.random.default_rng(7), 0
    for _ in range(200):
        able = chance.normal(0.0, 0.8, (30, 1))
        height = -0.3 + able + 0.0 * np.log2(np.arange(1, 9))
        found = learning_curve((chance.random((30, 8)) < 1 / (1 + np.exp(-height))).astype(float))
        assert isinstance(found, Curve)
        assert isinstance(found.interval, Interval)
        held += found.interval.low <= 0.0 <= found.interval.high
    assert 180 <= held <= 200


def test_a_class_that_all_but_splits_still_has_a_curve() -> None:
    table = np.ones((300, 20))
    table[:, 0] = table[166, 15] = table[236, 8] = 0.0  # here a whole step of Newton's would go too far
    found = learning_curve(table)
    assert isinstance(found, Curve)
    assert np.isfinite([found.start, found.slope]).all()
    assert sum(300 * found.at(n) for n in range(1, 21)) == pytest.approx(table.sum(), rel=1e-9)


def test_what_a_curve_cannot_be_made_of() -> None:
    split = NotEstimable(
        "success and failure do not overlap: up to some try all is one, and after it the other, so the curve has no slope"
    )
    assert learning_curve([[0, 0, 1]]) == learning_curve([[1, 0, 0]]) == learning_curve([[0, 1], [0, 0]]) == split
    assert learning_curve([[0, 0]]) == NotEstimable("no try succeeded")
    assert learning_curve([[1]]) == NotEstimable("every try succeeded")
    assert learning_curve([[None, None]]) == NotEstimable("nobody tried")
    alone = learning_curve([[0, 1, 0, 1]])
    assert isinstance(alone, Curve)
    assert alone.se == alone.interval == NotEstimable("one learner shows no spread between learners")
    alike = learning_curve([[0, 0], [1, 1], [1, 1]])
    assert isinstance(alike, Curve)
    assert alike.slope == pytest.approx(0.0, abs=1e-9)
    assert alike.interval == NotEstimable(
        "every learner's tries lie about the curve alike, and a spread between learners cannot be seen"
    )
    falling = learning_curve([[1, 1, 0, 0], [1, 0, 1, 0]])
    assert isinstance(falling, Curve)
    assert falling.reaches(0.9) == NotEstimable("the curve does not rise")
    slow = Curve(start=-5.0, slope=0.01, se=1.0, interval=Interval(0, 1), learners=2, tries=9)
    assert slow.reaches(0.9) == NotEstimable("the curve does not rise")
    assert Curve(start=-5000.0, slope=1.0, se=1.0, interval=Interval(0, 1), learners=2, tries=9).at(1) == 0.0
    assert Curve(start=5.0, slope=1.0, se=1.0, interval=Interval(0, 1), learners=2, tries=9).reaches(0.9) == 1.0
    with pytest.raises(Refused, match="succeeds or not"):
        learning_curve([[2]])
    with pytest.raises(OutOfRange):
        slow.reaches(1.0)


def test_each_try_of_the_class() -> None:
    found = by_try([[0, 1, None], [0, 1, None], [1, None, None]])
    assert [(one.attempt, one.learners, one.succeeded) for one in found] == [(1, 3, 1), (2, 2, 2), (3, 0, 0)]
    assert found[2].share == found[2].interval == NotEstimable("nobody tried")
    assert isinstance(found[1].interval, Interval)
    assert found[1].interval.low < 0.5


def test_time_falls_by_the_rate_that_was_planted() -> None:
    exact = practice_time([120.0 * n ** np.log2(0.85) for n in range(1, 9)])
    assert not isinstance(exact, NotEstimable)
    assert exact.rate == pytest.approx(0.85)
    assert exact.first == pytest.approx(120.0)
    two = practice_time([100.0, 90.0])
    assert not isinstance(two, NotEstimable)
    assert (round(two.rate, 6), isinstance(two.interval, NotEstimable)) == (0.9, True)
    chance = np.random.default_rng(4)
    noisy = practice_time([100.0 * n**-0.2 * np.exp(chance.normal(0, 0.05)) for n in range(1, 30)])
    assert not isinstance(noisy, NotEstimable)
    assert isinstance(noisy.interval, Interval)
    assert noisy.interval.low < 2**-0.2 < noisy.interval.high
    with pytest.raises(Refused, match="more than 0"):
        practice_time([10.0, 0.0])


@settings(deadline=None)
@given(st.lists(st.tuples(st.none() | st.booleans(), st.none() | st.booleans()), max_size=15))
def test_who_was_tested_twice_is_counted_once(pairs: list[tuple[bool | None, bool | None]]) -> None:
    found = retention([one for one, _ in pairs], [other for _, other in pairs])
    assert found.both + found.lost + found.gained + found.neither + found.missing == len(pairs)
    if isinstance(found.chance, float):
        assert found.chance == pytest.approx(stats.binomtest(found.lost, found.lost + found.gained).pvalue)
    if isinstance(found.kept, float):
        assert isinstance(found.interval, Interval)
        assert found.interval.low <= found.kept <= found.interval.high


def test_nobody_to_compare() -> None:
    assert retention([], []).chance == retention([], []).change == NotEstimable("nobody was tested again")
    none = retention([False], [True])
    assert none.kept == none.interval == NotEstimable("nobody who was tested again could do it at first")
    assert (none.change, none.chance) == (1.0, 1.0)
    assert change_in_points([90.0, None], [80.0, 70.0]).mean == -10.0
    for work in (retention, change_in_points):
        with pytest.raises(Refused, match="the same learners"):
            work([True], [])  # type: ignore[operator]
