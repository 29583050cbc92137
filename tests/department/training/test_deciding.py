"""Decisions by the rule, and only changed by another one with a name and a reason; practice, sign-offs, the learner's signature."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from drawndose.quantities import Refused
from tests.department.training.school import marks, passed, proved, school

pytestmark = pytest.mark.usefixtures("storage")


def test_a_pass_gives_a_sign_off_until_its_due_day() -> None:
    from drawndose.department.training.models import SignOff
    from drawndose.department.training.signoffs import stands, who_may
    from drawndose.lab.deciding.signoff import months_after

    on = school()
    decision = passed(on)
    row = SignOff.objects.get()
    assert (decision.outcome, row.state, row.learner) == ("passed", "valid", on.learner("101"))
    assert row.until == months_after(row.since, 12)
    (line,) = who_may(row.since)
    assert (line.stands, line.row.pk) == ("valid", row.pk)
    assert stands(row, row.until - timedelta(days=30)) == "due soon"
    assert stands(row, row.until + timedelta(days=1)) == "past its day"


def test_what_is_open_is_told_and_nothing_is_decided() -> None:
    from drawndose.department.training import attempts, deciding

    on = school()
    sheet = on.begin("101")
    attempts.send(sheet, marks(sheet)[:-1], by=on.fay, version=sheet.version)
    attempt = sheet.attempt
    attempt.refresh_from_db()
    with pytest.raises(Refused) as told:
        deciding.take(attempt, by=on.fay, version=attempt.version)
    assert {fault.field for fault in told.value.faults} >= {"not complete", "dose sum", "label"}
    assert deciding.standing(attempt) is None


def test_a_critical_failure_repeats_and_the_next_try_waits_for_its_practice() -> None:
    from drawndose.department.training import deciding

    on = school()
    decision = passed(on, order="not done")
    attempt = decision.attempt
    assert decision.outcome == "repeat"
    with pytest.raises(Refused, match="plan of practice"):
        on.begin("101")
    with pytest.raises(Refused, match="critical failure never passes"):
        deciding.alter(attempt, _outcome("passed"), by=on.gil, version=attempt.version, why="she knew it")
    plan = deciding.plan_practice(attempt, "three orders read aloud", by=on.fay)
    with pytest.raises(Refused, match="a plan was made"):
        deciding.plan_practice(attempt, "again", by=on.fay)
    with pytest.raises(Refused, match="an evaluator has seen it done"):
        deciding.practised(plan, by=on.lea, version=plan.version)
    deciding.practised(plan, by=on.gil, version=plan.version)
    assert on.begin("101").attempt.number == 2


def _outcome(word: str):
    from drawndose.lab.deciding.decide import Outcome

    return Outcome(word)


def test_a_changed_decision_supersedes_and_its_sign_off_ends() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.training import deciding
    from drawndose.department.training.models import Decision, SignOff

    on = school()
    decision = passed(on)
    attempt = decision.attempt
    attempt.refresh_from_db()
    with pytest.raises(Refused, match="with a reason"):
        deciding.alter(attempt, _outcome("repeat"), by=on.gil, version=attempt.version, why="  ")
    deciding.alter(attempt, _outcome("repeat"), by=on.gil, version=attempt.version, why="the balance was not level")
    decision.refresh_from_db()
    now = deciding.standing(attempt)
    assert (decision.state, now.outcome, now.supersedes_id) == ("superseded", "repeat", decision.pk)
    assert SignOff.objects.get().state == "ended"
    assert Decision.objects.filter(state="stands").count() == 1
    assert not any("balance" in str(one.content) + one.reason for one in Event.objects.all())
    found = deciding.decision_of(now)
    assert found.reasons[0].says == "Gil Mockup: the balance was not level"


def test_the_last_attempt_waits_for_its_second_evaluator() -> None:
    from drawndose.department.training import attempts, deciding

    on = school(opened=True)
    for _ in range(2):
        decision = passed(on, order="not done")
        plan = deciding.plan_practice(decision.attempt, "practise", by=on.fay)
        deciding.practised(plan, by=on.fay, version=plan.version)
    sheet = on.begin("101")
    attempt = sheet.attempt
    proved(attempt)
    attempts.send(sheet, marks(sheet), by=on.fay, version=sheet.version)
    attempt.refresh_from_db()
    with pytest.raises(Refused, match="second evaluator"):
        deciding.take(attempt, by=on.fay, version=attempt.version)
    second = attempts.begin_second(attempt, by=on.gil)
    attempts.send(second, marks(second), by=on.gil, version=second.version)
    assert deciding.take(attempt, by=on.fay, version=attempt.version).outcome == "passed"
    # A pass begins a new series: what follows is re-evaluation.
    assert on.begin("101").attempt.number == 4


def test_a_second_sheet_that_comes_after_the_decision_opens_it_again() -> None:
    from drawndose.department.training import attempts, deciding

    on = school()
    sheet = on.begin("101")
    attempt = sheet.attempt
    second = attempts.begin_second(attempt, by=on.gil)
    proved(attempt)
    attempts.send(sheet, marks(sheet), by=on.fay, version=sheet.version)
    attempt.refresh_from_db()
    deciding.take(attempt, by=on.fay, version=attempt.version)
    attempts.send(second, marks(second, order="not done"), by=on.gil, version=second.version)
    attempt.refresh_from_db()
    assert attempt.state == "sent"
    assert deciding.take(attempt, by=on.fay, version=attempt.version, why="second sheet").outcome == "repeat"


def test_the_learner_signs_for_themselves_with_a_comment_that_no_event_holds() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.training import deciding, sealed

    on = school()
    attempt = passed(on).attempt
    attempt.refresh_from_db()
    with pytest.raises(Refused, match="the learner signs for themselves"):
        deciding.sign(attempt, by=on.fay, version=attempt.version)
    deciding.sign(attempt, by=on.lea, version=attempt.version, comment="The label was smeared.")
    event = Event.objects.get(name="attempt.signed")
    assert attempt.state == "signed"
    assert "smeared" not in str(event.content)
    assert sealed.holds(attempt, "The label was smeared.", event.content["comment"])
    assert not sealed.holds(attempt, "The label was clean.", event.content["comment"])


def test_a_sign_off_is_ended_with_a_reason() -> None:
    from drawndose.department.training import signoffs
    from drawndose.department.training.models import SignOff

    on = school()
    passed(on)
    row = SignOff.objects.get()
    with pytest.raises(Refused, match="this is needed"):
        signoffs.end(row, by=on.max, version=row.version, why="")
    signoffs.end(row, by=on.max, version=row.version, why="a near miss on the ward")
    assert signoffs.who_may(row.since) == ()


def test_whom_the_list_lets_prepare() -> None:
    from drawndose.department.training.signoffs import signed_off

    on = school()
    attempt = passed(on).attempt
    today = date.today()  # noqa: DTZ011 - invented
    assert signed_off(on.lea, attempt.skill, today)
    assert not signed_off(on.lea, attempt.skill, today + timedelta(days=500))
    assert not signed_off(on.fay, attempt.skill, today)
    assert not signed_off(on.lea, "t5-when-to-stop", today)


def test_everything_that_happened_agrees_with_the_rows() -> None:
    from drawndose.department.keeping.audit import audit
    from drawndose.department.training import deciding
    from drawndose.department.training.models import Attempt, Decision

    on = school()
    attempt = passed(on).attempt
    attempt.refresh_from_db()
    deciding.alter(attempt, _outcome("failed"), by=on.gil, version=attempt.version, why="seen again")
    found = audit()
    assert (found.fault, found.rows > 10) == ("", True)
    Decision.objects.filter(state="stands").update(state="superseded")
    assert "the ledger says stands, the row says superseded" in audit().fault
    Attempt.objects.update(version=99)
    assert "events changed it, the row counts 99" in audit().fault
