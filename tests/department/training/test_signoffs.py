"""A sign-off rests on a decision: open again it does not count, changed it ends, and a later attempt that is not passed takes it away."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from drawndose.quantities import Refused
from drawndose.reference import Container
from tests.department.training.school import School, marks, passed, school

pytestmark = pytest.mark.usefixtures("storage")
TODAY = date.today()  # noqa: DTZ011 - invented
NOT_SIGNED = "Lea Model is not signed off today for: Multi-dose dropper bottle."
OPEN_AGAIN = "rests on a decision that is open again"


def dropper(on: School) -> list[str]:
    """What the department says of Lea before a preparation from a dropper bottle, where it stops; of knowing when to stop nothing here."""
    from drawndose.department.training import before_preparing
    from drawndose.department.work import policy

    if policy.house("sign_off_asked") != "stop":
        policy.choose("sign_off_asked", "stop", reason="board of May", by=on.max)
    stops = before_preparing.faults(on.lea, [Container.DROPPER_BOTTLE], TODAY)
    said = before_preparing.missing(on.lea, [Container.DROPPER_BOTTLE], TODAY)
    assert len(stops) == len(said)
    return [one for one in said if "dropper" in one]


def reopened(on: School) -> tuple[Any, Any]:
    """Lea's pass, and its attempt, which is open again because a mark was corrected."""
    from drawndose.department.training import attempts

    decision = passed(on)
    sheet = decision.attempt.evaluation_set.get()
    first = marks(sheet)[0]
    wrong = type(first)(id="again", step=first.step, point="not done", at=first.at + timedelta(hours=1), note="seen")
    attempts.correct(sheet, wrong, by=on.fay, version=sheet.version)
    decision.attempt.refresh_from_db()
    assert decision.attempt.state == "sent"
    return decision, decision.attempt


def signed() -> Any:
    from drawndose.department.training.models import SignOff

    return SignOff.objects.select_related("decision__attempt", "learner").get()


def test_it_does_not_count_while_its_attempt_is_open_again_and_ends_when_that_is_no_pass() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.training import cohort_data, deciding, records, signoffs

    on = school()
    _, attempt = reopened(on)
    assert (signed().state, signoffs.stands(signed(), TODAY)) == ("valid", OPEN_AGAIN)
    assert dropper(on) == [f"{NOT_SIGNED} The sign-off {OPEN_AGAIN}."]
    assert not signoffs.signed_off(on.lea, attempt.skill, TODAY)
    (line,) = signoffs.who_may(TODAY)
    assert line.stands == OPEN_AGAIN
    assert "under way" in cohort_data.board_of(on.cohort, TODAY).rows[0].cells[0].sign
    (kept,) = records.records_of_learner(on.learner("101"), "UTC", TODAY).signoffs
    assert kept.stopped == OPEN_AGAIN
    made = deciding.take(attempt, by=on.fay, version=attempt.version, why="a mark was corrected")
    assert (made.outcome, signed().state) == ("repeat", "ended")
    assert dropper(on) == [f"{NOT_SIGNED} The sign-off ended: the decision was changed."]
    assert Event.objects.get(name="sign_off.ended").content == {"by": str(made.pk)}
    assert [one.stands for one in signoffs.ended()] == ["ended: the decision was changed"]


def test_decided_anew_as_a_pass_it_is_given_anew() -> None:
    from drawndose.department.training import attempts, deciding
    from drawndose.department.training.models import SignOff

    on = school()
    _, attempt = reopened(on)
    sheet = attempt.evaluation_set.get()
    good = marks(sheet)[0]
    again = type(good)(id="good", step=good.step, point=good.point, at=good.at + timedelta(hours=2), note="film seen")
    attempts.correct(sheet, again, by=on.fay, version=sheet.version)
    deciding.take(attempt, by=on.fay, version=attempt.version, why="film seen")
    assert list(SignOff.objects.order_by("pk").values_list("state", flat=True)) == ["replaced", "valid"]
    assert dropper(on) == []


def test_a_later_attempt_that_is_not_passed_ends_it_with_an_event_and_its_reason() -> None:
    from drawndose.department.keeping.audit import audit
    from drawndose.department.ledger.models import Event
    from drawndose.department.training import cohort_data, deciding, signoffs
    from drawndose.department.training.content import learner_file
    from drawndose.department.training.files import grades, sign_offs

    on = school()
    first = passed(on).attempt
    assert dropper(on) == []
    later = passed(on, order="not done")
    assert (later.outcome, signed().state) == ("repeat", "ended")
    event = Event.objects.get(name="sign_off.ended")
    assert event.content == {"by": str(later.pk), "attempt": str(later.attempt_id), "outcome": "repeat"}
    says = "ended: a later attempt was not passed"
    assert dropper(on) == [f"{NOT_SIGNED} The sign-off {says}."]
    assert ([one.stands for one in signoffs.ended()], signoffs.who_may(TODAY)) == ([says], ())
    assert learner_file(on.learner("101")).sign_offs[0][2] == says
    assert says in sign_offs(on.cohort)
    assert grades(on.cohort).splitlines()[1].endswith(",,")
    assert "under way" in cohort_data.board_of(on.cohort, TODAY).rows[0].cells[0].sign
    # The earlier attempt, opened and passed again, gives nothing: the later one says how it stands.
    first.refresh_from_db()
    deciding.alter(first, _outcome("repeat"), by=on.gil, version=first.version, why="looked again")
    deciding.alter(first, _outcome("passed"), by=on.gil, version=first.version, why="and again")
    assert signed().state == "ended"
    assert audit().fault == ""


def _outcome(word: str) -> Any:
    from drawndose.lab.deciding.decide import Outcome

    return Outcome(word)


def test_a_failure_in_another_class_counts_and_an_earlier_attempt_takes_nothing_of_a_later_one() -> None:
    from drawndose.department.training import cohort, deciding
    from drawndose.department.training.models import Learner, SignOff

    on = school()
    plan = deciding.plan_practice(passed(on, order="not done").attempt, "practise", by=on.fay)
    deciding.practised(plan, by=on.gil, version=plan.version)
    decision = passed(on)
    early = plan.attempt
    early.refresh_from_db()
    deciding.alter(early, _outcome("failed"), by=on.gil, version=early.version, why="graver")
    assert signed().state == "valid"
    other = cohort.open_cohort("Spring", by=on.max)
    twin = cohort.enrol(other, "7", "Lea Model", by=on.max, person=on.lea)
    Learner.objects.filter(pk=twin.pk).update(cohort=on.cohort, person=None)
    Learner.objects.filter(pk=on.learner("101").pk).update(cohort=other)
    Learner.objects.filter(pk=twin.pk).update(person=on.lea, number="101")
    on.day.seats = [twin.pk if one == decision.attempt.learner_id else one for one in on.day.seats]
    on.day.save()
    assert passed(on, order="not done").attempt.learner_id == twin.pk
    assert SignOff.objects.get().state == "ended"


def suspending() -> tuple[School, Any]:
    """A school whose rule suspends: Lea passed, and then did not."""
    from dataclasses import replace

    from drawndose.department.training import rules
    from drawndose.lab.deciding.rule import LaterFailure

    on = school()
    rule = replace(rules.rule_of(on.rule), later_failure=LaterFailure.SUSPENDED)
    on.day.rule = rules.write(rule, reason="board of May", by=on.max, seen=on.rule)
    on.day.save()
    passed(on)
    return on, passed(on, order="not done").attempt


def test_where_the_rule_suspends_a_person_lets_it_count_again_with_a_reason() -> None:
    from drawndose.department.keeping.audit import audit
    from drawndose.department.training import signoffs

    on, _ = suspending()
    row = signed()
    assert (row.state, row.version) == ("suspended", 2)
    says = "suspended: a later attempt was not passed"
    assert [one.stands for one in signoffs.who_may(TODAY)] == [says]
    assert dropper(on) == [f"{NOT_SIGNED} The sign-off is {says}."]
    with pytest.raises(Refused, match="this is needed"):
        signoffs.resume(row, by=on.gil, version=row.version, why=" ")
    with pytest.raises(Refused, match="nobody decides on themselves"):
        signoffs.resume(row, by=on.lea, version=row.version, why="I can")
    signoffs.resume(row, by=on.gil, version=row.version, why="the vial was mislabelled by us")
    assert (signed().state, dropper(on)) == ("valid", [])
    assert audit().fault == ""


def test_a_later_pass_takes_the_place_of_a_suspended_one() -> None:
    from drawndose.department.training import deciding, signoffs
    from drawndose.department.training.models import SignOff

    on, failed = suspending()
    plan = deciding.plan_practice(failed, "practise", by=on.fay)
    deciding.practised(plan, by=on.gil, version=plan.version)
    passed(on)
    assert list(SignOff.objects.order_by("pk").values_list("state", flat=True)) == ["replaced", "valid"]
    SignOff.objects.filter(state="replaced").update(state="suspended")
    row = SignOff.objects.get(state="suspended")
    with pytest.raises(Refused, match="another one holds"):
        signoffs.resume(row, by=on.gil, version=row.version, why="looked at")


def test_a_typed_reason_stays_with_the_training_records() -> None:
    from drawndose.department.training import signoffs

    on = school()
    passed(on)
    signoffs.end(signed(), by=on.max, version=1, why="a near miss on the ward")
    assert dropper(on) == [f"{NOT_SIGNED} The sign-off ended."]
    assert dropper_past(on) == "is past its day"


def dropper_past(on: School) -> str:
    """The words for one whose day is over."""
    from drawndose.department.training import signoffs
    from drawndose.department.training.models import SignOff

    SignOff.objects.update(state="valid", why_ended="")
    why = signoffs.why_not(on.lea, signed().skill, TODAY + timedelta(days=500))
    assert why is not None
    return why.removeprefix("the sign-off ")


def test_the_list_shows_it_and_lets_it_count_again() -> None:
    from tests.department.pages.lab.test_lab_pages import browser, form_of
    from tests.pages import words

    on, _ = suspending()
    fay, at = browser(on.fay), "/lab/signed-off/"
    page = fay.get(at).content.decode()
    assert "suspended: a later attempt was not passed" in words(page)
    assert "suspended: a later attempt was not passed" in words(browser(on.lea).get("/lab/mine/").content.decode())
    assert "0 sign-offs" in words(fay.get("/lab/programme/").content.decode())
    sent = form_of(page, "Let it count again") | {"why": "our vial was mislabelled", "do": "resume"}
    assert fay.post(at, sent).status_code == 302
    assert signed().state == "valid"
    page = fay.get(at).content.decode()
    assert fay.post(at, form_of(page, "End this") | {"why": "left", "do": "end"}).status_code == 302
    said = words(fay.get(at).content.decode())
    assert "Ended before their day" in said
    assert "ended: left" in said
