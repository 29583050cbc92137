"""Readings: exact sums, lines, two ways of reading, gauges, capability. And why there is no number, where there is none."""

from fractions import Fraction
from math import sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from drawndose.quantities import Refused
from drawndose.science.ranges import OutOfRange
from drawndose.science.statistics.anova import f_above, one_way, two_way
from drawndose.science.statistics.bland_altman import limits_of_agreement, repeatability
from drawndose.science.statistics.capability import capability
from drawndose.science.statistics.estimable import Interval, NotEstimable
from drawndose.science.statistics.gauge import by_anova, by_range
from drawndose.science.statistics.readings import bias, summary, variation
from drawndose.science.statistics.regression import line
from drawndose.science.statistics.spans import mean_span, square_span

VALUES = st.lists(st.integers(-50, 50), min_size=2, max_size=15)
PAIRS = st.lists(st.tuples(st.integers(-20, 20), st.integers(-20, 20)), min_size=3, max_size=15)


@settings(deadline=None)
@given(VALUES.filter(lambda values: len(set(values)) > 1))
def test_a_summary_agrees_with_scipy(values: list[int]) -> None:
    found = summary(values)
    assert found.mean == pytest.approx(np.mean(values), abs=1e-9)
    assert found.sd == pytest.approx(np.std(values, ddof=1))
    expected = stats.ttest_1samp(values, 0).confidence_interval(0.95)
    assert found.interval == pytest.approx((expected.low, expected.high), rel=1e-7, abs=1e-7)


def test_a_summary_says_what_it_lacks() -> None:
    assert summary([]).mean == NotEstimable("there are no readings")
    one, same = summary([2.5]), summary([2, 2])
    assert (one.mean, one.sd) == (2.5, NotEstimable("one reading shows no spread"))
    assert one.interval == one.following == NotEstimable("one reading shows no spread")
    assert (same.sd, same.interval) == (0.0, NotEstimable("the readings are all the same"))


def test_nothing_cancels() -> None:
    """Seven digits in common, exact decimals in: the spread comes out as written."""
    values = [Fraction("10000000.2"), *[Fraction("10000000.1"), Fraction("10000000.3")] * 500]
    assert (summary(values).mean, summary(values).sd) == (10000000.2, 0.1)


def test_bias_and_variation() -> None:
    assert bias(1.638, 1.0) == pytest.approx(63.8)
    assert variation(0.376, 1.638) == pytest.approx(22.9548, abs=1e-4)
    assert variation(1.0, 0.0) == NotEstimable("the mean is 0")
    with pytest.raises(OutOfRange):
        bias(1.0, 0.0)


@settings(deadline=None)
@given(PAIRS.filter(lambda pairs: len({x for x, _ in pairs}) > 1 and len({y for _, y in pairs}) > 1))
def test_a_line_agrees_with_scipy(pairs: list[tuple[int, int]]) -> None:
    x, y = [one for one, _ in pairs], [other for _, other in pairs]
    found, theirs = line(x, y), stats.linregress(x, y)
    assert not isinstance(found, NotEstimable)
    assert (found.slope, found.intercept) == pytest.approx((theirs.slope, theirs.intercept), abs=1e-9)
    assert found.correlation() == pytest.approx(theirs.rvalue, abs=1e-7)
    if isinstance(found.residual_sd, float) and found.residual_sd > 1e-6:
        assert found.se_slope() == pytest.approx(theirs.stderr, rel=1e-6)
        assert found.se_at(0.0) == pytest.approx(theirs.intercept_stderr, rel=1e-6)


def test_a_line_says_what_it_lacks() -> None:
    assert line([1, 1], [1, 2]) == NotEstimable("a line needs two points of unlike x")
    two, flat, exact = line([1, 2], [1, 3]), line([1, 2, 3], [4, 4, 4]), line([0, 1, 2], [1, 3, 5])
    assert not isinstance(two, NotEstimable)
    assert not isinstance(flat, NotEstimable)
    assert not isinstance(exact, NotEstimable)
    assert two.se_slope() == NotEstimable("three points at least show how far they lie off the line")
    assert flat.correlation() == flat.r_squared == NotEstimable("y never varies")
    assert exact.se_at(1) == NotEstimable("every point lies on the line, and a spread cannot be seen")
    with pytest.raises(Refused, match="one for each x"):
        line([1, 2], [1])


@settings(deadline=None)
@given(st.lists(VALUES, min_size=2, max_size=4))
def test_one_way_agrees_with_scipy_and_its_sums_add_up(groups: list[list[int]]) -> None:
    found = one_way(groups)
    everything = np.concatenate(groups)
    assert found.between + found.within == pytest.approx(((everything - everything.mean()) ** 2).sum(), abs=1e-6)
    if isinstance(found.f, float) and found.f > 1e-9:  # of equal means scipy may find a sum of squares just under 0
        theirs = stats.f_oneway(*groups)
        assert found.f == pytest.approx(theirs.statistic, rel=1e-6, abs=1e-9)
        assert found.chance == pytest.approx(theirs.pvalue, abs=1e-9)


def test_one_way_says_what_it_lacks() -> None:
    assert (
        one_way([[1, 2]]).f
        == one_way([[1], [2]]).chance
        == NotEstimable("there are not two groups, or none has a second value")
    )
    assert one_way([[1], [2]]).residual_sd == one_way([[1, 2]]).f
    assert one_way([[1, 1], [1, 1]]).r_squared == NotEstimable("the values do not vary within the groups")
    with pytest.raises(Refused, match="each group has one value at least"):
        one_way([[1], []])
    with pytest.raises(Refused, match="each group has one value at least"):
        one_way([])
    assert f_above(0.0, 2, 2) == 1.0


def test_two_way_sums_add_up() -> None:
    values = np.random.default_rng(1).normal(size=(4, 3, 2))
    found = two_way(values)
    whole = ((values - values.mean()) ** 2).sum()
    assert found.rows + found.columns + found.interaction + found.repeat == pytest.approx(whole)
    assert found.df == (3, 2, 6, 12)


# ------------------------------------------------------------------------------------------- two ways of reading


@settings(deadline=None)
@given(PAIRS)
def test_limits_turn_round_with_the_order(pairs: list[tuple[int, int]]) -> None:
    first, second = [float(one) for one, _ in pairs], [float(other) for _, other in pairs]
    ours, turned = limits_of_agreement(first, second), limits_of_agreement(second, first)
    if isinstance(ours.limits, NotEstimable):
        assert ours.limits == turned.limits
        return
    assert isinstance(turned.limits, Interval)
    assert ours.limits == pytest.approx((-turned.limits.high, -turned.limits.low))
    assert isinstance(ours.low_interval, Interval)
    assert isinstance(ours.high_interval, Interval)
    assert ours.low_interval.low < ours.limits.low < ours.low_interval.high
    assert ours.high_interval.low < ours.limits.high < ours.high_interval.high


def test_the_limits_hold_what_they_promise() -> None:
    chance = np.random.default_rng(5)
    true = chance.uniform(0.1, 1, 5000)
    first, second = true + chance.normal(0.02, 0.01, 5000), true + chance.normal(0, 0.01, 5000)
    found = limits_of_agreement(list(first[:2500]), list(second[:2500]))
    assert isinstance(found.limits, Interval)
    apart = (first - second)[2500:]
    assert np.mean((apart > found.limits.low) & (apart < found.limits.high)) == pytest.approx(0.95, abs=0.01)
    assert found.trend == pytest.approx(0.0, abs=0.01)


def test_limits_say_what_they_lack() -> None:
    assert limits_of_agreement([1], [2]).limits == NotEstimable("two pairs of readings at least")
    assert limits_of_agreement([], []).bias == NotEstimable("there are no readings")
    same = limits_of_agreement([1, 2], [2, 3])
    assert (same.bias, same.sd, same.limits) == (-1.0, 0.0, NotEstimable("every difference is the same"))
    assert limits_of_agreement([1, 3], [3, 1]).trend == NotEstimable("a line needs two points of unlike x")
    with pytest.raises(Refused, match="one for each reading"):
        limits_of_agreement([1], [2, 3])
    with pytest.raises(Refused, match="one for each first reading"):
        repeatability([1], [2, 3])


# ---------------------------------------------------------------------------------------------------- gauges


def study(people: float, rest: float, things: float = 1.0, seed: int = 2) -> np.ndarray:
    chance = np.random.default_rng(seed)
    shape = (10, 3, 3)
    return (
        chance.normal(0, things, (10, 1, 1)) + chance.normal(0, people, (1, 3, 1)) + chance.normal(0, rest, shape)
    )  # fmt: skip


def test_components_are_found_again() -> None:
    found = [by_anova(study(0.4, 0.2, seed=seed)) for seed in range(200)]
    spreads = [one.spread for one in found if not isinstance(one, NotEstimable)]
    assert len(spreads) == 200
    assert np.mean([one.repeat**2 for one in spreads]) == pytest.approx(0.04, rel=0.05)
    assert np.mean([one.people**2 for one in spreads]) == pytest.approx(0.16, rel=0.3)
    assert np.mean([one.things**2 for one in spreads]) == pytest.approx(1.0, rel=0.15)


@pytest.mark.parametrize("way", [by_anova, by_range])
def test_shares_and_squares_add_up(way: object) -> None:
    found = way(study(0.4, 0.2))  # type: ignore[operator]
    spread = found.spread
    assert spread.everything**2 == pytest.approx(spread.repeat**2 + spread.people**2 + spread.things**2)
    assert spread.contribution(spread.measuring) + spread.contribution(spread.things) == pytest.approx(100)
    assert spread.percent(spread.measuring) == pytest.approx(100 * sqrt(spread.contribution(spread.measuring) / 100))
    assert spread.of_tolerance(6.0) == pytest.approx(100 * spread.measuring)


@pytest.mark.parametrize("way", [by_anova, by_range])
def test_a_component_below_0_is_named(way: object) -> None:
    values = study(0.0, 0.5, seed=0)
    values -= values.mean(axis=(0, 2), keepdims=True)  # the people's means are all alike, and so lie closer than chance
    found = way(values)  # type: ignore[operator]
    assert found.spread.people == 0.0
    assert "people" in found.spread.cut


def test_an_interaction_is_kept_where_it_is_real() -> None:
    values = study(0.1, 0.05) + np.random.default_rng(4).normal(0, 0.4, (10, 3, 1))
    found, pooled = by_anova(values), by_anova(values, pooled_from=0.0)
    assert not isinstance(found, NotEstimable)
    assert not isinstance(pooled, NotEstimable)
    assert (found.pooled, pooled.pooled) == (False, True)
    assert found.interaction == pytest.approx(0.4, rel=0.3)
    assert pooled.interaction == 0.0


@pytest.mark.parametrize("way", [by_anova, by_range])
def test_a_gauge_says_what_it_lacks(way: object) -> None:
    assert way(np.ones((3, 2, 2))) == NotEstimable("the measurements do not vary")  # type: ignore[operator]
    assert way(np.ones((3, 1, 2))) == NotEstimable(  # type: ignore[operator]
        "two things, two people and two repeats at least"
    )
    with pytest.raises(Refused, match="none missing"):
        way(np.full((3, 2, 2), np.nan))  # type: ignore[operator]
    perfect = way(np.broadcast_to(np.arange(3.0)[:, None, None], (3, 2, 2)))  # type: ignore[operator]
    assert perfect.spread.distinct == NotEstimable("measuring adds no spread")


def test_repeats_that_never_differ_leave_no_f() -> None:
    found = by_anova(np.broadcast_to(np.arange(3.0)[:, None, None], (3, 2, 2)))
    assert not isinstance(found, NotEstimable)
    assert found.f_interaction == found.f_people == NotEstimable("repeats never differ")


@pytest.mark.parametrize("size", [2, 3, 5, 8])
def test_spans_are_those_of_normal_readings(size: int) -> None:
    spans = np.ptp(np.random.default_rng(8).normal(size=(200_000, size)), axis=1)
    assert mean_span(size) == pytest.approx(spans.mean(), rel=0.005)
    assert square_span(size) == pytest.approx(sqrt((spans**2).mean()), rel=0.005)


# ------------------------------------------------------------------------------------------------ capability


def test_capability_of_a_known_process() -> None:
    readings = np.random.default_rng(6).normal(0.5, 0.005, (2000, 4))
    found = capability(readings, 0.475, 0.525, target=0.5)
    for one in (found.cp, found.pp, found.cpm):
        assert one == pytest.approx(0.05 / (6 * 0.005), rel=0.03)
    assert not found.few
    single = capability([float(one) for one in readings[:, 0]], 0.475, 0.525)
    assert single.cp == pytest.approx(0.05 / (6 * 0.005), rel=0.05)
    assert single.groups == 2000


def test_capability_with_one_limit() -> None:
    found = capability([[9.9, 10.1], [10.0, 10.2]], None, 11.0, target=10.0)
    assert found.cp == found.cpm == NotEstimable("this limit is not set")
    assert isinstance(found.cpk, float)
    assert found.few
    assert capability([[9.9, 10.1]], None, None).cpk == NotEstimable("this limit is not set")


def test_capability_says_what_it_lacks() -> None:
    assert capability([1.0], 0, 2).cp == capability([1.0], 0, 2).ppk == NotEstimable("two readings at least")
    assert capability([[1.0], [2.0]], 0, 2).cpk == NotEstimable("two readings at least")
    assert capability([1.0, 1.0], 0, 2, target=1.0).cpm == NotEstimable("the readings do not vary")
    assert capability([1.0, 1.5], 0, 2).cpm == NotEstimable("no target is set")
    with pytest.raises(Refused, match="the lower limit lies below"):
        capability([1.0, 2.0], 2, 1)
    with pytest.raises(Refused, match="no reading is missing"):
        capability([[1.0, None]], 0, 2)
    with pytest.raises(Refused, match="the table is empty"):
        capability([], 0, 2)
