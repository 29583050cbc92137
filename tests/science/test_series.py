"""What a series of weighed draws shows: bias, spread, both intervals, and how many more it would take."""

from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from drawndose.quantities import Refused
from drawndose.science.series import Claim, Series, operator_of, reach, summarize
from drawndose.science.verdict import Call

DRAWS = st.lists(st.floats(0.3, 0.7), min_size=2, max_size=30).filter(lambda draws: np.std(draws) > 1e-6)


def spread(count: int, mean: float, sd: float) -> Series:
    """A series of exactly this mean and spread."""
    raw = np.linspace(-1.0, 1.0, count)
    return summarize([float(one) for one in mean + sd * raw / np.std(raw, ddof=1)], target_mL=0.5)


@given(DRAWS)
def test_the_interval_of_the_mean_agrees_with_the_t_test_of_scipy(draws: list[float]) -> None:
    found = summarize(draws, target_mL=0.5)
    expected = stats.ttest_1samp(draws, 0.5).confidence_interval(0.95)
    assert found.mean_interval == pytest.approx((expected.low, expected.high), rel=1e-7)


@given(DRAWS)
def test_the_interval_of_the_spread_agrees_with_chi_square(draws: list[float]) -> None:
    found = summarize(draws, target_mL=0.5)
    nu = len(draws) - 1
    low, high = (np.std(draws, ddof=1) * sqrt(nu / stats.chi2.ppf(chance, nu)) for chance in (0.975, 0.025))
    assert found.sd_interval == pytest.approx((low, high), rel=1e-6)
    assert found.sd_interval[0] < found.sd_mL < found.sd_interval[1]


@given(DRAWS)
def test_the_interval_of_the_next_draw_counts_its_own_spread_and_the_means(draws: list[float]) -> None:
    found = summarize(draws, target_mL=0.5)
    count = len(draws)
    half = stats.t.ppf(0.975, count - 1) * np.std(draws, ddof=1) * sqrt(1 + 1 / count)
    assert found.next_interval == pytest.approx((np.mean(draws) - half, np.mean(draws) + half), rel=1e-6)


def test_the_next_draw_falls_into_its_interval_as_often_as_promised() -> None:
    chance = np.random.default_rng(11)
    hits = 0
    for _ in range(2000):
        draws = chance.normal(0.5, 0.02, 7)
        low, high = summarize([float(one) for one in draws[:6]], target_mL=0.5).next_interval
        hits += low <= draws[6] <= high
    assert hits / 2000 == pytest.approx(0.95, abs=0.02)


def test_bias_and_spread_are_shares() -> None:
    found = spread(10, 0.51, 0.0102)
    assert found.bias == pytest.approx(0.02)
    assert found.cv == pytest.approx(0.02)


@pytest.mark.parametrize(
    ("mean", "sd", "claim", "expected"),
    [
        (0.500, 0.005, Claim.ON_AVERAGE, Call.WITHIN),
        (0.500, 0.005, Claim.NEXT, Call.WITHIN),
        (0.500, 0.020, Claim.ON_AVERAGE, Call.WITHIN),
        (0.500, 0.020, Claim.NEXT, Call.CANNOT_TELL),
        (0.520, 0.020, Claim.ON_AVERAGE, Call.CANNOT_TELL),
        (0.550, 0.020, Claim.ON_AVERAGE, Call.OUTSIDE),
        (0.450, 0.020, Claim.NEXT, Call.OUTSIDE),
    ],
)
def test_ten_draws_against_5_percent(mean: float, sd: float, claim: Claim, expected: Call) -> None:
    assert spread(10, mean, sd).shows(0.05, claim) is expected


@given(st.floats(0.48, 0.52), st.floats(0.003, 0.03), st.sampled_from(list(Claim)))
def test_the_number_of_draws_needed_is_the_smallest_that_shows_it(mean: float, sd: float, claim: Claim) -> None:
    needed = spread(5, mean, sd).draws_needed(0.05, claim)
    if needed is None:
        assert spread(500, mean, sd).shows(0.05, claim) is not Call.WITHIN
        return
    assert spread(needed, mean, sd).shows(0.05, claim) is Call.WITHIN
    assert needed == 2 or spread(needed - 1, mean, sd).shows(0.05, claim) is not Call.WITHIN


def test_a_spread_that_is_too_wide_never_shows_it() -> None:
    assert spread(10, 0.5, 0.02).draws_needed(0.05, Claim.NEXT) is None
    assert spread(10, 0.5, 0.02).draws_needed(0.05, Claim.ON_AVERAGE) == 5  # 2.776 x 0.02 / root 5 is 0.0248


@pytest.mark.parametrize("draws", [[], [0.5], [0.5, 0.5, 0.5]])
def test_a_series_without_a_spread_is_refused(draws: list[float]) -> None:
    with pytest.raises(Refused, match="a spread needs two draws at least"):
        summarize(draws, target_mL=0.5)


def test_the_persons_spread_feeds_the_budget_of_a_draw() -> None:
    operator = operator_of(spread(10, 0.5, 0.02))
    assert (operator.cv, operator.nu, operator.holds_reading) == (pytest.approx(0.04), 9.0, True)


def test_intervals_of_bias_and_spread_are_shares() -> None:
    found = spread(10, 0.51, 0.0102)
    low, high = found.bias_interval
    assert (low + high) / 2 == pytest.approx(0.02)
    assert high - low == pytest.approx(2 * 2.2622 * 0.0102 / sqrt(10) / 0.5, rel=1e-4)
    assert found.cv_interval[0] < found.cv < found.cv_interval[1]
    assert found.cv_interval == pytest.approx((0.02 * sqrt(9 / 19.0228), 0.02 * sqrt(9 / 2.7004)), rel=1e-4)


def test_what_all_draws_share_widens_the_intervals_and_no_number_takes_it_out() -> None:
    draws = [0.51, 0.49, 0.50, 0.52, 0.48]
    alone, shared = (summarize(draws, target_mL=0.5, shared_u_mL=u) for u in (0.0, 0.01))
    assert shared.mean_interval[1] - shared.mean_mL > alone.mean_interval[1] - alone.mean_mL
    assert shared.sd_interval == alone.sd_interval
    assert reach(10**6, 0.01, 95.0, Claim.ON_AVERAGE, 0.01) == pytest.approx(1.96 * 0.01, rel=1e-3)
    assert summarize(draws, target_mL=0.5, shared_u_mL=0.02).draws_needed(0.05, Claim.ON_AVERAGE) is None


def test_the_shared_part_counts_with_its_own_degrees_of_freedom() -> None:
    half = reach(5, 0.01, 95.0, Claim.ON_AVERAGE, 0.005)
    u2 = 0.01**2 / 5 + 0.005**2
    nu = u2**2 / ((0.01**2 / 5) ** 2 / 4)
    assert half == pytest.approx(stats.t.ppf(0.975, nu) * sqrt(u2), rel=1e-9)


def test_a_spread_of_nothing_beside_a_shared_doubt_still_answers() -> None:
    assert reach(5, 1e-7, 95.0, Claim.NEXT, 0.01) == pytest.approx(1.96 * 0.01, rel=1e-4)
