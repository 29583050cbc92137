"""Steps as items: bounds, what missing answers do, and classes that show nothing."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.science.statistics.estimable import Interval, NotEstimable
from drawndose.science.statistics.items import KELLEY, Missing, by_groups, item_analysis, item_total
from drawndose.science.statistics.reliability import Missing as Rule
from drawndose.science.statistics.reliability import cronbach_alpha, kuder_richardson

SIZES = st.tuples(st.integers(1, 12), st.integers(1, 5))
CLASSES = SIZES.flatmap(
    lambda size: st.lists(
        st.lists(st.none() | st.integers(0, 1), min_size=size[1], max_size=size[1]), min_size=size[0], max_size=size[0]
    )
)


@settings(deadline=None)
@given(CLASSES, st.sampled_from(list(Missing)), st.sampled_from([0.5, KELLEY]))
def test_bounds_and_no_nan(responses: list[list[int | None]], missing: Missing, group: float) -> None:
    found = item_analysis(responses, group, missing)
    assert found.learners + found.left_out == len(responses)
    for item in found.items:
        assert 0 <= item.did <= item.answered <= len(responses)
        for value in (item.plain, item.corrected, item.discrimination):
            assert isinstance(value, NotEstimable) or -1.0 - 1e-9 <= value <= 1.0 + 1e-9
        assert isinstance(item.difficulty, NotEstimable) or 0.0 <= item.difficulty <= 1.0
        if isinstance(item.discrimination, float):
            ends = item.discrimination_interval
            assert isinstance(ends, Interval)
            assert ends.low - 1e-9 <= item.discrimination <= ends.high + 1e-9


@settings(deadline=None)
@given(
    st.integers(2, 12).flatmap(
        lambda n: st.lists(st.lists(st.integers(0, 1), min_size=4, max_size=4), min_size=n, max_size=n)
    )
)
def test_correlations_agree_with_numpy(responses: list[list[int]]) -> None:
    table = np.array(responses, dtype=float)
    plain, corrected = item_total(table)
    for place in range(4):
        for ours, other in (
            (plain[place], table.sum(axis=1)),
            (corrected[place], table.sum(axis=1) - table[:, place]),
        ):
            if np.ptp(table[:, place]) and np.ptp(other):
                assert ours == pytest.approx(np.corrcoef(table[:, place], other)[0, 1], abs=1e-9)
            else:
                assert isinstance(ours, NotEstimable)


def test_what_a_class_of_one_and_an_all_pass_class_show() -> None:
    one = item_analysis([[1, 0]]).items
    assert one[0].difficulty == 1.0
    assert one[0].discrimination == one[0].plain == NotEstimable("the class has one learner with every answer")
    everybody = item_analysis([[1, 1]] * 8).items[0]
    assert everybody.plain == everybody.corrected == NotEstimable("everybody did this step")
    assert everybody.interval == pytest.approx((0.676, 1.0), abs=1e-3)
    nobody = item_analysis([[0, 1], [0, 0]]).items
    assert nobody[0].plain == NotEstimable("nobody did this step")
    assert nobody[1].corrected == NotEstimable("every learner has the same total on the other steps")
    assert item_analysis([[1, 0], [0, 1]]).items[0].plain == NotEstimable("every learner has the same total")


def test_missing_answers_follow_the_rule_that_is_said() -> None:
    responses = [[1, None], [1, 1], [0, 0]]
    left_out, failed = item_analysis(responses), item_analysis(responses, missing=Missing.AS_FAIL)
    assert (left_out.learners, left_out.left_out, left_out.items[1].answered) == (2, 1, 2)
    assert (failed.learners, failed.items[1].answered, failed.items[1].failed) == (3, 3, 2)
    nobody = item_analysis([[None, 1], [1, None]])
    assert nobody.items[0].plain == NotEstimable("nobody has an answer on every step")
    assert item_analysis([[None, 1]]).items[0].difficulty == NotEstimable("nobody has an answer on this step")


def test_groups_take_kelleys_share_rounded() -> None:
    ladder = [[int(place < row) for place in range(12)] for row in range(12)]
    assert item_analysis(ladder, KELLEY).group == 3
    assert item_analysis(ladder).group == 6
    assert item_analysis(ladder[:3]).group == 1
    assert all(item.discrimination == 1.0 for item in item_analysis(ladder, KELLEY).items[3:8])


def test_which_step_fails_most() -> None:
    found = item_analysis([[1, 0, 0], [1, 0, 1], [1, 1, 0]])
    assert [item.place for item in found.fails_most] == [2, 3]
    assert item_analysis([[1, 1]]).fails_most == ()
    assert [item.place for item in item_analysis([[None, 0]]).fails_most] == [2]


def test_groups_that_are_none_are_refused() -> None:
    responses = [[1, 1], [1, 0], [0, 0]]
    assert by_groups(responses, [0], []).items[0].discrimination == NotEstimable(
        "the class has one learner with every answer"
    )
    for upper, lower in (([0], [3]), ([0], [0])):
        with pytest.raises(Refused, match="each learner stands in one group"):
            by_groups(responses, upper, lower)
    for analysis in (item_analysis, kuder_richardson):
        with pytest.raises(Refused, match="a step is done or not"):
            analysis([[2, 1], [0, 1]])


@settings(deadline=None)
@given(
    st.integers(3, 12).flatmap(
        lambda n: st.lists(st.lists(st.integers(0, 1), min_size=4, max_size=4), min_size=n, max_size=n)
    )
)
def test_kr20_is_alpha(responses: list[list[int]]) -> None:
    ours, alpha = kuder_richardson(responses), cronbach_alpha(responses).value
    assert not isinstance(ours, NotEstimable)
    if isinstance(alpha, NotEstimable):
        assert ours.kr20 == NotEstimable("every learner has the same total")
    else:
        assert ours.kr20 == pytest.approx(alpha, abs=1e-9)
        assert isinstance(ours.kr21, float)
        assert ours.kr21 <= alpha + 1e-9


def test_parallel_steps_reach_the_reliability_that_they_were_made_with() -> None:
    chance = np.random.default_rng(9)
    scores = chance.normal(0, 1, (4000, 1)) + chance.normal(0, 1, (4000, 8))
    found = cronbach_alpha(scores)
    assert found.value == pytest.approx(8 / 9, abs=0.01)
    assert isinstance(found.interval, Interval)
    assert found.interval.low < 8 / 9 < found.interval.high
    assert found.sem == pytest.approx(8**0.5, rel=0.05)


def test_the_rule_for_missing_answers_changes_alpha_and_is_told() -> None:
    scores = [[1, 1, 1], [1, None, 0], [0, 0, 0], [1, 1, 0]]
    whole, pairs = cronbach_alpha(scores), cronbach_alpha(scores, Rule.PAIRWISE)
    assert (whole.learners, whole.left_out, whole.missing) == (3, 1, Rule.LISTWISE)
    assert (pairs.learners, pairs.left_out) == (4, 0)
    assert whole.value != pairs.value


@pytest.mark.parametrize(
    ("scores", "rule", "because"),
    [
        ([[1, 1]], Rule.LISTWISE, "two learners and two steps at least"),
        ([[1], [0]], Rule.LISTWISE, "two learners and two steps at least"),
        ([[1, 1], [1, 1]], Rule.LISTWISE, "every learner has the same total"),
        ([[1, None], [None, 1], [1, 1]], Rule.PAIRWISE, "two steps were never answered by two learners"),
    ],
)
def test_no_alpha_and_why(scores: list[list[int | None]], rule: Rule, because: str) -> None:
    found = cronbach_alpha(scores, rule)
    for one in (found.value, found.interval, found.sem, found.sem_population):
        assert one == NotEstimable(because)


def test_pairs_can_contradict_each_other() -> None:
    scores = [
        [0, 0, None], [1, 1, None], [0, 1, None], [1, 0, None],
        [None, 0, 9], [None, 9, 0], [0, None, 9], [9, None, 0],
    ]  # fmt: skip
    assert cronbach_alpha(scores, Rule.PAIRWISE).value == NotEstimable(
        "the spread of the totals came out below 0: too many answers are missing"
    )


def test_perfect_agreement_of_steps_shows_no_spread() -> None:
    found = cronbach_alpha([[1, 1], [0, 0]])
    assert found.value == pytest.approx(1.0)
    assert found.interval == NotEstimable("alpha is 1, and a spread cannot be seen")
    assert kuder_richardson([[1, 1]]) == NotEstimable("two learners and two steps at least")
