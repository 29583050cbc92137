"""Sign-offs: on a pass only, for as long as the rule says, and who may prepare what today."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from drawndose.lab.deciding.decide import Outcome, changed, decide
from drawndose.lab.deciding.signoff import (
    SignOff,
    Standing,
    against_preparing,
    months_after,
    needed_for,
    signed_off,
    standing,
    who_may,
)
from drawndose.lab.forms.shipped import shipped
from drawndose.quantities import Refused
from drawndose.reference import Container
from tests.lab.samples import FORM, NOON, RULE, attempt, marked

LATER = NOON + timedelta(hours=1)
PASS = decide(attempt(), FORM, RULE, at=LATER, by="eva")
DAY = LATER.date()
SIGNED = signed_off(PASS, RULE, by="eva", on=DAY)


def test_a_pass_is_signed_off_for_as_long_as_the_rule_says() -> None:
    assert (SIGNED.person, SIGNED.skill, SIGNED.until) == ("lea", "ampoule", date(2027, 3, 2))
    endless = replace(RULE, valid_months=0)
    made = signed_off(decide(attempt(), FORM, endless, at=LATER, by="eva"), endless, by="eva", on=DAY)
    assert made.until is None
    assert made.standing(date(2090, 1, 1)) is Standing.VALID


@pytest.mark.parametrize(
    ("day", "months", "after"),
    [
        (date(2026, 8, 31), 6, date(2027, 2, 28)),
        (date(2027, 8, 31), 6, date(2028, 2, 29)),
        (date(2026, 12, 15), 1, date(2027, 1, 15)),
        (date(2026, 3, 2), 24, date(2028, 3, 2)),
    ],
)
def test_months_end_where_the_month_ends(day: date, months: int, after: date) -> None:
    assert months_after(day, months) == after


def test_everything_wrong_with_a_sign_off_is_told_at_once() -> None:
    bad = decide(attempt(*marked(0, "not done")), FORM, RULE, at=LATER, by="eva")
    with pytest.raises(Refused) as caught:
        signed_off(bad, replace(RULE, title="Other"), by="lea", on=DAY - timedelta(days=1))
    assert [one.field for one in caught.value.faults] == ["decision", "rule", "by", "on"]


@pytest.mark.parametrize(
    ("today", "how"),
    [
        (date(2027, 1, 30), Standing.VALID),
        (date(2027, 1, 31), Standing.DUE),
        (date(2027, 3, 2), Standing.DUE),
        (date(2027, 3, 3), Standing.OVER),
    ],
)
def test_it_is_due_before_it_is_over(today: date, how: Standing) -> None:
    assert SIGNED.standing(today) is how


def test_who_may_do_what_today() -> None:
    rows = who_may(["lea", "lou"], ["ampoule", "vial"], [SIGNED], [PASS], date(2027, 2, 10))
    assert [(one.person, one.skill, one.allowed) for one in rows] == [
        ("lea", "ampoule", True),
        ("lea", "vial", False),
        ("lou", "ampoule", False),
        ("lou", "vial", False),
    ]
    assert (rows[0].standing, rows[0].until, rows[1].standing) == (Standing.DUE, SIGNED.until, None)
    assert not who_may(["lea"], ["ampoule"], [SIGNED], [PASS], date(2027, 3, 3))[0].allowed


def test_a_changed_decision_takes_the_sign_off_with_it_and_the_latest_holds() -> None:
    assert standing([SIGNED], [PASS, changed(PASS, Outcome.REPEAT, by="mona", why="w", at=LATER)]) == {}
    later = replace(SIGNED, on=date(2026, 9, 1), until=date(2027, 9, 1))
    assert standing([later, SIGNED], [PASS]) == {("lea", "ampoule"): later}


def test_one_that_does_not_count_holds_nothing_whatever_its_day() -> None:
    assert standing([replace(SIGNED, stopped="rests on a decision that is open again")], [PASS]) == {}


def test_a_preparation_asks_for_its_kind_and_for_knowing_when_to_stop() -> None:
    forms = needed_for(Container.GLASS_AMPOULE, shipped())
    assert [one.id for one in forms] == ["t3-glass-ampoule", "t5-when-to-stop"]
    passes = [replace(PASS, id=one.id, skill=one.id) for one in forms]
    signed = [
        SignOff(person="lea", skill=one.id, decision=one.id, rule_version="", by="eva", on=DAY, until=date(2027, 3, 2))
        for one in forms
    ]
    assert against_preparing("lea", Container.GLASS_AMPOULE, shipped(), signed, passes, DAY) == ()
    assert against_preparing("lea", Container.GLASS_AMPOULE, shipped(), signed[:1], passes, date(2027, 3, 3)) == (
        "The sign-off of lea for Glass ampoule ended 02 Mar 2027; re-evaluation is due.",
        "lea is not signed off for: When to stop.",
    )
    assert needed_for(Container.POWDER_VIAL, shipped()) == (shipped()[4],)
