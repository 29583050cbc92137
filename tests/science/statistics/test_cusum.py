"""Both CUSUM lines: against every sequence of tries written down, and at the limits of what few tries can show."""

from itertools import product

import pytest

from drawndose.quantities import Refused
from drawndose.science.ranges import OutOfRange
from drawndose.science.statistics import lc_cusum
from drawndose.science.statistics.cusum import After, Design, chances, design, limits, path
from drawndose.science.statistics.estimable import NotEstimable

EVERY = {n: list(product((True, False), repeat=n)) for n in (1, 6, 9)}


def likely(outcomes: tuple[bool, ...], rate: float) -> float:
    failures = outcomes.count(False)
    return rate**failures * (1 - rate) ** (len(outcomes) - failures)


@pytest.mark.parametrize("rate", [0.0, 0.1, 0.35, 0.7, 1.0])
@pytest.mark.parametrize("attempts", [1, 6, 9])
def test_the_chances_are_those_of_every_sequence_written_down(rate: float, attempts: int) -> None:
    made = Design(p0=0.1, p1=0.4, s=0.21, lower=0.9, upper=1.3)
    found = chances(made, rate, attempts)
    low = high = 0.0
    for outcomes in EVERY[attempts]:
        line = path(outcomes, made)
        low += likely(outcomes, rate) * bool(line.acceptable_at)
        high += likely(outcomes, rate) * bool(line.unacceptable_at)
    assert (found.acceptable, found.unacceptable) == pytest.approx((low, high), abs=1e-12)
    assert found.undecided == pytest.approx(1 - low - high)


@pytest.mark.parametrize("rate", [0.0, 0.1, 0.4, 1.0])
@pytest.mark.parametrize("h", [0.4, 1.0, 1.7])
def test_the_signals_of_lc_cusum_are_those_of_every_sequence_written_down(rate: float, h: float) -> None:
    made = lc_cusum.design(0.1, 0.4, h)
    found = lc_cusum.mastery(made, rate, 9)
    assert len(found) == 9
    by_hand = sum(likely(one, rate) for one in EVERY[9] if lc_cusum.path(one, made)[1] is not None)
    assert found[-1] == pytest.approx(by_hand, abs=1e-12)
    assert found[5] == pytest.approx(
        sum(likely(one, rate) for one in EVERY[6] if lc_cusum.path(one, made)[1] is not None), abs=1e-12
    )


def test_the_shortest_ways() -> None:
    made = design(0.05, 0.15, 0.1, 0.1)
    assert made.fewest_successes == 20  # the facts: 20 straight successes with errors of 0.1, 13 with 0.2
    assert design(0.05, 0.15, 0.2, 0.2).fewest_successes == 13
    assert path([True] * 25, made).first == 20
    assert path([False] * made.fewest_failures, made).unacceptable_at == (made.fewest_failures,)
    assert path([False], made).first is None


def test_who_stops_and_who_begins_again() -> None:
    made = design(0.2, 0.4, 0.1, 0.1)
    outcomes = [True] * 16 + [False] * 8
    stops, again = path(outcomes, made), path(outcomes, made, After.RESTART)
    assert (stops.acceptable_at, stops.unacceptable_at, len(stops.values)) == ((8,), (), 8)
    assert (again.acceptable_at, again.unacceptable_at, len(again.values)) == ((8, 16), (20, 24), 24)
    assert again.values[8] == pytest.approx(-made.s)


def test_limits_keep_their_risk_within_the_tries_allowed_and_the_next_lower_level_does_not() -> None:
    lower, upper = limits(0.1, 0.4, 0.1, 0.05, 12)
    assert isinstance(lower, float)
    assert isinstance(upper, float)
    s = design(0.1, 0.4, 0.1, 0.05).s
    made = Design(p0=0.1, p1=0.4, s=s, lower=lower, upper=upper)
    assert chances(made, 0.4, 12).acceptable <= 0.05
    assert chances(made, 0.1, 12).unacceptable <= 0.1
    heights = [f - n * s for n in range(13) for f in range(n + 1)]
    alone = Design(p0=0.1, p1=0.4, s=s, lower=max(-one for one in heights if -one < lower - 1e-6), upper=100.0)
    assert chances(alone, 0.4, 12).acceptable > 0.05
    alone = Design(p0=0.1, p1=0.4, s=s, lower=100.0, upper=max(one for one in heights if one < upper - 1e-6))
    assert chances(alone, 0.1, 12).unacceptable > 0.1


def test_two_or_three_tries_cannot_decide() -> None:
    because = NotEstimable("so few tries cannot show it at this risk, not even if they all come out alike")
    assert limits(0.1, 0.4, 0.1, 0.1, 3)[0] == because
    assert limits(0.4, 0.6, 0.1, 0.1, 2) == (because, because)
    assert isinstance(lc_cusum.limit_for(0.1, 0.4, 3, 0.1), NotEstimable)


def test_the_limit_of_lc_cusum_is_the_lowest_that_keeps_the_risk() -> None:
    for attempts in (8, 20):
        found = lc_cusum.limit_for(0.1, 0.4, attempts, 0.1)
        assert isinstance(found, lc_cusum.Fitted)
        assert found.false_mastery <= 0.1 < found.true_mastery
        up, down = found.design.success, found.design.failure
        levels = [a * up + b * down for a in range(attempts + 1) for b in range(attempts + 1)]
        lower = lc_cusum.design(0.1, 0.4, max(one for one in levels if one < found.design.h - 1e-6))
        assert lc_cusum.mastery(lower, 0.4, attempts)[-1] > 0.1


def test_the_line_of_lc_cusum_goes_on_after_its_signal() -> None:
    values, signal = lc_cusum.path([True] * 8 + [False] * 3, lc_cusum.design(0.1, 0.4, 2.0))
    assert (signal, len(values), values[-1]) == (5, 11, 0.0)
    assert lc_cusum.path([], lc_cusum.design(0.1, 0.4, 2.0)) == ((), None)


def test_what_makes_no_design_is_refused() -> None:
    with pytest.raises(Refused, match="more than the acceptable"):
        design(0.4, 0.2, 0.1, 0.1)
    with pytest.raises(Refused, match="two risks together"):
        design(0.2, 0.4, 0.5, 0.5)
    with pytest.raises(Refused, match="fails more often"):
        lc_cusum.design(0.4, 0.4, 1.0)
    for work in (
        lambda: design(0.0, 0.4, 0.1, 0.1),
        lambda: design(0.2, 0.4, 0.0, 0.1),
        lambda: limits(0.2, 0.4, 0.1, 0.1, 0),
        lambda: limits(0.2, 0.4, 0.1, 0.9, 5),
        lambda: chances(design(0.2, 0.4, 0.1, 0.1), 1.5, 5),
        lambda: chances(Design(p0=0.1, p1=0.4, s=0.2, lower=0.0, upper=1.0), 0.5, 5),
        lambda: lc_cusum.mastery(lc_cusum.design(0.1, 0.4, 2.0), 0.1, 151),
        lambda: lc_cusum.limit_for(0.1, 0.4, 10, 0.0),
    ):
        with pytest.raises(OutOfRange):
            work()
