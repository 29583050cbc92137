"""A small laid-out day, and the records of two invented learners, that the tests of the papers begin with."""

from __future__ import annotations

from datetime import UTC, date, timedelta
from fractions import Fraction
from functools import cache

import numpy as np

from drawndose.lab.attempts.attempt import Attempt, Sheet
from drawndose.lab.attempts.evidence import Evidence, Held, LabelRead, Stopped, SumAnswer
from drawndose.lab.attempts.marks import Mark
from drawndose.lab.cohort.rows import Action
from drawndose.lab.deciding.admit import Remediation
from drawndose.lab.deciding.decide import Outcome, changed, decide
from drawndose.lab.deciding.signoff import signed_off
from drawndose.lab.papers.file import Records, Signed
from drawndose.lab.papers.laid import Laid
from drawndose.lab.tasks.task import Item
from drawndose.lab.tasks.task_set import TaskSet, task_set
from tests.department.printing.reading import bare, signs, told
from tests.lab.samples import FORM, GOOD, NOON, PROVEN, RULE, attempt, mark, marked

PRINTED = "Printed 02 Mar 2026 08:10 by Ana Sample RT"
NAMES = {"lea": "Lea Larch", "max": "Max Maple", "eva": "Eva Elder", "per": "Per Pond"}


@cache
def tasks(learners: int = 5, *, stops: bool = True) -> TaskSet:
    return task_set("papers", learners, NOON, stops=stops)


def day(learners: int = 5, **more: object) -> Laid:
    return Laid(tasks=tasks(learners), printed=PRINTED, **more)  # type: ignore[arg-type]


FAILED = Evidence(
    answer=SumAnswer(typed="5 mL", held=Held.NO, right="0.5 mL", slip="factor 10 too much"),
    label=LabelRead(held=Held.NO, missing=("route",), wrong=(("dose", "25 mg"),)),
    not_asked=("read", "weighed", "stopped"),
)


def records(**more: object) -> Records:
    """Lea passed, then her decision was changed; Max failed before two evaluators, practised, stopped nowhere, and waits."""
    passed = attempt(comment="I was nervous.")
    two = (Sheet(evaluator="eva", marks=marked(0, "not done"), rating=3, note="Hurried.", closed=NOON), Sheet(evaluator="per", marks=GOOD))  # fmt: skip
    failed = attempt(id="a2", learner="max", sheets=two, evidence=FAILED, started=NOON + timedelta(hours=1), ended=None)
    undone = (
        *GOOD,
        mark(8, "record", "0", note="Charted first.", prompted=True),
        mark(9, "record", "", undoes="m4"),
    )
    stopping = Evidence(stopped=Stopped(held=Held.YES, said="It is open and undated."), not_asked=("answer", "read", "weighed", "label"))  # fmt: skip
    more_tries = [
        attempt(*undone, id="a3", number=2, started=NOON + timedelta(days=2), ended=None, evidence=stopping),
        attempt(id="a4", learner="max", number=2, started=NOON + timedelta(days=3), ended=None, evidence=Evidence(stopped=Stopped(held=Held.NO), seconds=61, not_asked=("answer", "read", "weighed"))),
        attempt(mark(7, "hands", "not done", note="Unseen yet."), id="a5", learner="max", number=3, started=NOON + timedelta(days=4), comment="Unsaid yet."),
    ]  # fmt: skip
    tries: list[Attempt] = [passed, failed, *more_tries]
    first = decide(passed, FORM, RULE, at=NOON + timedelta(minutes=6), by="eva")
    taken_back = changed(first, Outcome.REPEAT, by="per", why="Another card's label.", at=NOON + timedelta(hours=2))
    second = decide(failed, FORM, RULE, at=NOON + timedelta(hours=2), by="per")
    later = [decide(one, FORM, RULE, at=NOON + timedelta(days=4), by="eva") for one in more_tries[:2]]
    parts: dict[str, object] = {
        "forms": (FORM,),
        "rules": (RULE,),
        "attempts": tuple(tries),
        "decisions": (first, taken_back, second, *later),
        "zone": UTC,
        "today": date(2026, 3, 9),
        "names": NAMES,
        "cards": {"a1": "Ampoule: terbutaline 2.5 mg"},
        "remediation": (
            Remediation(attempt="a2", reason="hands", plan="Ten times, watched.", by="per", done=NOON + timedelta(days=1), seen_by="eva"),
            Remediation(attempt="a1", reason="label", plan="Five labels.", by="per"),
        ),
        "signoffs": (signed_off(first, RULE, by="per", on=date(2026, 3, 2)),),
        "signed": (Signed(attempt="a1", by="lea", at=NOON + timedelta(hours=1)),),
        "actions": (Action(first="eva", second="per", found="75 % alike", done="Watched one attempt together.", by="per", on="04 Mar 2026"),),
        "supplies": (Item(what="gauze", count=12), Item(what="terbutaline", count=5, simulated="water")),
    }  # fmt: skip
    return Records(**(parts | more))  # type: ignore[arg-type]


def said(pdf: bytes) -> str:
    """All text of the PDF without its spaces and without the places where a long word may break."""
    return bare("".join(told(pdf))).replace("\u200b", "")


def texts(value: object) -> list[str]:
    """Every text of a part that is to be printed."""
    if isinstance(value, str):
        return [value]
    if isinstance(value, dict):
        left_out = {"kind", "svg"}
        return [found for name, one in value.items() if name not in left_out for found in texts(one)]
    return [found for one in value for found in texts(one)] if isinstance(value, list | tuple) else []


def on_paper(pdf: bytes, width: float, height: float, edge: float = 12.0) -> None:
    """Every sign stands inside the edge, and no two stand on one another."""
    for every in signs(pdf):
        page = sorted((one for one in every if one.says != "\u200b"), key=lambda one: one.top)
        box = np.array([(one.left, one.top, one.right, one.bottom) for one in page])
        assert box[:, 0].min() >= edge
        assert box[:, 2].max() <= width - edge
        assert box[:, 3].max() <= height
        for far in range(1, min(len(page), 300)):  # those that are near in height are near in the order
            wide = np.minimum(box[far:, 2], box[:-far, 2]) - np.maximum(box[far:, 0], box[:-far, 0])
            high = np.minimum(box[far:, 3], box[:-far, 3]) - np.maximum(box[far:, 1], box[:-far, 1])
            upon = np.flatnonzero((wide > 0.4) & (high > 0.4))
            assert not len(upon), [(page[at].says, page[at + far].says, page[at].top) for at in upon[:3]]


__all__ = [
    "FORM",
    "NAMES",
    "PRINTED",
    "PROVEN",
    "Fraction",
    "Mark",
    "day",
    "on_paper",
    "records",
    "said",
    "tasks",
    "texts",
]
