"""Marks: in whatever order and however often they come, the same marks give the same state."""

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.lab.attempts.attempt import Sheet
from drawndose.lab.attempts.marks import Mark, mark_data, mark_faults, standing
from drawndose.lab.attempts.scored import score
from tests.lab.samples import FORM, GOOD, NOON, mark

POINTS = {one.id: [point.word for point in one.scale.points] for one in FORM.shown}


@st.composite
def histories(draw: st.DrawFn) -> tuple[Mark, ...]:
    """What an evaluator tapped: marks, marks over marks, and undos of some of them."""
    made: list[Mark] = []
    for place in range(draw(st.integers(0, 14))):
        step = draw(st.sampled_from(sorted(POINTS)))
        earlier = [one for one in made if one.step == step and one.point]
        if earlier and draw(st.booleans()):
            made.append(mark(place, step, "", undoes=draw(st.sampled_from(earlier)).id))
        else:
            made.append(mark(place, step, draw(st.sampled_from(POINTS[step]))))
    return tuple(made)


@given(histories(), st.randoms(use_true_random=False), st.integers(0, 5))
def test_order_and_repetition_of_marks_change_nothing(marks: tuple[Mark, ...], chance: object, again: int) -> None:
    sent = [*marks, *marks[:again]]
    chance.shuffle(sent)  # type: ignore[attr-defined]
    assert mark_faults(sent, FORM) == []
    assert standing(sent) == standing(marks)
    assert score(Sheet(evaluator="eva", marks=tuple(sent)), FORM) == score(Sheet(evaluator="eva", marks=marks), FORM)


@given(histories(), st.sampled_from(sorted(POINTS)))
def test_an_undo_is_as_if_the_mark_had_not_been_made(marks: tuple[Mark, ...], step: str) -> None:
    new = mark(90, step, POINTS[step][0])
    undone = (*marks, new, mark(91, step, "", undoes=new.id))
    assert standing(undone) == standing(marks)
    assert standing((*marks, new))[step] == new


def test_of_two_marks_at_one_moment_the_same_one_stands_however_they_come() -> None:
    one, other = mark(1, "hands", "done", at=NOON), mark(2, "hands", "not done", at=NOON)
    assert standing([one, other]) == standing([other, one]) == {"hands": other}


@pytest.mark.parametrize(
    ("made", "told"),
    [
        (mark(9, "snap-towards"), "mark m9, step: the form has no such step."),
        (mark(9, "read", "done"), 'step read: its scale has no such point. Came: "done". Accepted: 2, 1, 0.'),
        (mark(9, "hands", prompted=True), "step hands: a prompt was said, and the form has none for this step."),
        (mark(9, "hands", "", undoes="m77"), 'mark m9, undoes: there is no mark of this id. Came: "m77".'),
        (mark(9, "read", "", undoes="m1"), "mark m9, undoes: an undo takes back one mark of the same step"),
        (mark(9, "hands", "done", undoes="m1"), "mark m9, undoes: an undo takes back one mark of the same step"),
        (mark(9, "hands", note="n" * 501), "mark m9, note: the note is too long."),
        (mark(1, "hands", "not done"), 'mark m1: two different marks have this id. Came: "m1".'),
    ],
)
def test_what_cannot_be_a_mark_is_told(made: Mark, told: str) -> None:
    (fault,) = mark_faults((*GOOD, made), FORM)
    assert str(fault).startswith(told)


def test_an_undo_cannot_be_undone() -> None:
    undo = mark(8, "hands", "", undoes="m1")
    (fault,) = mark_faults((*GOOD, undo, mark(9, "hands", "", undoes="m8")), FORM)
    assert "what was undone is marked again" in str(fault)


def test_a_scripted_prompt_may_be_said() -> None:
    assert mark_faults([mark(9, "record", "4", prompted=True)], FORM) == []


def test_a_moment_has_its_zone() -> None:
    with pytest.raises(ValueError, match="needs its zone"):
        mark(1, "hands", at=datetime(2026, 3, 2, 12, 0))


def test_a_mark_as_data() -> None:
    assert mark_data(GOOD[0]) == {
        "id": "m1",
        "step": "hands",
        "point": "done",
        "at": "2026-03-02T12:00:01+00:00",
        "note": "",
        "prompted": False,
        "undoes": "",
    }
