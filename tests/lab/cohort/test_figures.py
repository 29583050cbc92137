"""Figures of a class: worked by hand on small tables, and in words where there are none: one learner, all alike, who never varies."""

from dataclasses import replace
from datetime import timedelta

import pytest

from drawndose.lab.attempts.attempt import Attempt, Sheet
from drawndose.lab.attempts.scored import score
from drawndose.lab.cohort.figures import (
    ACCEPTED,
    MASTERED,
    REFUSED,
    first_tries,
    form_figures,
    learning,
    limits,
    pass_mark,
    together,
)
from drawndose.lab.cohort.pictures import LINE
from drawndose.science.statistics import lc_cusum
from drawndose.science.statistics.estimable import NotEstimable
from tests.lab.samples import FORM, NOON, attempt, mark

STEPS = {"hands": ("done", "not done"), "snap-away": ("done", "not done"), "read": ("2", "0"), "record": ("4", "1")}


def sheet(who: str, did: str, rating: int | None = None) -> Sheet:
    """did: a sign for each step: 1 done, 0 not, - not marked."""
    signs = zip(STEPS.items(), did, strict=True)
    made = [mark(at, step, points["10".index(sign)]) for at, ((step, points), sign) in enumerate(signs) if sign != "-"]
    return Sheet(evaluator=who, marks=tuple(made), rating=rating)


def tried(learner: str, did: str, number: int = 1, *more: Sheet) -> Attempt:
    at = NOON + timedelta(days=number)
    return attempt(
        id=f"{learner}{number}", learner=learner, number=number, started=at, ended=at + timedelta(minutes=5),
        sheets=(sheet("eva", did), *more),
    )  # fmt: skip


def test_steps_as_items_by_first_attempts_with_the_count_of_who_has_a_total() -> None:
    tries = (
        tried("lea", "1111", 2),
        tried("lea", "0001"),
        tried("lou", "1101"),
        tried("max", "1110"),
        tried("nia", "111-"),
    )
    assert [one.id for one in first_tries(tries, FORM)] == ["lea1", "lou1", "max1", "nia1"]
    found = form_figures(tries, FORM)
    assert found is not None
    hands, snap, read, record = (item for _, item in found.steps)
    assert [step.id for step, _ in found.steps] == list(STEPS)
    assert (hands.did, hands.answered, hands.difficulty, record.did, record.answered) == (3, 4, 0.75, 2, 3)
    # Totals of lea, lou, max: hands 0 1 1, the others 1 2 2: they rise together. record 1 1 0, the others 0 2 3.
    assert hands.corrected == pytest.approx(1.0)
    assert record.corrected == pytest.approx(-(4 / 3) / ((2 / 3) * (14 / 3)) ** 0.5)
    assert (snap.corrected, read.answered) == (pytest.approx(1.0), 4)
    assert (found.alpha.learners, found.alpha.left_out) == (3, 1)


def test_a_class_of_one_or_where_all_did_all_has_no_figure_but_its_reason() -> None:
    assert form_figures((), FORM) is None
    one = form_figures((tried("lea", "1011"),), FORM)
    assert one is not None
    assert str(one.steps[0][1].corrected) == "not estimable: the class has one learner with every answer"
    assert str(one.alpha.value) == "not estimable: two learners and two steps at least"
    alike = form_figures((tried("lea", "1111"), tried("lou", "1111")), FORM)
    assert alike is not None
    assert str(alike.steps[0][1].corrected) == "not estimable: everybody did this step"
    assert str(alike.alpha.value) == "not estimable: every learner has the same total"


def test_all_evaluators_together_count_attempts_that_two_marked() -> None:
    tries = (
        tried("lea", "1111", 1, sheet("abe", "1111")),
        tried("lou", "1100", 1, sheet("abe", "1101")),
        tried("max", "1010", 1, sheet("ida", "101-")),
        tried("nia", "0000"),
    )
    found = together(tries, [FORM])
    assert found is not None
    assert (found.evaluators, found.attempts, found.by.pairs) == (("abe", "eva", "ida"), 3, 11)
    assert found.by.observed == pytest.approx(10 / 11)
    assert isinstance(found.alpha, float)
    pair = together(tries, [FORM], ("abe", "eva"))
    assert pair is not None
    assert (pair.evaluators, pair.attempts) == (("abe", "eva"), 2)
    assert together(tries, [FORM], ("abe", "ida")) is None
    assert together(tries, []) is None


def test_evaluators_who_mark_everything_done_have_no_figure_beyond_chance() -> None:
    found = together((tried("lea", "1111", 1, sheet("abe", "1111")),), [FORM])
    assert found is not None
    assert found.by.observed == 1.0
    assert str(found.by.ac1.value) == "not estimable: every evaluator used one and the same category"
    assert isinstance(found.alpha, NotEstimable)


def test_three_attempts_can_show_that_somebody_fails_and_not_that_they_are_competent() -> None:
    low, high, mastered = limits(3)
    assert [one.line for one in (low, high, mastered)] == [ACCEPTED, REFUSED, MASTERED]
    assert isinstance(low.value, NotEstimable)
    assert isinstance(mastered.value, NotEstimable)
    # By hand: 0.6 ** 5 is under 0.1 and 0.6 ** 4 is not; 0.2 ** 2 is, and 0.2 is not.
    assert (low.shortest, low.needs, high.shortest, high.needs, mastered.needs) == (None, 5, 2, 2, 5)


@pytest.mark.parametrize("attempts", [5, 10])
def test_the_limits_keep_their_risk_within_the_attempts_allowed(attempts: int) -> None:
    low, high, mastered = limits(attempts)
    assert isinstance(mastered.value, float)
    made = lc_cusum.design(LINE.p0, LINE.p1, mastered.value)
    assert lc_cusum.mastery(made, LINE.p1, attempts)[-1] <= 0.1
    assert mastered.found == pytest.approx(lc_cusum.mastery(made, LINE.p0, attempts)[-1])
    assert [one.shortest for one in (low, high, mastered)] == {5: [5, 2, 5], 10: [6, 3, 7]}[attempts]


def rated(learner: str, did: str, rating: int | None, number: int = 1) -> Attempt:
    return replace(tried(learner, did, number), sheets=(sheet("eva", did, rating),))


def test_the_impressions_set_a_pass_mark_by_the_group_and_by_the_line() -> None:
    percent = {did: float(score(sheet("eva", did), FORM).percent) for did in ("1111", "1101", "0111", "0001")}
    tries = [rated("lea", "1111", 4), rated("lou", "1101", 2), rated("max", "0111", 2), rated("nia", "0001", 1)]
    found = pass_mark(tries, FORM)
    assert found.group.value == pytest.approx((percent["1101"] + percent["0111"]) / 2)
    assert found.group.rests_on == 2
    assert found.regression.rests_on == 4
    without = [rated("lea", "1111", None), rated("lou", "11-1", 2), rated("max", "1111", 2, 2)]
    assert pass_mark(without[:2], FORM).group.rests_on == 0
    assert pass_mark(without, FORM).group.rests_on == 1  # the one whose steps are all marked
    assert isinstance(pass_mark([], FORM).group.value, NotEstimable)


def test_from_attempt_to_attempt_it_counts_who_tried() -> None:
    passed = [
        ("lea", 1, True),
        ("lou", 1, False),
        ("max", 1, False),
        ("lou", 2, True),
        ("max", 2, False),
        ("max", 3, True),
    ]
    found = learning(passed)
    assert found is not None
    assert [(one.attempt, one.succeeded, one.learners) for one in found.tries] == [(1, 1, 3), (2, 1, 2), (3, 1, 1)]
    assert not isinstance(found.curve, NotEstimable)
    assert found.curve.slope > 0
    assert learning(passed[:3]) is None
    assert learning([]) is None
    alike = learning([("lea", 1, True), ("lea", 2, True)])
    assert alike is not None
    assert str(alike.curve) == "not estimable: every try succeeded"


def test_percentages_of_two_evaluators_have_an_icc() -> None:
    tries = [
        tried("lea", "1111", 1, sheet("abe", "1111")),
        tried("lou", "1101", 1, sheet("abe", "1001")),
        tried("max", "0001", 1, sheet("ida", "0001")),
    ]
    found = together(tries, [FORM])
    assert found is not None
    pairs = [[float(score(one, FORM).percent) for one in each.sheets] for each in tries]
    # Shrout and Fleiss 1979, (1,1) = (B - W) / (B + W) for two: by hand from the mean squares of these pairs.
    means = [sum(pair) / 2 for pair in pairs]
    whole = sum(means) / 3
    between = 2 * sum((one - whole) ** 2 for one in means) / 2
    within = sum((pair[0] - pair[1]) ** 2 / 2 for pair in pairs) / 3
    assert found.percents.single[0].value == pytest.approx((between - within) / (between + within))
    assert found.percents.mean[0].value == pytest.approx((between - within) / between)
    one = together(tries[:1], [FORM])
    assert one is not None
    assert isinstance(one.percents.single[0].value, NotEstimable)
