"""Two evaluators: bounds, symmetry, a spread that simulation bears out, and every way in which there is no number."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.science.ranges import OutOfRange
from drawndose.science.statistics.estimable import NotEstimable
from drawndose.science.statistics.kappa import agreement, cross, linear, quadratic, weighted

TABLES = st.integers(2, 4).flatmap(
    lambda size: st.lists(st.lists(st.integers(0, 30), min_size=size, max_size=size), min_size=size, max_size=size)
)


@settings(deadline=None)
@given(TABLES)
def test_the_measures_keep_their_bounds_and_do_not_mind_who_is_first(table: list[list[int]]) -> None:
    ours, turned = agreement(table), agreement(np.array(table).T)
    for one, other in ((ours.observed, turned.observed), (ours.pabak, turned.pabak), (ours.ac1, turned.ac1)):
        if isinstance(one, NotEstimable):
            assert sum(map(sum, table)) == 0
            continue
        assert -1.0 - 1e-9 <= one <= 1.0 + 1e-9
        assert one == pytest.approx(other, abs=1e-9)
    if isinstance(ours.beyond.kappa, float):
        assert turned.beyond.kappa == pytest.approx(ours.beyond.kappa, abs=1e-9)
        assert isinstance(ours.observed, float)
        assert ours.beyond.kappa <= ours.observed + 1e-9


@settings(deadline=None)
@given(TABLES)
def test_nothing_is_ever_nan(table: list[list[int]]) -> None:
    found = agreement(table)
    beyond = found.beyond
    values = [found.observed, found.expected, found.pabak, found.ac1, *found.each, beyond.kappa, beyond.se, beyond.z]
    assert all(isinstance(one, NotEstimable) or np.isfinite(one) for one in values)


@settings(deadline=None)
@given(TABLES.filter(lambda table: len(table) == 2))
def test_with_two_categories_every_weight_is_kappa(table: list[list[int]]) -> None:
    plain, heavy = agreement(table).beyond, weighted(table, [[0, 7], [7, 0]])
    if isinstance(plain.kappa, float):
        assert heavy.kappa == pytest.approx(plain.kappa, abs=1e-9)
        assert isinstance(heavy.se, NotEstimable) == isinstance(plain.se, NotEstimable)


def test_quadratic_weights_on_scores_are_an_intraclass_correlation() -> None:
    """J. L. Fleiss, J. Cohen 1973: kappa with quadratic weights is the ICC that counts the evaluators' means."""
    table = np.array([[10, 4, 1], [5, 10, 12], [2, 4, 12]])
    first, second = (np.repeat(np.indices((3, 3))[axis].ravel(), table.ravel()).astype(float) for axis in (0, 1))
    covariance = np.cov(first, second, ddof=0)
    expected = 2 * covariance[0, 1] / (covariance[0, 0] + covariance[1, 1] + (first.mean() - second.mean()) ** 2)
    assert weighted(table, quadratic([0, 1, 2])).kappa == pytest.approx(expected, abs=1e-9)


def test_the_standard_error_is_what_simulation_gives() -> None:
    p = np.array([[0.4, 0.09], [0.06, 0.45]])
    chance = np.random.default_rng(3)
    draws = chance.multinomial(200, p.ravel(), size=3000).reshape(-1, 2, 2)
    kappas = [agreement(one.astype(float)).beyond.kappa for one in draws]
    expected = agreement(p * 200).beyond.se
    assert np.std([one for one in kappas if isinstance(one, float)]) == pytest.approx(expected, rel=0.05)


@pytest.mark.parametrize(
    ("table", "because"),
    [
        ([[0, 0], [0, 0]], "nothing was rated by both"),
        ([[18, 2], [0, 0]], "the first evaluator never varies"),
        ([[18, 0], [2, 0]], "the second evaluator never varies"),
        ([[20, 0], [0, 0]], "the first evaluator never varies"),
    ],
)
def test_kappa_is_never_0_for_want_of_variation(table: list[list[int]], because: str) -> None:
    beyond = agreement(table).beyond
    for one in (beyond.kappa, beyond.se, beyond.interval, beyond.se_null, beyond.z):
        assert one == NotEstimable(because)
    assert weighted(table, [[0, 1], [1, 0]]).kappa == NotEstimable(because)


def test_an_all_yes_checklist_keeps_its_other_measures() -> None:
    found = agreement([[20, 0], [0, 0]])
    assert (found.observed, found.pabak, found.ac1) == (1.0, 1.0, 1.0)
    assert found.each == (1.0, NotEstimable("neither evaluator used this category"))


def test_full_agreement_shows_no_spread() -> None:
    beyond = agreement([[10, 0], [0, 5]]).beyond
    assert beyond.kappa == 1.0
    assert beyond.se == beyond.interval == NotEstimable("they agree on everything, and a spread cannot be seen")


def test_weights_that_never_apply() -> None:
    no = NotEstimable("every disagreement weighs nothing")
    assert weighted([[1, 2], [3, 4]], [[0, 0], [0, 0]]).kappa == no
    unused = [[5, 1, 0], [1, 5, 0], [0, 0, 0]]
    assert weighted(unused, [[0, 0, 1], [0, 0, 1], [1, 1, 0]]).kappa == no


def test_indices_belong_to_two_categories() -> None:
    assert agreement(np.eye(3)).bias_index == NotEstimable("there are more than two categories")
    assert agreement([[40, 9], [6, 45]]).bias_index == pytest.approx(0.03)
    assert agreement([[40, 9], [6, 45]]).prevalence_index == pytest.approx(-0.05)


def test_pairs_become_a_table() -> None:
    table = cross(["a", "b", None, "a"], ["a", "a", "b", None], ["a", "b"])
    assert table.tolist() == [[1.0, 0.0], [1.0, 0.0]]
    assert agreement(table).beyond.kappa == NotEstimable("the second evaluator never varies")


@pytest.mark.parametrize(
    ("make", "rule"),
    [
        (lambda: cross(["a"], ["a", "b"], ["a", "b"]), "both rate the same things"),
        (lambda: cross(["c"], ["a"], ["a", "b"]), "this is no category here"),
        (lambda: agreement([[1, 2, 3], [1, 2, 3]]), "as many rows as columns"),
        (lambda: agreement([[1]]), "two or more"),
        (lambda: agreement([[1, None], [1, 1]]), "every cell filled"),
        (lambda: weighted([[1, 2], [3, 4]], [[0, 1, 2]] * 3), "one for each cell of the table"),
        (lambda: weighted([[1, 2], [3, 4]], [[1, 1], [1, 0]]), "the diagonal is 0"),
    ],
)
def test_what_is_no_table_is_refused(make: object, rule: str) -> None:
    with pytest.raises(Refused, match=rule):
        make()  # type: ignore[operator]


def test_negative_counts_and_weights_lie_outside() -> None:
    with pytest.raises(OutOfRange):
        agreement([[1, -1], [0, 1]])
    with pytest.raises(OutOfRange):
        weighted([[1, 2], [3, 4]], [[0, -1], [1, 0]])
    with pytest.raises(OutOfRange):
        agreement([[1, 1], [0, 1]], level_percent=10)


def test_distances() -> None:
    assert linear([0, 2]).tolist() == [[0.0, 2.0], [2.0, 0.0]]


def test_two_who_use_neighbouring_categories_only_leave_kappa_no_room() -> None:
    found = weighted([[0, 0, 0], [3, 3, 0], [2, 1, 0]], linear([0, 1, 2]))
    fixed = NotEstimable("with what each of them used, every table has the same kappa")
    assert found.kappa == pytest.approx(0.0, abs=1e-12)
    assert (found.se_null, found.z) == (fixed, fixed)
