"""The lab on paper from its pages: in the clock of the day's place, and never the key to who sits in the day."""

from __future__ import annotations

from typing import Any

import pytest

from tests.department.people.staff import person
from tests.department.printing.reading import bare, told
from tests.department.training.school import marks, passed, proved, school
from tests.pages import client

pytestmark = pytest.mark.usefixtures("storage")


def browser(who: Any) -> Any:
    one = client()
    one.force_login(who)
    return one


def test_the_papers_of_a_day_tell_its_times_by_the_clock_of_its_place() -> None:
    on = school()
    answer = browser(on.fay).get(f"/lab/days/{on.day.pk}/key.pdf")
    said = bare("".join(told(answer.content)))
    stored = next(
        line["text"]
        for one in on.day.station_set.all()
        for card in one.cards
        for line in card["label"]
        if line["name"] == "started"
    )
    assert bare(f"started: {stored}") in said
    assert "12:00" in stored


def test_who_sits_in_the_day_does_not_print_its_key() -> None:
    from drawndose.department.people.roles import Role
    from drawndose.department.training import cohort

    on = school()
    both = person("both", "Bo Both", Role.EVALUATOR, Role.LEARNER)
    learner = on.learner("103")
    cohort.link(learner, both, by=on.max, version=learner.version)
    for kind in ("key", "cards", "pack"):
        assert browser(both).get(f"/lab/days/{on.day.pk}/{kind}.pdf").status_code in {403, 404}
    assert browser(both).get(f"/lab/classes/{on.cohort.pk}/file.pdf").status_code in {403, 404}
    assert browser(on.lea).get(f"/lab/days/{on.day.pk}/key.pdf").status_code == 403
    assert browser(on.fay).get(f"/lab/days/{on.day.pk}/key.pdf").status_code == 200


def test_a_file_with_a_comment_that_no_type_has_is_printed_all_the_same() -> None:
    from drawndose.department.training import deciding
    from drawndose.department.training.models import Attempt

    on = school()
    passed(on)
    row = Attempt.objects.get()
    deciding.sign(row, by=on.lea, version=row.version, comment="Fine \U0001f600", key=None)
    answer = browser(on.lea).get(f"/lab/mine/{row.learner_id}/file.pdf")
    assert "Fine[U+1F600]" in bare("".join(told(answer.content)))


def test_a_learner_sees_nothing_in_their_file_of_a_try_that_is_not_decided() -> None:
    from drawndose.department.training import attempts

    on = school()
    sheet = on.begin("101")
    proved(sheet.attempt)
    attempts.send(sheet, marks(sheet, order="not done"), by=on.fay, version=sheet.version)
    number = on.learner("101").pk
    own = bare("".join(told(browser(on.lea).get(f"/lab/mine/{number}/file.pdf").content)))
    assert "Attempts0" in own
    assert "Criticalfailures" not in own
    whole = bare("".join(told(browser(on.fay).get(f"/lab/learners/{number}/file.pdf").content)))
    assert "Attempts1" in whole
    assert "Criticalfailures" in whole
