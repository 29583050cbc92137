"""A task as a station keeps it: what the learner reads, what the evaluator checks by, and what evidence it asks for. Exact texts."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction
from typing import Any

from drawndose.bench.draws import ml
from drawndose.department.training.kept_evidence import kept
from drawndose.lab.attempts.judging import begun
from drawndose.lab.tasks.draw_up import task_again
from drawndose.lab.tasks.task import Task

Card = dict[str, Any]


def card_of(task: Task, seat: int) -> Card:
    """The card of one seat."""
    key, drug = task.key, task.stand.drug
    return {
        "id": task.id,
        "seat": seat,
        "form": task.form,
        "kind": task.kind.value,
        "container": task.container.value,
        "difficulty": task.difficulty.value,
        "title": task.title,
        "order": task.order,
        "person": task.person,
        "drug": drug.name,
        "measures": [one.name for one in task.stand.measures],
        "minutes": task.minutes,
        "say": list(task.say),
        "write": list(task.write),
        "key": key.says,
        "reading": key.reading,
        "volume": _ml(key.volume_mL),
        "tolerance": _ml(key.tolerance_mL),
        "added": _ml(key.added_mL),
        "fill": _ml(key.fill_mL),
        "working": list(key.working),
        "label": [{"name": one.name, "text": one.text} for one in key.label],
        "flaw": task.flaw.value,
        "do": key.do,
        "asks": kept(begun(task)),
    }


def _ml(volume: Fraction | None) -> str:
    return ml(volume) if volume is not None else ""


def task_of(card: Card, at: datetime) -> Task:
    """The task itself, made again. Refused where its template is another one by now: then its card stays, and nothing is judged."""
    return task_again(str(card["id"]), at)
