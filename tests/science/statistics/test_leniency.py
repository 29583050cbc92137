"""Who is lenient: planted evaluators are found, fair ones are not named more often than promised."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.science.statistics.estimable import Interval, NotEstimable
from drawndose.science.statistics.exchange import EXACT_UP_TO, exchange_chance, sides
from drawndose.science.statistics.leniency import leniency


def scored(seed: int, tries: int = 60, steps: int = 6, evaluators: int = 4) -> np.ndarray:
    """Each evaluator sees the truth, and errs on one score in ten."""
    chance = np.random.default_rng(seed)
    truth = chance.random((tries, steps)) < 0.7
    return (truth[None] ^ (chance.random((evaluators, tries, steps)) < 0.1)).astype(float)


def test_a_planted_evaluator_is_named_on_the_planted_step() -> None:
    scores = scored(1)
    scores[2, :, 3] = 1.0
    scores[1, :, 0] = 0.0
    found = leniency(scores)
    assert {(gap.evaluator, gap.step, gap.lenient, gap.severe) for gap in found.named} == {
        (3, 4, True, False), (2, 1, False, True),
    }  # fmt: skip
    assert found.overall[2].lenient
    assert found.comparisons == 24


def test_fair_evaluators_are_rarely_named() -> None:
    named = [bool(leniency(scored(seed)).named) for seed in range(300)]
    assert np.mean(named) <= 0.05


def test_differences_sum_to_nothing() -> None:
    found = leniency(scored(2, evaluators=2))
    first, second = found.overall
    assert isinstance(first.difference, float)
    assert first.difference == pytest.approx(-second.difference if isinstance(second.difference, float) else 9)
    assert isinstance(first.interval, Interval)
    assert first.interval.low <= first.difference <= first.interval.high


def test_who_is_always_one_higher_is_named_though_no_spread_is_seen() -> None:
    scores = np.stack([np.ones((10, 1)), np.zeros((10, 1))])
    gap = leniency(scores).by_step[0]
    assert (gap.difference, gap.chance, gap.lenient) == (1.0, 2 * 0.5**10, True)
    assert gap.interval == NotEstimable("the difference is the same on every try, and a spread cannot be seen")


def test_alone_nothing_can_be_said() -> None:
    scores = np.full((2, 3, 2), np.nan)
    scores[0, 0] = 1.0
    scores[1, 1] = 0.0
    gap = leniency(scores).overall[0]
    no = NotEstimable("nobody else scored the same tries, or only who was named already")
    assert (gap.tries, gap.difference, gap.chance, gap.named) == (0, no, no, False)
    scores[1, 0] = 0.0
    assert leniency(scores).overall[0].interval == NotEstimable("one try that others scored too shows no spread")


def test_what_is_no_table_of_evaluators_is_refused() -> None:
    for scores in (np.ones((2, 2)), np.ones((0, 2, 2)), np.full((2, 2, 2), np.inf)):
        with pytest.raises(Refused, match="evaluators, tries and steps"):
            leniency(scores)


def test_a_fair_evaluator_among_learners_who_mostly_do_it_is_not_called_severe() -> None:
    chance = np.random.default_rng(3)
    named = 0
    for _ in range(200):
        scores = (chance.random((4, 60, 1)) >= 0.1).astype(float)  # every slip points down
        named += bool(leniency(scores).named)
    assert named <= 10


def test_one_lenient_evaluator_does_not_make_the_others_look_severe() -> None:
    scores = scored(8, tries=80)
    scores[2] = np.where(np.random.default_rng(9).random(scores[2].shape) < 0.7, 1.0, scores[2])
    found = leniency(scores)
    assert [gap.named for gap in found.overall] == [False, False, True, False]
    for gap in (found.overall[place] for place in (0, 1, 3)):
        assert isinstance(gap.interval, Interval)
        assert gap.interval.low < 0 < gap.interval.high


def test_who_shares_tries_only_with_the_one_named_is_not_compared() -> None:
    scores = np.full((3, 60, 1), np.nan)
    scores[0], scores[1, :40], scores[2, 40:] = 1.0, 0.0, 0.0
    found = leniency(scores).by_step
    assert [gap.named for gap in found] == [True, False, False]
    assert (
        found[1].chance
        == found[2].difference
        == NotEstimable("nobody else scored the same tries, or only who was named already")
    )


def test_two_at_odds_are_both_named_since_the_data_do_not_say_who_is_right() -> None:
    scores = np.stack([np.ones((20, 1)), np.zeros((20, 1))])
    assert [(gap.lenient, gap.severe) for gap in leniency(scores).by_step] == [(True, False), (False, True)]


def test_a_gap_in_points_and_a_rater_who_never_varies() -> None:
    scores = np.array([[[2.0], [1.0], [2.0]] * 6, [[1.0], [1.0], [1.0]] * 6, [[2.0], [0.0], [1.0]] * 6])
    found = leniency(scores).by_step
    assert [round(gap.difference, 3) for gap in found if isinstance(gap.difference, float)] == [0.667, 0.0, 0.0]
    assert [gap.lenient for gap in found] == [True, False, False]
    same = leniency(np.ones((3, 5, 2)))
    assert [gap.chance for gap in same.overall] == [1.0] * 3
    assert not same.named


def by_listing(scores: np.ndarray, who: int) -> float:
    """The same chance by writing down every way in which the scores could have been given."""
    side, _, _ = sides(scores, who)
    tries = [column for column in scores.T if np.ptp(column[~np.isnan(column)]) > 0 and not np.isnan(column[who])]
    signs = [[np.sign(round(one - np.nanmean(column), 9)) for one in column[~np.isnan(column)]] for column in tries]
    sums = [sum(one) for one in product(*signs)]
    least = min(np.mean([one <= side.sum() for one in sums]), np.mean([one >= side.sum() for one in sums]))
    return min(1.0, 2 * float(least))


@settings(deadline=None, max_examples=60)
@given(
    st.integers(2, 4).flatmap(
        lambda tries: st.lists(
            st.lists(st.integers(0, 2).map(float), min_size=tries, max_size=tries), min_size=2, max_size=4
        )
    )
)
def test_the_chance_is_that_of_every_way_written_down(rows: list[list[float]]) -> None:
    scores = np.array(rows)
    assert exchange_chance(scores, 0) == pytest.approx(by_listing(scores, 0), abs=1e-12)


def test_a_missing_score_is_no_score() -> None:
    scores = np.array([[1.0, np.nan, 1.0], [0.0, 0.0, np.nan], [0.0, 1.0, np.nan]])
    assert exchange_chance(scores, 0) == pytest.approx(by_listing(scores, 0)) == pytest.approx(2 / 3)


def test_many_tries_meet_the_exact_chance() -> None:
    scores = (np.random.default_rng(5).random((3, 2000)) < 0.4).astype(float)
    few = scores[:, : EXACT_UP_TO - 20]
    wide = np.concatenate([few] * 3, axis=1)
    assert exchange_chance(wide, 0) < 1.0
    side, up, down = sides(wide, 0)
    assert len(side) > EXACT_UP_TO
    drawn = np.random.default_rng(6).random((20000, len(side)))
    sums = (drawn < up).sum(axis=1) - (drawn > 1.0 - down).sum(axis=1)
    least = min((sums <= side.sum()).mean(), (sums >= side.sum()).mean())
    assert exchange_chance(wide, 0) == pytest.approx(min(1.0, 2 * least), abs=0.03)
