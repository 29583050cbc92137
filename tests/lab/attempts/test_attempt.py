"""An attempt: bound to its form's version, watched by somebody else than the learner."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from drawndose.lab.attempts.attempt import Sheet, attempt_faults, outdated
from drawndose.lab.attempts.evidence import PARTS, Evidence, Held
from tests.lab.samples import FORM, GOOD, NOON, PROVEN, attempt, mark

NEWER = replace(FORM, title="Ampoule, again", edition=2, replaces=FORM.version)


def test_a_sound_attempt_has_no_fault() -> None:
    assert attempt_faults(attempt(), FORM) == []
    assert attempt().evaluators == ("eva",)


def test_an_attempt_keeps_its_version_and_an_outdated_one_is_named() -> None:
    assert outdated(attempt(), FORM) == ""
    assert outdated(attempt(), replace(NEWER, id="vial")) == ""
    said = outdated(attempt(), NEWER)
    assert said.startswith(
        f"Attempt 1 was marked on version {FORM.version[:8]} of this form; the form in use now is Ampoule, again"
    )
    (fault,) = attempt_faults(attempt(), NEWER)
    assert "it keeps that version and is judged by it" in fault.rule


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"skill": "vial"}, 'skill: the form is of another skill. Came: "vial". Accepted: ampoule.'),
        ({"sheets": ()}, "sheets: nobody watched."),
        ({"sheets": tuple(Sheet(evaluator=one) for one in "abc")}, 'sheets: too many evaluators. Came: "3".'),
        ({"learner": "eva"}, 'evaluator: nobody evaluates themselves. Came: "eva".'),
        (
            {"sheets": (Sheet(evaluator="eva"), Sheet(evaluator="eva"))},
            "evaluator: the second evaluator is another person than the first.",
        ),
        ({"number": 0}, "number: attempts are counted from 1."),
        ({"ended": NOON - timedelta(minutes=1)}, "ended: it ends before it started."),
        ({"sheets": (Sheet(evaluator="eva", rating=6),)}, 'rating by eva: the overall impression. Came: "6".'),
        ({"sheets": (Sheet(evaluator="eva", marks=(mark(1, "x"),)),)}, "mark m1, step: the form has no such step."),
    ],
)
def test_what_cannot_be_an_attempt_is_told(changed: dict[str, object], told: str) -> None:
    (fault,) = attempt_faults(attempt(**changed), FORM)
    assert str(fault).startswith(told)


def test_all_faults_come_together() -> None:
    assert len(attempt_faults(attempt(learner="eva", number=0, skill="vial"), FORM)) == 3


def test_moments_have_their_zone() -> None:
    bare = datetime(2026, 3, 2, 12, 0)
    for make in (
        lambda: attempt(started=bare),
        lambda: attempt(ended=bare),
        lambda: Sheet(evaluator="eva", marks=GOOD, closed=bare),
    ):
        with pytest.raises(ValueError, match="needs its zone"):
            make()
    assert attempt(ended=None).ended is None
    assert Sheet(evaluator="eva", closed=NOON).closed == NOON


def test_evidence_says_how_each_part_came_out() -> None:
    assert PROVEN.held("weighed") is Held.YES
    assert {Evidence(not_asked=()).held(part) for part in PARTS} == {Held.ABSENT}
    assert {Evidence(not_asked=PARTS).held(part) for part in PARTS} == {Held.NOT_ASKED}
