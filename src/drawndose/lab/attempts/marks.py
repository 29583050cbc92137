"""Marks as an evaluator makes them: a set of small facts, from which the state of each step follows.

A mark has an id of its own, so that one that was sent twice counts once; it is never changed: a later mark of the same step
takes its place, and an undo takes one mark back. In whatever order marks arrive, the same marks give the same state.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from drawndose.lab.forms.form import Form
from drawndose.lab.reading import Data, fault, zoned
from drawndose.quantities import Fault

LONGEST_NOTE = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One tap of an evaluator.

    id: made where the mark is made. step and point: which step, and the word of its scale's point. at: when, with a zone.
    note: in the evaluator's words. prompted: the form's scripted prompt was said. undoes: the id of the mark that is taken
    back; such a mark has no point.
    """

    id: str
    step: str
    point: str = ""
    at: datetime
    note: str = ""
    prompted: bool = False
    undoes: str = ""

    def __post_init__(self) -> None:
        zoned(self.at, "the moment of a mark")


def standing(marks: Iterable[Mark]) -> dict[str, Mark]:
    """The mark that stands for each step: the latest that was not undone. The order in which marks come does not matter."""
    unique = {one.id: one for one in marks}
    undone = {one.undoes for one in unique.values() if one.undoes}
    left = [one for one in unique.values() if one.point and one.id not in undone]
    return {one.step: one for one in sorted(left, key=lambda one: (one.at, one.id))}


def mark_faults(marks: Iterable[Mark], form: Form) -> list[Fault]:
    """What cannot be in the marks of one evaluator: unknown steps and points, one id for two marks, an undo of nothing."""
    every = list(dict.fromkeys(marks))
    known = {one.id: one for one in every}
    found = [
        fault(f"mark {one.id}", "two different marks have this id", one.id, "an id for each mark")
        for one in every
        if known[one.id] != one
    ]
    for one in known.values():
        found += _undo_faults(one, known) if one.undoes else _point_faults(one, form)
        if len(one.note) > LONGEST_NOTE:
            found.append(fault(f"mark {one.id}, note", "the note is too long", one.note, f"{LONGEST_NOTE} characters"))
    return found


def _point_faults(mark: Mark, form: Form) -> list[Fault]:
    step = form.step(mark.step)
    if step is None:
        accepted = ", ".join(one.id for one in form.shown)
        return [fault(f"mark {mark.id}, step", "the form has no such step", mark.step, accepted)]
    found = []
    if step.scale.point(mark.point) is None:
        accepted = ", ".join(point.word for point in step.scale.points)
        found.append(fault(f"step {mark.step}", "its scale has no such point", mark.point, accepted))
    if mark.prompted and not step.prompt:
        rule = "a prompt was said, and the form has none for this step"
        found.append(fault(f"step {mark.step}", rule, "prompted", "a prompt only where it is scripted"))
    return found


def _undo_faults(mark: Mark, known: dict[str, Mark]) -> list[Fault]:
    undone = known.get(mark.undoes)
    if undone is None:
        return [fault(f"mark {mark.id}, undoes", "there is no mark of this id", mark.undoes, "a mark of this attempt")]
    if mark.point or undone.undoes or undone.step != mark.step:
        rule = "an undo takes back one mark of the same step, and has no point; what was undone is marked again"
        return [fault(f"mark {mark.id}, undoes", rule, mark.undoes, f"a mark of {mark.step}")]
    return []


def mark_data(mark: Mark) -> Data:
    """A mark as plain data."""
    return {
        "id": mark.id,
        "step": mark.step,
        "point": mark.point,
        "at": mark.at.isoformat(),
        "note": mark.note,
        "prompted": mark.prompted,
        "undoes": mark.undoes,
    }
