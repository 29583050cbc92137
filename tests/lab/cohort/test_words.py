"""The figures of a class in words: with intervals, and in words where there are none."""

from __future__ import annotations

from drawndose.lab.cohort.words import (
    figure_words,
    limits_words,
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
    assert (steps_words([], FORM), together_words([], [FORM])) == (None, None)


def test_limits_say_what_it_takes() -> None:
    assert [one.way for one in limits_words(3)] == [
        "none; 5 attempts at least must be allowed",
        "2 not passed in a row",
        "none; 5 attempts at least must be allowed",
    ]
    assert limits_words(10)[2].way == "7 passed in a row; of the competent 44 % reach it in time"
