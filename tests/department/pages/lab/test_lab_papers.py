"""The lab on paper from its pages: in the clock of the day's place, and never the key to who sits in the day."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.department.people.staff import person
from tests.department.printing.reading import bare, told
from tests.department.training.school import marks, passed, proved, school
from tests.pages import client, words

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
    one = on.learner("101").pk
    assert browser(both).get(f"/lab/learners/{one}/marks.csv").status_code == 404
    assert browser(on.fay).get(f"/lab/learners/{one}/marks.csv").status_code == 200
    assert browser(on.fay).get(f"/lab/learners/{one}/actions.csv").status_code == 404
    assert browser(on.lea).get(f"/lab/learners/{one}/marks.csv").status_code == 403
    assert browser(on.lea).get(f"/lab/mine/{one}/grades.csv").status_code == 200
    assert browser(on.lea).get(f"/lab/mine/{learner.pk}/grades.csv").status_code == 404
    for of_class in ("file.pdf", "grades.csv", "steps/", ""):
        assert browser(both).get(f"/lab/classes/{on.cohort.pk}/{of_class}").status_code == 404
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


def test_no_file_and_no_page_shows_a_mark_before_the_decision_or_while_it_is_open_again() -> None:
    from drawndose.department.training import attempts, deciding

    on = school()
    sheet = on.begin("101")
    proved(sheet.attempt)
    attempts.send(sheet, marks(sheet, order="not done"), by=on.fay, version=sheet.version)
    attempt = sheet.attempt
    attempt.refresh_from_db()

    def read() -> list[str]:
        number, group = on.learner("101").pk, on.cohort.pk
        addresses = (f"mine/{number}/file.pdf", f"learners/{number}/file.pdf", f"classes/{group}/file.pdf")
        found = [browser(on.lea if "mine" in one else on.fay).get(f"/lab/{one}") for one in addresses]
        pages = (f"classes/{group}/steps/", f"learners/{number}/", f"classes/{group}/", "")
        looked = [browser(on.fay).get(f"/lab/{one}").content.decode() for one in pages]
        return [bare("".join(told(one.content))) for one in found] + [bare(one) for one in looked]

    def hidden() -> None:
        *papers, steps, learner, board, today = read()
        assert all("Attempts1,1ofthemnotdecidedyet" in one for one in papers)
        assert not any(
            word in one for one in (*papers, steps, learner) for word in ("Criticalfailures", "1of1", "repeat")
        )
        assert "1attemptnotdecidedyet" in steps
        assert "notdecidedyet" in learner
        assert "todecide" in board
        assert "todecide" in today

    hidden()
    deciding.take(attempt, by=on.fay, version=attempt.version)
    own, of_learner, of_class, _, learner, board, today = read()
    assert all("Criticalfailures" in one for one in (own, of_learner))
    assert "1of1" in of_class
    assert all("repeat" in one for one in (own, of_learner, of_class, learner, board, today))
    sheet.refresh_from_db()
    again = replace(marks(sheet)[0], id="again", note="I looked at another learner.")
    attempts.correct(sheet, again, by=on.fay, version=sheet.version)
    hidden()


def test_the_page_numbers_the_cards_as_the_paper_does_and_its_clock_has_the_time_of_the_card() -> None:
    from drawndose.department.pages.lab.papers import laid
    from drawndose.department.training import days

    on = school()
    paper = laid(on.day, "now")
    for station, piled in zip(on.day.station_set.order_by("number"), paper.stations, strict=True):
        pile = paper.cards(piled)
        assert [(one.number, one.seat, one.task.id) for one in pile] == [
            (days.number_of(station, card), card["seat"], card["id"]) for card in station.cards
        ]
    sheet = on.begin("102", 2)
    page = words(browser(on.fay).get(f"/lab/sheet/{sheet.pk}/").content.decode())
    assert f"Card {days.number_of(on.station(2), sheet.attempt.card)}, " in page
    assert f"of {on.station(2).minutes} min" in page
