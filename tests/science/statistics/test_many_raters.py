"""Many evaluators: the coefficients agree with each other where they must, and say why where there is no number."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.science.ranges import OutOfRange
from drawndose.science.statistics.chance_corrected import coefficients
from drawndose.science.statistics.estimable import Interval, NotEstimable
from drawndose.science.statistics.fleiss import fleiss_kappa
from drawndose.science.statistics.kappa import agreement
from drawndose.science.statistics.krippendorff import Scale, krippendorff_alpha

RATING = st.integers(0, 2)
FULL = st.tuples(st.integers(2, 4), st.integers(2, 8)).flatmap(
    lambda size: st.lists(st.lists(RATING, min_size=size[1], max_size=size[1]), min_size=size[0], max_size=size[0])
)
GAPS = st.tuples(st.integers(2, 4), st.integers(2, 8)).flatmap(
    lambda size: st.lists(
        st.lists(st.none() | RATING, min_size=size[1], max_size=size[1]), min_size=size[0], max_size=size[0]
    )
)


def counts(ratings: list[list[int]]) -> np.ndarray:
    table = np.array(ratings).T
    return np.stack([(table == one).sum(axis=1) for one in range(3)], axis=1)


@settings(deadline=None)
@given(FULL)
def test_two_ways_to_fleiss_are_one(ratings: list[list[int]]) -> None:
    ours, other = fleiss_kappa(counts(ratings)), coefficients(ratings).fleiss.value
    if isinstance(other, NotEstimable):
        assert isinstance(ours.kappa, NotEstimable)
    else:
        assert ours.kappa == pytest.approx(other, abs=1e-9)


@settings(deadline=None)
@given(FULL)
def test_alpha_is_fleiss_with_its_small_sample_term(ratings: list[list[int]]) -> None:
    """K. Krippendorff 2011: without gaps alpha = 1 - (1 - kappa) (n - 1) / n, n all ratings."""
    alpha, kappa = krippendorff_alpha(ratings, Scale.NOMINAL), fleiss_kappa(counts(ratings)).kappa
    n = len(ratings) * len(ratings[0])
    if isinstance(kappa, NotEstimable):
        assert isinstance(alpha, NotEstimable)
    else:
        assert alpha == pytest.approx(1 - (1 - kappa) * (n - 1) / n, abs=1e-9)


@settings(deadline=None)
@given(FULL.filter(lambda ratings: len(ratings) == 2))
def test_for_two_evaluators_conger_is_cohen(ratings: list[list[int]]) -> None:
    table = np.zeros((3, 3))
    np.add.at(table, (np.array(ratings[0]), np.array(ratings[1])), 1)
    cohen, conger = agreement(table).beyond.kappa, coefficients(ratings).conger.value
    if isinstance(cohen, float):
        assert conger == pytest.approx(cohen, abs=1e-9)


@settings(deadline=None)
@given(GAPS)
def test_nothing_is_nan_and_no_interval_is_turned_round(ratings: list[list[int | None]]) -> None:
    found = coefficients(ratings)
    for one in (found.ac1, found.fleiss, found.conger, found.brennan_prediger):
        for value in (one.expected, one.value, one.se):
            assert isinstance(value, NotEstimable) or np.isfinite(value)
        if isinstance(one.interval, Interval):
            assert isinstance(one.value, float)
            assert one.interval.low <= one.value <= one.interval.high <= 1.0
    for scale in Scale:
        alpha = krippendorff_alpha(ratings, scale)
        assert isinstance(alpha, NotEstimable) or alpha <= 1.0


@settings(deadline=None)
@given(GAPS, st.permutations(range(4)))
def test_the_order_of_the_evaluators_does_not_matter(ratings: list[list[int | None]], order: list[int]) -> None:
    turned = [ratings[place] for place in order if place < len(ratings)]
    ours, theirs = coefficients(ratings).ac1.value, coefficients(turned).ac1.value
    assert isinstance(ours, NotEstimable) == isinstance(theirs, NotEstimable)
    if isinstance(ours, float):
        assert ours == pytest.approx(theirs, abs=1e-9)
        alpha = krippendorff_alpha(ratings, Scale.ORDINAL)
        assert alpha == pytest.approx(krippendorff_alpha(turned, Scale.ORDINAL), abs=1e-9)


@settings(deadline=None)
@given(FULL)
def test_an_interval_scale_does_not_mind_its_zero_nor_its_unit(ratings: list[list[int]]) -> None:
    moved = [[3 * one + 7 for one in row] for row in ratings]
    ours, theirs = (krippendorff_alpha(one, Scale.INTERVAL) for one in (ratings, moved))
    assert isinstance(ours, NotEstimable) == isinstance(theirs, NotEstimable)
    if isinstance(ours, float):
        assert ours == pytest.approx(theirs, abs=1e-9)


def test_almost_all_yes_lowers_kappa_and_not_ac1() -> None:
    ratings = [[1] * 18 + [0, 1], [1] * 18 + [1, 0], [1] * 20]
    found = coefficients(ratings)
    assert isinstance(found.ac1.value, float)
    assert isinstance(found.fleiss.value, float)
    assert found.ac1.value > 0.9
    assert found.fleiss.value < 0.0


def test_weights_count_a_near_miss_as_half() -> None:
    ratings = [[0, 1, 2, 1], [0, 1, 2, 2]]
    half = [[1, 0.5, 0], [0.5, 1, 0.5], [0, 0.5, 1]]
    assert coefficients(ratings).observed == 0.75
    assert coefficients(ratings, weights=half).observed == pytest.approx(0.875)
    with pytest.raises(Refused, match="one for each pair of categories"):
        coefficients(ratings, weights=[[1, 0], [0, 1]])


def test_where_every_disagreement_counts_as_agreement_chance_is_everything() -> None:
    found = coefficients([[0, 1], [1, 0]], weights=[[1, 1], [1, 1]])
    assert found.fleiss.value == NotEstimable("every evaluator used one and the same category")


@pytest.mark.parametrize("ratings", [[[None, None], [1, None]], [[1, 0, 1]], [[None]]])
def test_without_a_pair_there_is_nothing_to_compare(ratings: list[list[int | None]]) -> None:
    no = NotEstimable("nothing was rated by two evaluators")
    assert coefficients(ratings).observed == coefficients(ratings).ac1.value == no
    assert krippendorff_alpha(ratings, Scale.NOMINAL) == no


def test_one_category_alone() -> None:
    no = NotEstimable("every evaluator used one and the same category")
    found = coefficients([[1, 1], [1, 1]])
    assert (found.observed, found.ac1.value, found.conger.se) == (1.0, no, no)
    assert krippendorff_alpha([[1, 1], [1, 1]], Scale.INTERVAL) == NotEstimable(
        "every rating that can be compared is the same"
    )
    many = fleiss_kappa([[3, 0], [3, 0]])
    assert (many.kappa, many.z, many.each) == (no, no, (no, no))


def test_a_category_that_nobody_used() -> None:
    assert fleiss_kappa([[2, 1, 0], [1, 2, 0]]).each[2] == NotEstimable("nobody used this category")


def test_one_thing_shows_no_spread_nor_does_full_agreement() -> None:
    assert coefficients([[1], [0]]).ac1.se == NotEstimable("one thing shows no spread")
    assert coefficients([[1, 0], [1, 0]]).ac1.interval == NotEstimable(
        "they agree on everything, and a spread cannot be seen"
    )


@pytest.mark.parametrize("table", [[[2, 1], [1, 1]], [[2, None], [1, 1]]])
def test_fleiss_needs_the_same_number_of_ratings(table: list[list[int | None]]) -> None:
    with pytest.raises(Refused, match="the same number of ratings"):
        fleiss_kappa(table)


def test_outside_its_range_there_is_no_number() -> None:
    with pytest.raises(OutOfRange):
        fleiss_kappa([[1, 0], [0, 1]])
    with pytest.raises(OutOfRange):
        fleiss_kappa([[4, -1], [2, 1]])
    with pytest.raises(OutOfRange):
        coefficients([[1, 0], [0, 1]], level_percent=20)
    with pytest.raises(Refused, match="a ratio needs ratings that are not negative"):
        krippendorff_alpha([[-1, 1], [1, 1]], Scale.RATIO)


def test_the_scales_differ() -> None:
    ratings = [[1, 2, 4, 8], [1, 2, 4, 2]]
    found = [krippendorff_alpha(ratings, scale) for scale in Scale]
    assert len({round(one, 6) for one in found if isinstance(one, float)}) == 4
    assert krippendorff_alpha([[0, 0, 1], [0, 0, 1]], Scale.RATIO) == 1.0
