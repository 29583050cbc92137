"""Attempts: begun once, marked, handed in once whatever the network does, watched by a second evaluator who is another person."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from drawndose.quantities import Refused
from tests.department.training.school import marks, moment, proved, school

pytestmark = pytest.mark.usefixtures("storage")


def test_a_try_keeps_the_form_and_the_card_it_was_begun_with() -> None:
    on = school()
    sheet = on.begin("101")
    attempt = sheet.attempt
    assert (attempt.state, attempt.number, sheet.state, sheet.place) == ("begun", 1, "open", 1)
    assert attempt.form.skill == attempt.card["form"]
    assert attempt.card["seat"] == 1


def test_begun_twice_by_one_form_is_one_try() -> None:
    from drawndose.department.ledger.append import Replayed
    from drawndose.department.training.models import Attempt

    on = school()
    on.begin("101", key="k1")
    with pytest.raises(Replayed):
        on.begin("101", key="k1")
    assert Attempt.objects.count() == 1


def test_a_learner_has_one_open_try_at_a_time() -> None:
    on = school()
    on.begin("101")
    with pytest.raises(Refused, match="a try of this learner is open"):
        on.begin("101", station=2)


def test_nobody_evaluates_themselves_nor_without_the_right() -> None:
    from drawndose.department.people.models import RoleHeld
    from drawndose.department.people.roles import Role

    on = school()
    with pytest.raises(Refused) as told:
        on.begin("101", by=on.lea)
    rules = [fault.rule for fault in told.value.faults]
    assert rules == ["to evaluate learners is not this person's", "nobody evaluates themselves"]
    RoleHeld.objects.create(person=on.lea, role=Role.EVALUATOR.value)
    with pytest.raises(Refused, match="nobody evaluates themselves"):
        on.begin("101", by=on.lea)


def test_nothing_begins_on_a_day_that_is_not_open_nor_for_another_class() -> None:
    from drawndose.department.training import attempts, cohort, days

    on = school(opened=False)
    with pytest.raises(Refused, match="the day is planned"):
        on.begin("101")
    days.open_day(on.day, by=on.fay, version=on.day.version)
    other = cohort.enrol(cohort.open_cohort("Other", by=on.max), "1", "Ida Else", by=on.max)
    card = on.station().cards[0]
    with pytest.raises(Refused, match="of another class"):
        attempts.begin(on.station(), other, card, by=on.fay)


def test_sent_twice_is_sent_once_and_the_draft_goes() -> None:
    from drawndose.department.ledger.append import Replayed
    from drawndose.department.ledger.models import Event
    from drawndose.department.training import attempts, drafts
    from drawndose.department.training.models import Evaluation, MarkDraft

    on = school()
    sheet = on.begin("101")
    made = marks(sheet)
    drafts.keep(sheet, made[:3], by=on.fay)
    attempts.send(sheet, made, by=on.fay, version=sheet.version, key="s1", note="steady hands")
    again = Evaluation.objects.get(pk=sheet.pk)
    with pytest.raises(Replayed):
        attempts.send(again, made, by=on.fay, version=again.version, key="s1", ended=sheet.attempt.started_at)
    assert Event.objects.filter(name="evaluation.sent").count() == 1
    assert Event.objects.filter(name="attempt.sent").count() == 1
    assert not MarkDraft.objects.exists()
    again.attempt.refresh_from_db()
    assert again.attempt.state == "sent"
    assert again.attempt.ended_at is not None
    assert "steady" not in str(Event.objects.get(name="evaluation.sent").content)


def test_what_cannot_be_on_a_sheet_is_refused_all_together_and_nothing_is_sent() -> None:
    from drawndose.department.training import attempts

    on = school()
    sheet = on.begin("101")
    bad = replace(marks(sheet)[0], id="x", step="nowhere")
    with pytest.raises(Refused) as told:
        attempts.send(sheet, [bad], by=on.gil, version=1, rating=9, note="n" * 2001, ended=moment(hours=2))
    fields = [fault.field for fault in told.value.faults]
    assert fields == ["mark x, step", "evaluator", "rating", "note", "ended"]
    sheet.refresh_from_db()
    assert sheet.state == "open"


def test_an_end_before_the_start_is_refused() -> None:
    from drawndose.department.training import attempts

    on = school()
    sheet = on.begin("101")
    with pytest.raises(Refused, match="does not lie in the attempt"):
        attempts.send(
            sheet, (), by=on.fay, version=sheet.version, ended=sheet.attempt.started_at - timedelta(seconds=1)
        )


def test_drafts_of_two_arrivals_lose_nothing_in_whatever_order() -> None:
    from drawndose.department.training import drafts

    on = school()
    sheet = on.begin("101")
    made = marks(sheet)
    drafts.keep(sheet, made[2:5], by=on.fay)
    drafts.keep(sheet, made[:3], by=on.fay)
    draft = drafts.kept(sheet)
    assert draft is not None
    assert {one["id"] for one in draft.marks} == {one.id for one in made[:5]}
    assert drafts.keep(sheet, made, by=on.gil) is None


def test_a_second_evaluator_has_a_sheet_of_their_own_on_the_same_try() -> None:
    from drawndose.department.training import attempts
    from drawndose.department.training.as_lab import attempt_of

    on = school()
    first = on.begin("101")
    attempt = first.attempt
    with pytest.raises(Refused, match="the second evaluator is another person"):
        attempts.begin_second(attempt, by=on.fay)
    second = attempts.begin_second(attempt, by=on.gil)
    # The second one began in between: what the first one sends is not refused for that.
    attempts.send(first, marks(first), by=on.fay, version=first.version)
    attempts.send(second, marks(second), by=on.gil, version=second.version)
    attempt.refresh_from_db()
    assert attempt_of(attempt).evaluators == ("fay", "gil")
    with pytest.raises(Refused, match="two evaluators watch already"):
        attempts.begin_second(attempt, by=on.max)


def test_a_form_edited_while_in_use_leaves_the_try_on_its_own_version() -> None:
    from drawndose.department.training import attempts, forms
    from drawndose.department.training.as_lab import attempt_of
    from drawndose.lab.attempts.attempt import outdated

    on = school()
    sheet = on.begin("101")
    row = sheet.attempt.form
    draft = replace(forms.form_of(row), title="Our own")
    new = forms.revise(forms.in_use(row.skill), draft, by=on.max, version=row.version)
    attempts.send(sheet, marks(sheet), by=on.fay, version=sheet.version)
    sheet.attempt.refresh_from_db()
    assert sheet.attempt.form_id == row.pk
    assert new.form_id == f"our-{row.skill}"
    again = forms.revise(new, replace(forms.form_of(new), minutes=30), by=on.max, version=new.version)
    assert again.edition == 2
    late = replace(attempt_of(sheet.attempt), skill=new.form_id, form_version=new.digest)
    assert "It is judged by the version it was marked on." in outdated(late, forms.form_of(again))


def test_a_corrected_mark_opens_a_decided_try_again() -> None:
    from drawndose.department.training import attempts, deciding

    on = school()
    sheet = on.begin("101")
    proved(sheet.attempt)
    attempts.send(sheet, marks(sheet), by=on.fay, version=sheet.version)
    attempt = sheet.attempt
    attempt.refresh_from_db()
    deciding.take(attempt, by=on.fay, version=attempt.version)
    wrong = replace(marks(sheet)[0], id="later", point="not done", at=moment(), note="")
    with pytest.raises(Refused, match="this is needed"):
        attempts.correct(sheet, wrong, by=on.fay, version=sheet.version)
    attempts.correct(sheet, replace(wrong, note="the video shows it"), by=on.fay, version=sheet.version)
    attempt.refresh_from_db()
    assert attempt.state == "sent"
    with pytest.raises(Refused, match="what was corrected"):
        deciding.take(attempt, by=on.fay, version=attempt.version)
    deciding.take(attempt, by=on.fay, version=attempt.version, why="mark corrected after the video")
    assert deciding.standing(attempt).outcome == "repeat"


def test_broken_off_counts_as_no_try() -> None:
    from drawndose.department.training import attempts

    on = school()
    sheet = on.begin("101")
    with pytest.raises(Refused, match="this is needed"):
        attempts.break_off(sheet.attempt, by=on.fay, version=1, reason=" ")
    attempts.break_off(sheet.attempt, by=on.fay, version=sheet.attempt.version, reason="fire alarm")
    sheet.refresh_from_db()
    assert sheet.state == "dropped"
    assert on.begin("101").attempt.number == 1
