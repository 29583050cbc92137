"""Decisions: every reason is given, and a critical failure never passes."""

from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.lab.attempts.attempt import Sheet
from drawndose.lab.attempts.evidence import Evidence, Held, Stopped
from drawndose.lab.attempts.marks import Mark
from drawndose.lab.deciding.decide import Because, Outcome, changed, current, decide
from drawndose.lab.deciding.rule import Rule, VolumeBy
from drawndose.quantities import Refused
from tests.lab.attempts.test_marks import POINTS, histories
from tests.lab.samples import FORM, GOOD, NOON, PROVEN, RULE, attempt, mark, marked

ONLY_STOP = ("answer", "read", "weighed", "label")
LATER = NOON + timedelta(hours=1)


def decided(tried: object = None, rule: Rule = RULE):  # type: ignore[no-untyped-def]
    return decide(tried or attempt(), FORM, rule, at=LATER, by="eva")  # type: ignore[arg-type]


def evidence(**parts: object) -> Evidence:
    return replace(PROVEN, **parts)  # type: ignore[arg-type]


def test_a_pass_says_by_which_rule_and_form() -> None:
    made = decided()
    assert (made.outcome, made.passed, made.percent) == (Outcome.PASSED, True, 100)
    assert (made.rule_version, made.form_version, made.by) == (RULE.version, FORM.version, "eva")
    assert [one.because for one in made.reasons] == [Because.MET]
    assert made.id == f"a1.{RULE.version[:8]}"


def test_a_critical_failure_repeats_and_on_the_last_attempt_fails() -> None:
    tried = attempt(*marked(0, "not done"))
    made = decided(tried)
    assert (made.outcome, made.reasons[0].because, made.reasons[0].step) == (Outcome.REPEAT, Because.CRITICAL, "hands")
    assert made.reasons[0].says == "Critical: hands left out."
    assert decided(replace(tried, number=3)).outcome is Outcome.FAILED


def test_the_percent_floor_is_reached_or_not() -> None:
    tried = attempt(*marked(1, "not done"))
    assert decided(tried, replace(RULE, percent_floor=Fraction(600, 7))).passed
    made = decided(tried, replace(RULE, percent_floor=Fraction(601, 7)))
    assert made.reasons[0].says == "about 85.7 % of the form; the rule asks for about 85.9 %."


def test_an_unmarked_step_leaves_it_open_and_its_percent_unsaid() -> None:
    made = decided(attempt(*GOOD[:2]))
    assert made.outcome is Outcome.OPEN
    assert {one.because for one in made.reasons} == {Because.INCOMPLETE}


@pytest.mark.parametrize(
    ("part", "because"), [("answer", Because.SUM), ("weighed", Because.VOLUME), ("label", Because.LABEL)]
)
@pytest.mark.parametrize(
    ("held", "outcome", "says"),
    [
        (Held.NO, Outcome.REPEAT, ("is wrong.", "is outside its tolerance.", "is not as it must be.")),
        (Held.DOUBT, Outcome.OPEN, (": it cannot be told; measure again.",)),
        (None, Outcome.OPEN, (": not taken yet.",)),
    ],
)
def test_evidence_that_does_not_hold(
    part: str, because: Because, held: Held, outcome: Outcome, says: tuple[str, ...]
) -> None:
    found = None if held is None else replace(getattr(PROVEN, part), held=held)
    made = decided(attempt(evidence=evidence(**{part: found})))
    assert (made.outcome, made.reasons[0].because) == (outcome, because)
    assert made.reasons[0].says.startswith(
        {"answer": "The dose sum", "weighed": "The volume, by weight", "label": "The label"}[part]
    )
    assert made.reasons[0].says.endswith(says)


def test_a_rule_asks_only_for_what_it_asks() -> None:
    bare = replace(RULE, volume=VolumeBy.NOT_ASKED, sum_right=False, label_right=False)
    assert decided(attempt(evidence=Evidence()), bare).passed
    assert not decided(attempt(evidence=Evidence()), replace(bare, volume=VolumeBy.READ)).passed
    assert decided(rule=replace(bare, volume=VolumeBy.READ)).passed


@pytest.mark.parametrize(("seconds", "outcome"), [(None, Outcome.OPEN), (300, Outcome.PASSED), (301, Outcome.REPEAT)])
def test_time_counts_where_the_rule_says_so(seconds: int | None, outcome: Outcome) -> None:
    tried = attempt(evidence=evidence(seconds=seconds))
    made = decided(tried, replace(RULE, within_minutes=5))
    assert made.outcome is outcome
    assert made.reasons[0].says in {
        "The time: not taken yet.",
        "It took longer than 5 min.",
        "Everything that the rule asks for is met.",
    }
    assert decided(tried).passed


def test_where_stopping_was_right_nothing_was_drawn() -> None:
    for held, outcome in ((Held.YES, Outcome.PASSED), (Held.NO, Outcome.REPEAT)):
        tried = attempt(evidence=Evidence(stopped=Stopped(held=held, said="expired"), not_asked=ONLY_STOP))
        assert decided(tried).outcome is outcome
    assert decided(tried).reasons[0].says == "It was not stopped, or not for the reason that was there."
    assert decided(attempt(evidence=Evidence(not_asked=ONLY_STOP))).outcome is Outcome.OPEN
    assert decided(attempt(evidence=Evidence(stopped=Stopped(held=Held.YES)))).outcome is Outcome.OPEN


def two(first: tuple[Mark, ...], second: tuple[Mark, ...], **parts: object):  # type: ignore[no-untyped-def]
    return attempt(sheets=(Sheet(evaluator="eva", marks=first), Sheet(evaluator="ewan", marks=second)), **parts)


def test_of_two_evaluators_the_graver_counts() -> None:
    made = decided(two(GOOD, marked(0, "not done")))
    assert (made.outcome, made.percent) == (Outcome.REPEAT, Fraction(500, 7))
    assert made.reasons[0].says == "Critical: hands left out. (ewan)"
    assert decided(two(GOOD, GOOD)).passed


def test_the_last_attempt_needs_the_second_evaluator_where_the_rule_says_so() -> None:
    made = decided(attempt(number=3))
    assert (made.outcome, [one.because for one in made.reasons]) == (Outcome.OPEN, [Because.SECOND])
    assert decided(two(GOOD, GOOD, number=3)).passed
    assert decided(attempt(number=3), replace(RULE, second_on_last=False)).passed


def test_what_cannot_be_decided_is_refused() -> None:
    with pytest.raises(Refused, match="no further attempt"):
        decided(attempt(number=4))
    with pytest.raises(Refused, match="nobody decides on themselves"):
        decide(attempt(), FORM, RULE, at=LATER, by="lea")
    with pytest.raises(Refused, match="another version"):
        decide(attempt(), replace(FORM, title="T"), RULE, at=LATER, by="eva")
    with pytest.raises(ValueError, match="zone"):
        decide(attempt(), FORM, RULE, at=datetime(2026, 3, 2), by="eva")


@given(histories(), st.sampled_from(["hands", "read"]), st.integers(0, 100), st.integers(1, 3), st.booleans())
def test_a_critical_failure_never_passes(
    marks: tuple[Mark, ...], step: str, floor: int, number: int, second: bool
) -> None:
    bad = (*marks, mark(95, step, POINTS[step][-1]))
    rule = replace(RULE, percent_floor=Fraction(floor))
    tried = two(GOOD, bad, number=number) if second else attempt(*bad, number=number)
    made = decide(tried, FORM, rule, at=LATER, by="eva")
    assert made.outcome is (Outcome.FAILED if number == 3 else Outcome.REPEAT)
    with pytest.raises(Refused, match="a critical failure never passes"):
        changed(made, Outcome.PASSED, by="mona", why="I think so", at=LATER)


@given(st.permutations(GOOD), st.permutations(marked(1, "not done")))
def test_the_order_of_marks_and_of_evaluators_decides_nothing(first: list[Mark], second: list[Mark]) -> None:
    one = decided(two(tuple(first), tuple(second)))
    turned = two(tuple(second), tuple(first))
    other = decided(replace(turned, sheets=turned.sheets))
    assert (one.outcome, one.percent) == (other.outcome, other.percent) == (Outcome.PASSED, Fraction(600, 7))


def test_a_decision_is_changed_by_a_new_one_with_name_and_reason() -> None:
    old = decided(attempt(evidence=evidence(label=None)))
    new = changed(old, Outcome.REPEAT, by="mona", why=" the label was lost ", at=LATER)
    assert (new.supersedes, new.id, new.by) == (old.id, f"{old.id}+", "mona")
    assert [one.because for one in new.reasons] == [Because.CHANGED, Because.LABEL]
    assert new.reasons[0].says == "mona: the label was lost"
    assert new.reasons[0].holds_back
    assert current([new, old]) == (new,)
    again = changed(decided(), Outcome.REPEAT, by="mona", why="the wrong learner", at=LATER, ident="d2")
    assert (again.id, [one.because for one in again.reasons]) == ("d2", [Because.CHANGED])
    passed = changed(again, Outcome.PASSED, by="mona", why="it was the right one", at=LATER)
    assert not passed.reasons[0].holds_back


def test_everything_wrong_with_a_change_is_told_at_once() -> None:
    old = decided()
    with pytest.raises(Refused) as caught:
        changed(old, Outcome.PASSED, by="lea", why=" ", at=NOON)
    assert [one.field for one in caught.value.faults] == ["by", "why", "outcome", "at"]
    with pytest.raises(Refused, match="a named person"):
        changed(old, Outcome.REPEAT, by=" ", why="w", at=LATER)
