"""Two sends of one attempt become one: a tablet that was offline sends what it has, once more or bit by bit.

Marks are joined as the set that they are. What identifies the attempt, and what was measured, must agree: where two sends say
different things, nobody guesses which one is meant.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from drawndose.lab.attempts.attempt import Attempt, Sheet
from drawndose.lab.attempts.evidence import PARTS, Evidence
from drawndose.lab.reading import fault
from drawndose.quantities import Fault, gather

One = TypeVar("One")
BOUND = ("id", "learner", "skill", "number", "form_version", "task", "started")


def joined(kept: Attempt, sent: Attempt) -> Attempt:
    """The attempt after another send of it. Refused, with every fault, where the two disagree, or a closed sheet gets marks.

    Sending the same again changes nothing, and the order of two sends does not matter.
    """
    faults = [
        fault(name, "two sends of one attempt disagree", getattr(sent, name), str(getattr(kept, name)))
        for name in BOUND
        if getattr(kept, name) != getattr(sent, name)
    ]
    sheets = {one.evaluator: one for one in kept.sheets}
    for one in sent.sheets:
        before = sheets.get(one.evaluator)
        sheets[one.evaluator] = one if before is None else _sheet(before, one, faults)
    evidence = _evidence(kept.evidence, sent.evidence, faults)
    ended = _either("ended", kept.ended, sent.ended, faults)
    comment = _either("comment", kept.comment, sent.comment, faults)
    gather(faults)
    return replace(kept, sheets=tuple(sheets.values()), evidence=evidence, ended=ended, comment=comment)


def _sheet(kept: Sheet, sent: Sheet, faults: list[Fault]) -> Sheet:
    marks = {one.id: one for one in kept.marks}
    for one in sent.marks:
        if marks.setdefault(one.id, one) != one:
            rule = "two different marks have this id"
            faults.append(fault(f"mark {one.id}", rule, f"{one.step}, {one.point}", "an id for each mark"))
    late = sorted(marks.keys() - {one.id for one in kept.marks})
    if kept.closed is not None and late:
        rule = "the sheet is closed; what is to be changed is corrected, not sent"
        faults.append(fault(f"sheet of {kept.evaluator}", rule, ", ".join(late), "no new marks"))
    where = f"of {kept.evaluator}"
    return replace(
        kept,
        marks=tuple(sorted(marks.values(), key=lambda one: (one.at, one.id))),
        rating=_either(f"rating {where}", kept.rating, sent.rating, faults),
        note=_either(f"note {where}", kept.note, sent.note, faults),
        closed=_either(f"closed {where}", kept.closed, sent.closed, faults),
    )


def _evidence(kept: Evidence, sent: Evidence, faults: list[Fault]) -> Evidence:
    if kept.not_asked != sent.not_asked:
        rule = "two sends of one attempt disagree"
        faults.append(fault("not_asked", rule, ", ".join(sent.not_asked), ", ".join(kept.not_asked)))
    parts = {name: _either(name, getattr(kept, name), getattr(sent, name), faults) for name in (*PARTS, "seconds")}
    return replace(kept, **parts)


def _either(name: str, kept: One, sent: One, faults: list[Fault]) -> One:
    """What one of two sends says; a fault where both say something, and not the same."""
    if kept is None or kept == "":
        return sent
    if sent is not None and sent != "" and sent != kept:
        faults.append(fault(name, "two sends of one attempt disagree", sent, str(kept)))
    return kept
