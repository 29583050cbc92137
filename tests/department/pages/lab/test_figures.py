"""The figures of a class on its page: with intervals, and in words where there are none."""

from __future__ import annotations

import csv
import io

import pytest

from drawndose.department.pages.lab.figures import (
    all_together,
    figure_words,
    limits_words,
    share_words,
    steps_words,
    with_interval,
)
from drawndose.science.statistics.estimable import Interval, NotEstimable
from tests.department.training.school import passed, school
from tests.lab.cohort.test_figures import sheet, tried
from tests.lab.samples import FORM
from tests.pages import words

NONE = NotEstimable("they agree on everything")


def test_a_figure_stands_with_its_interval_or_with_the_reason_why_not() -> None:
    assert with_interval(-0.123, Interval(-0.5, 0.256)) == "−0.12 (−0.50 to 0.26)"
    assert with_interval(1.0, NONE) == "1.00; interval not estimable: they agree on everything"
    assert with_interval(NONE, NONE) == figure_words(NONE) == share_words(NONE) == str(NONE)
    assert [share_words(one) for one in (0.0, 1.0, 0.25)] == ["0 %", "100 %", "25 %"]


def test_steps_of_a_form_and_all_evaluators_together() -> None:
    tries = [tried("lea", "1111", 1, sheet("abe", "1101")), tried("lou", "1101"), tried("max", "111-")]
    found = steps_words(tries, FORM)
    assert found is not None
    assert (found["learners"], found["counted"], found["left_out"], found["few"], found["count"]) == (3, 2, 1, True, 4)
    assert (found["rows"][2]["did"], found["rows"][2]["difficulty"]) == ("2 of 3", "67 %")
    assert found["rows"][0]["corrected"] == "not estimable: everybody did this step"
    both = all_together(tries, [FORM])
    assert both is not None
    assert (both["evaluators"], both["attempts"], both["steps"], both["few"]) == (2, 1, 4, True)
    assert dict(both["figures"])["Pairs of marks alike"] == "75 %"
    assert (steps_words([], FORM), all_together([], [FORM])) == (None, None)


def test_limits_say_what_it_takes() -> None:
    assert [one["way"] for one in limits_words(3)] == [
        "none; 5 attempts at least must be allowed",
        "2 not passed in a row",
        "none; 5 attempts at least must be allowed",
    ]
    assert limits_words(10)[2]["way"] == "7 passed in a row; of the competent 44 % reach it in time"


@pytest.mark.usefixtures("storage")
def test_a_class_of_one_has_reasons_and_no_numbers() -> None:
    from drawndose.department.training import agreement, cohort
    from drawndose.department.training.files import FILES
    from tests.department.pages.lab.test_lab_pages import browser

    on = school()
    empty = cohort.open_cohort("Empty", by=on.max)
    assert (agreement.attempts_allowed(empty), agreement.attempts_allowed(on.cohort)) == (3, 3)
    passed(on)
    said = words(browser(on.max).get(f"/lab/classes/{on.cohort.pk}/steps/").content.decode())
    assert "Alpha (KR-20): not estimable: two learners and two steps at least" in said
    assert "not estimable: the class has one learner with every answer" in said
    assert "So few learners give hints only" in said
    assert "The rule allows 3 attempts for a skill" in said
    assert "All evaluators together" not in said
    head, first, *rest = csv.reader(io.StringIO(FILES["steps"](on.cohort)))
    row = dict(zip(head, first, strict=True))
    assert (row["step"], row["marked"], row["did"], row["learners in it"], len(rest) > 10) == ("1", "1", "1", "1", True)
    assert row["alpha of the form"] == "not estimable: two learners and two steps at least"
