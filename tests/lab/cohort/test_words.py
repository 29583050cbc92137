"""The figures of a class in words: with intervals, and in words where there are none."""

from __future__ import annotations

from drawndose.lab.cohort.words import (
    _odds,
    figure_words,
    learning_words,
    limits_words,
    pass_mark_words,
    share_words,
    steps_words,
    together_words,
    with_interval,
)
from drawndose.science.statistics.estimable import Interval, NotEstimable
from tests.lab.cohort.test_figures import sheet, tried
from tests.lab.samples import FORM

NONE = NotEstimable("they agree on everything")


def test_a_figure_stands_with_its_interval_or_with_the_reason_why_not() -> None:
    assert with_interval(-0.123, Interval(-0.5, 0.256)) == "−0.12 (−0.50 to 0.26)"
    assert with_interval(0.79, Interval(0.4, 1.19)) == "0.79 (0.40 to 1.00)"
    assert with_interval(1.0, NONE) == "1.00; interval not estimable: they agree on everything"
    assert with_interval(NONE, NONE) == figure_words(NONE) == share_words(NONE) == str(NONE)
    assert [share_words(one) for one in (0.0, 1.0, 0.25)] == ["0 %", "100 %", "25 %"]


def test_steps_of_a_form_and_all_evaluators_together() -> None:
    tries = [tried("lea", "1111", 1, sheet("abe", "1101")), tried("lou", "1101"), tried("max", "111-")]
    found = steps_words(tries, FORM)
    assert found is not None
    assert (found.learners, found.counted, found.left_out, found.few, len(found.rows)) == (3, 2, 1, True, 4)
    assert (found.rows[2].did, found.rows[2].difficulty) == ("2 of 3", "67 %")
    assert found.rows[0].corrected == "not estimable: everybody did this step"
    both = together_words(tries, [FORM])
    assert both is not None
    assert (both.evaluators, both.attempts, both.steps, both.few) == (2, 1, 4, True)
    assert dict(both.figures)["Pairs of marks alike"] == "75 %"
    assert dict(both.figures)["ICC(1,1) of the percentages"].startswith("not estimable")
    assert (steps_words([], FORM), together_words([], [FORM])) == (None, None)


def test_limits_say_what_it_takes() -> None:
    assert [one.way for one in limits_words(3)] == [
        "none; 5 attempts at least must be allowed",
        "2 not passed in a row",
        "none; 5 attempts at least must be allowed",
    ]
    assert limits_words(10)[2].way == "7 passed in a row; of the competent 44 % reach it in time"


def test_a_pass_mark_stands_with_its_interval_and_how_many_it_rests_on() -> None:
    from tests.lab.cohort.test_figures import rated

    four = [rated("lea", "1111", 4), rated("lou", "1101", 2), rated("max", "0111", 2), rated("nia", "0001", 1)]
    group, line = dict(pass_mark_words(four, FORM)).values()
    assert group.endswith(" %), of 2")
    assert line.endswith(" %), of 4")
    alone, none = dict(pass_mark_words(four[:2], FORM)).values()
    assert ", of 1; interval not estimable: one borderline learner shows no spread" in alone
    assert "interval not estimable" in none
    assert pass_mark_words([], FORM) == pass_mark_words(four[:1], FORM) == ()
    high = [rated("lea", "1111", 5), rated("lou", "1101", 4)]
    assert (
        dict(pass_mark_words(high, FORM))["Mean of those rated 2 of 5"] == "not estimable: nobody was called borderline"
    )


def test_attempts_in_words_with_the_odds_or_the_reason_why_there_are_none() -> None:
    passed = [
        ("lea", 1, True),
        ("lou", 1, False),
        ("max", 1, False),
        ("lou", 2, True),
        ("max", 2, False),
        ("max", 3, True),
    ]
    found = learning_words(passed)
    assert found is not None
    assert [(one.attempt, one.passed, one.share) for one in found.rows] == [
        (1, "1 of 3", "33 %"),
        (2, "1 of 2", "50 %"),
        (3, "1 of 1", "100 %"),
    ]
    assert " to " in found.odds
    assert learning_words([]) is None
    one = learning_words([("max", 1, False), ("max", 2, True), ("max", 3, False), ("max", 4, True)])
    assert one is not None
    assert "; interval not estimable: one learner shows no spread between learners" in one.odds
    alike = learning_words([("lea", 1, True), ("lea", 2, True)])
    assert alike is not None
    assert alike.odds == "not estimable: every try succeeded"


def test_odds_that_no_class_can_show_are_not_written_out() -> None:
    assert [_odds(one) for one in (-9.0, 0.0, 0.7, 800.0)] == ["under 0.001", "1.00", "2.01", "over 1,000"]
