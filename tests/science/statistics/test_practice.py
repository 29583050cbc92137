"""Which practice comes next: abilities against another solver, days against the rule written out."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, optimize

from drawndose.quantities import Refused
from drawndose.science.ranges import OutOfRange
from drawndose.science.statistics import rasch, two_parameter
from drawndose.science.statistics.estimable import NotEstimable
from drawndose.science.statistics.spacing import FLOOR, START, change, schedule

TASKS = st.lists(st.floats(-3, 3), min_size=2, max_size=12)


@settings(deadline=None)
@given(TASKS, st.data())
def test_the_most_likely_ability_expects_the_score(b: list[float], data: st.DataObject) -> None:
    score = data.draw(st.integers(0, len(b)))
    found = rasch.most_likely(score, b)
    wanted = min(max(score, 0.5), len(b) - 0.5)
    assert sum(rasch.probability(found.value, one) for one in b) == pytest.approx(wanted, abs=1e-9)
    assert found.moved == (score in (0, len(b)))
    assert rasch.expected(score, b).se < 1.0  # narrower than what is held before the answers are seen


def test_the_expected_ability_meets_an_integral_by_another_way() -> None:
    b = np.array([-1.0, 0.2, 1.4])

    def height(theta: float) -> float:
        return float(np.exp(2 * theta - theta**2 / 2) / np.prod(1 + np.exp(theta - b)))

    whole = integrate.quad(height, -9, 9)[0]
    mean = integrate.quad(lambda t: t * height(t), -9, 9)[0] / whole
    assert rasch.expected(2, list(b)).value == pytest.approx(mean, abs=1e-7)


def test_the_ends_of_a_score() -> None:
    assert rasch.quick(0, [0.0])[0] == NotEstimable("every answer is wrong, and the ability has no lower end")
    for score, b in ((1, []), (3, [0.0, 1.0]), (-1, [0.0])):
        with pytest.raises(Refused, match="right answers among the tasks"):
            rasch.most_likely(score, b)
    with pytest.raises(OutOfRange):
        rasch.quick(1, [0.0, 99.0])


@settings(deadline=None)
@given(
    st.lists(
        st.tuples(st.booleans(), st.floats(0.3, 2.5), st.floats(-2, 2)), min_size=2, max_size=8
    ).filter(lambda tasks: len({right for right, _, _ in tasks}) == 2)
)  # fmt: skip
def test_two_parameters_meet_another_solver(tasks: list[tuple[bool, float, float]]) -> None:
    right, a, b = (list(part) for part in zip(*tasks, strict=True))
    found = two_parameter.ability(right, a, b)
    assert isinstance(found, two_parameter.Found)

    def slope(theta: float) -> float:
        p = 1 / (1 + np.exp(-np.array(a) * (theta - np.array(b))))
        return float(np.array(a) @ (np.array(right) - p))

    assert found.value == pytest.approx(optimize.brentq(slope, -200, 200), abs=1e-6)
    assert found.steps[-1] == found.value


def test_far_and_sharp_tasks_end_too() -> None:
    found = rasch.most_likely(10, [-10.0] * 10 + [10.0] * 10)
    assert abs(found.value) < 1e-6
    assert found.se > 10
    wild = two_parameter.ability([False, True], [10.0, 10.0], [-10.0, 10.0], start=9.0)
    assert isinstance(wild, two_parameter.Found)
    assert np.isfinite([wild.value, wild.se]).all()


def test_what_two_parameters_lack() -> None:
    no = NotEstimable("every answer is wrong, and the ability has no lower end")
    assert two_parameter.ability([False], [1.0], [0.0]) == no
    for right, a in (([], []), ([True], [1.0, 2.0])):
        with pytest.raises(Refused, match="for each task"):
            two_parameter.ability(right, a, [0.0] * len(right))
    with pytest.raises(OutOfRange):
        two_parameter.ability([True, False], [0.0, 1.0], [0.0, 1.0])


@settings(deadline=None)
@given(st.lists(st.integers(0, 5), max_size=12))
def test_the_days_follow_the_rule_written_out(qualities: list[int]) -> None:
    easiness, done, days = START, 0, 0
    for quality, found in zip(qualities, schedule(qualities), strict=True):
        if quality < 3:
            done, days = 1, 1
        else:
            easiness = max(FLOOR, easiness + change(quality))
            done += 1
            days = {1: 1, 2: 6}.get(done) or -(-days * easiness.numerator // easiness.denominator)
        assert (found.days, found.easiness, found.today) == (days, easiness, quality < 4)


def test_what_is_no_quality_is_refused() -> None:
    with pytest.raises(OutOfRange):
        change(6)
    assert change(3) == Fraction(-14, 100)
