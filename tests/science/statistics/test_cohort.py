"""A whole cohort at once gives what each learner and each step give alone; and classes that show nothing."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.science.statistics.cohort import MISSING, Cohort, cohort
from drawndose.science.statistics.cusum import After, design, path
from drawndose.science.statistics.estimable import NotEstimable
from drawndose.science.statistics.items import item_analysis
from drawndose.science.statistics.learning import Curve, by_try
from drawndose.science.statistics.proportion import wilson

MADE = design(0.2, 0.4, 0.2, 0.2)


def invented(learners: int, tries: int, steps: int, seed: int, gone: float = 0.1) -> np.ndarray:
    chance = np.random.default_rng(seed)
    marks = (chance.random((learners, tries, steps)) < 0.85).astype(np.int8)
    marks[chance.random(marks.shape) < gone / 4] = MISSING
    marks[chance.random((learners, tries)) < gone] = MISSING
    return marks


@settings(deadline=None, max_examples=30)
@given(
    st.integers(1, 8), st.integers(1, 7), st.integers(1, 5), st.integers(0, 999),
    st.sampled_from([0, 60, 75, Fraction(200, 3), 100]),
)  # fmt: skip
def test_it_agrees_with_one_thing_at_a_time(learners: int, tries: int, steps: int, seed: int, floor: Fraction) -> None:
    marks = invented(learners, tries, steps, seed)
    weights, critical = [place % 3 + 1 for place in range(steps)], [place % 2 == 0 for place in range(steps)]
    found = cohort(marks, critical, weights, floor, MADE)
    outcomes: list[list[int | None]] = []
    for who in range(learners):
        row: list[int | None] = []
        for one in range(tries):
            mark = [int(value) for value in marks[who, one]]
            if all(value == MISSING for value in mark):
                assert not found.made[who, one]
                row.append(None)
                continue
            points = sum(weight for weight, value in zip(weights, mark, strict=True) if value == 1)
            assert found.points[who, one] == points
            needed = all(value == 1 for value, must in zip(mark, critical, strict=True) if must)
            row.append(int(needed and Fraction(100 * points, sum(weights)) >= floor))
            assert found.passed[who, one] == bool(row[-1])
        outcomes.append(row)
        passes = [one for one in row if one is not None]
        line = path([bool(one) for one in passes], MADE, After.STOP)
        until = int(found.lines.until[who])
        assert until == len(line.values)
        assert found.lines.values[who, :until] == pytest.approx(line.values)
        assert [found.lines.acceptable_at[who]] == list(line.acceptable_at or [0])
        assert [found.lines.unacceptable_at[who]] == list(line.unacceptable_at or [0])
        assert found.passed_at[who] == (row.index(1) + 1 if 1 in row else 0)
    assert found.by_try == by_try(outcomes)
    for step, one in enumerate(found.by_step):
        seen = [int(value) for value in marks[:, :, step].ravel() if value != MISSING]
        assert (one.seen, one.failed) == (len(seen), seen.count(0))
        if seen:
            assert one.interval == wilson(seen.count(0), len(seen))
    first = [[None if value == MISSING else int(value) for value in row] for row in marks[:, 0, :]]
    assert found.first == item_analysis(first)
    assert found.failed.shape == found.seen.shape == (steps, tries)


def test_what_fails_most_comes_first() -> None:
    marks = np.ones((4, 3, 4), dtype=np.int8)
    marks[:, 0, 2] = marks[:3, 0, 0] = 0
    marks[:, :, 3] = MISSING
    found = cohort(marks, [False] * 4, [1] * 4, 0, MADE)
    assert [one.place for one in found.fails_most] == [3, 1, 2, 4]
    assert found.by_step[3].share == found.by_step[3].interval == NotEstimable("nobody was seen at this step")


def test_a_class_of_one_and_a_class_where_all_passed() -> None:
    alone = cohort(np.array([[[1, 0]]]), [False, False], [1, 1], 50, MADE)
    assert alone.curve == NotEstimable("every try succeeded")
    assert isinstance(alone.first.items[0].discrimination, NotEstimable)
    everybody = cohort(np.ones((30, 4, 5), dtype=np.int8), [True] * 5, [1] * 5, 100, MADE)
    assert everybody.curve == NotEstimable("every try succeeded")
    assert all(isinstance(item.plain, NotEstimable) for item in everybody.first.items)
    assert set(everybody.passed_at.tolist()) == {1}


def test_what_is_no_cohort_is_refused_with_every_fault() -> None:
    with pytest.raises(Refused, match="learners, tries and steps"):
        cohort(np.ones((2, 2)), [True], [1], 0, MADE)
    with pytest.raises(Refused) as caught:
        cohort(np.full((1, 1, 2), 7), [True], [-1], 0, MADE)
    assert [fault.field for fault in caught.value.faults] == ["marks", "critical", "weights", "weights"]
    with pytest.raises(Refused, match="some step has some"):
        cohort(np.ones((1, 1, 2)), [True] * 2, [0, 0], 0, MADE)


def test_it_grows_with_the_learners_and_no_faster() -> None:
    found = cohort(invented(2000, 20, 19, 1), [place < 6 for place in range(19)], [1] * 19, 80, MADE)
    assert isinstance(found, Cohort)
    assert isinstance(found.curve, Curve)
    assert sum(one.seen for one in found.by_step) == found.seen.sum()
