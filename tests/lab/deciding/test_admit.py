"""Before the bell: attempts left, days between, remediation done; a pass begins anew."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from drawndose.lab.attempts.attempt import Attempt
from drawndose.lab.deciding.admit import Remediation, admitted, series
from drawndose.lab.deciding.decide import Decision, Outcome, changed, decide
from drawndose.quantities import Refused
from tests.lab.samples import FORM, NOON, RULE, attempt, marked

PLAN = Remediation(attempt="a1", reason="hands", plan="ten times", by="eva", done=NOON, seen_by="eva")
LATER = NOON + timedelta(days=2)


def tried(number: int, good: bool = False) -> tuple[Attempt, Decision]:
    made = attempt(
        *(() if good else marked(0, "not done")), id=f"a{number}", number=number, started=NOON + timedelta(hours=number)
    )
    made = replace(made, ended=made.started + timedelta(minutes=5))
    return made, decide(made, FORM, RULE, at=made.started + timedelta(minutes=9), by="eva")


def asked(*tries: tuple[Attempt, Decision], now: datetime = LATER, plans: tuple[Remediation, ...] = (PLAN,), rule=RULE):  # type: ignore[no-untyped-def]
    return admitted([one for one, _ in tries], [one for _, one in tries], rule, now=now, remediations=plans)


def test_the_first_attempt_needs_nothing() -> None:
    found = asked()
    assert (found.number, found.last, found.two, found.allowed) == (1, False, False, True)


def test_after_a_failure_days_and_the_plan_of_practice_are_asked_for() -> None:
    soon = asked(tried(1), now=NOON + timedelta(hours=20), plans=())
    assert soon.reasons == (
        "The rule asks for 1 full day after the last attempt, which ended 02 Mar 2026 13:05.",
        "The plan of practice after the last attempt is not done yet.",
    )
    assert asked(tried(1)).allowed
    assert asked(tried(1), rule=replace(RULE, days_between=3)).reasons[0].startswith("The rule asks for 3 full days")
    assert asked(
        tried(1), now=NOON + timedelta(hours=2), plans=(), rule=replace(RULE, days_between=0, remediation=False)
    ).allowed
    assert not asked(tried(1), plans=(replace(PLAN, done=None),)).allowed
    edge = NOON + timedelta(days=1, hours=1, minutes=5)
    assert asked(tried(1), now=edge).allowed
    assert not asked(tried(1), now=edge - timedelta(seconds=1)).allowed


def test_the_last_attempt_is_watched_by_two_and_then_there_is_none() -> None:
    plans = (PLAN, replace(PLAN, attempt="a2"))
    last = asked(tried(1), tried(2), plans=plans)
    assert (last.number, last.last, last.two, last.allowed) == (3, True, True, True)
    assert not asked(tried(1), tried(2), plans=plans, rule=replace(RULE, second_on_last=False)).two
    third = replace(tried(2)[0], id="a3"), replace(tried(2)[1], id="d3", attempt="a3")
    over = asked(tried(1), tried(2), third, plans=(*plans, replace(PLAN, attempt="a3")))
    assert over.reasons == ("All 3 attempts are used.",)


def test_what_is_not_decided_waits() -> None:
    open_one = tried(1)[0], replace(tried(1)[1], outcome=Outcome.OPEN)
    assert asked(open_one).reasons == ("Attempt 1 is not decided yet.",)


def test_a_pass_begins_a_new_series_until_it_is_changed() -> None:
    failed, passed = tried(1), tried(2, good=True)
    assert asked(failed, passed).number == 1
    taken_back = changed(passed[1], Outcome.REPEAT, by="mona", why="wrong learner", at=passed[1].at)
    attempts, decisions = [failed[0], passed[0]], [failed[1], passed[1], taken_back]
    assert [one.id for one in series(attempts[::-1], decisions)] == ["a1", "a2"]


def test_one_learner_at_a_time() -> None:
    other = replace(tried(2)[0], learner="lou"), tried(2)[1]
    with pytest.raises(Refused, match="one learner and one skill at a time"):
        asked(tried(1), other)
    with pytest.raises(ValueError, match="zone"):
        asked(now=datetime(2026, 3, 2))
    assert asked((replace(tried(1)[0], ended=None), tried(1)[1])).allowed


def test_a_plan_of_practice_says_what_and_by_whom() -> None:
    with pytest.raises(Refused) as caught:
        Remediation(attempt="a1", reason=" ", plan="", by="eva", done=NOON)
    assert [one.field for one in caught.value.faults] == ["reason", "plan", "seen_by"]
