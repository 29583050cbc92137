"""Two sends of one attempt: the same again changes nothing, pieces in any order give the whole, and what disagrees is told."""

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.lab.attempts.attempt import Sheet
from drawndose.lab.attempts.evidence import Evidence, Held, LabelRead
from drawndose.lab.attempts.joined import joined
from drawndose.lab.attempts.marks import Mark
from drawndose.quantities import Refused
from tests.lab.attempts.test_marks import histories
from tests.lab.samples import GOOD, NOON, PROVEN, attempt, mark


def sheets(*several: Sheet, **parts: object):  # type: ignore[no-untyped-def]
    return attempt(sheets=several, **parts)


@given(histories(), st.lists(st.integers(0, 13)), st.lists(st.integers(0, 13)))
def test_sends_in_any_order_and_repeated_give_the_whole(
    marks: tuple[Mark, ...], some: list[int], others: list[int]
) -> None:
    whole = attempt(sheets=(Sheet(evaluator="eva", marks=marks),))
    pieces = [
        attempt(sheets=(Sheet(evaluator="eva", marks=tuple(marks[n] for n in part if n < len(marks))),))
        for part in (some, others)
    ]
    one = joined(joined(pieces[0], pieces[1]), whole)
    other = joined(joined(whole, pieces[1]), pieces[0])
    assert one == other == joined(one, one)
    assert set(one.sheets[0].marks) == set(marks)


def test_evidence_and_the_second_sheet_come_with_a_later_send() -> None:
    first = sheets(Sheet(evaluator="eva", marks=GOOD[:2]), evidence=Evidence(), ended=None)
    later = sheets(
        Sheet(evaluator="eva", marks=GOOD, rating=4, note="calm", closed=NOON),
        Sheet(evaluator="abe", marks=GOOD),
        comment="I was nervous",
    )
    made = joined(first, later)
    assert made.evaluators == ("eva", "abe")
    assert (made.evidence, made.comment, made.ended) == (PROVEN, "I was nervous", later.ended)
    assert (made.sheets[0].rating, made.sheets[0].note, made.sheets[0].closed) == (4, "calm", NOON)
    assert joined(later, first) == made
    assert joined(made, later) == made


def test_everything_that_disagrees_is_told_at_once() -> None:
    kept = sheets(Sheet(evaluator="eva", marks=GOOD, rating=4, closed=NOON))
    sent = sheets(
        Sheet(evaluator="eva", marks=(mark(1, "hands", "not done"), mark(9, "read", "0")), rating=2, closed=NOON),
        learner="lou",
        started=NOON + timedelta(minutes=1),
        evidence=replace(PROVEN, label=LabelRead(held=Held.NO), not_asked=("stopped", "read")),
    )
    with pytest.raises(Refused) as caught:
        joined(kept, sent)
    assert [one.field for one in caught.value.faults] == [
        "learner",
        "started",
        "mark m1",
        "sheet of eva",
        "rating of eva",
        "not_asked",
        "label",
    ]


def test_a_closed_sheet_takes_the_same_marks_again() -> None:
    closed = sheets(Sheet(evaluator="eva", marks=GOOD, closed=NOON))
    assert joined(closed, closed) == closed
    with pytest.raises(Refused, match="the sheet is closed"):
        joined(closed, sheets(Sheet(evaluator="eva", marks=(*GOOD, mark(9, "read", "0")), closed=NOON)))
