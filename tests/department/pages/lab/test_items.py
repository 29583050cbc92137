"""Steps and evaluators of a class on its page and in its files: with intervals, and with a reason where there are none."""

from __future__ import annotations

import csv
import io

import pytest

from tests.department.training.school import passed, school
from tests.pages import words


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
    assert "A pass mark out of the impressions" not in said
    assert "From attempt to attempt" not in said
    head, first, *rest = csv.reader(io.StringIO(FILES["steps"](on.cohort)))
    row = dict(zip(head, first, strict=True))
    assert (row["step"], row["marked"], row["did"], row["learners in it"], len(rest) > 10) == ("1", "1", "1", "1", True)
    assert row["alpha of the form"] == "not estimable: two learners and two steps at least"


@pytest.mark.usefixtures("storage")
def test_a_second_attempt_shows_the_class_from_attempt_to_attempt() -> None:
    from drawndose.department.training import agreement, deciding
    from tests.department.pages.lab.test_lab_pages import browser

    on = school()
    plan = deciding.plan_practice(passed(on, order="not done").attempt, "three orders read aloud", by=on.fay)
    deciding.practised(plan, by=on.gil, version=plan.version)
    passed(on)
    (rows,) = agreement.passed(on.cohort).values()
    assert [(number, made) for _, number, made in rows] == [(1, False), (2, True)]
    said = words(browser(on.max).get(f"/lab/classes/{on.cohort.pk}/steps/").content.decode())
    assert "From attempt to attempt" in said
    assert "Each doubling of the attempts multiplies the odds to pass by" in said
