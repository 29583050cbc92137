"""Tasks, keys, stations and supplies as plain data: what `--json` prints and what pages and files may send.

A learner's data hold the card only; the key, and that a task is one to stop at, stand in the evaluator's.
"""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.sums import WrongWay
from drawndose.lab.reading import Data
from drawndose.lab.tasks.supplies import stations, whole_list
from drawndose.lab.tasks.task import AnswerKey, Item, Station, Task
from drawndose.lab.tasks.task_set import TaskSet
from drawndose.quantities import Quantity, quantity_data

SCHEMA = "drawndose.tasks/1"


def card_data(task: Task) -> Data:
    """What the learner's card shows. Neither its id nor its own time, since both tell a task to stop at from the others."""
    drug = task.stand.drug
    return {
        "title": task.title,
        "order": task.order,
        "person": task.person,
        "on_the_table": [
            drug.presentation.name,
            *([task.stand.diluent.presentation.name] if task.stand.diluent is not None else []),
            *(one.name for one in task.stand.measures),
            task.stand.cup.name,
        ],
    }


def key_data(task: Task) -> Data:
    """The card with its key: for evaluators only."""
    key = task.key
    return {
        "task": task.id,
        **card_data(task),
        "minutes": task.minutes,
        "kind": task.kind.value,
        "form": task.form,
        "difficulty": task.difficulty.value,
        "flaw": task.flaw.value,
        "say": list(task.say),
        "write": list(task.write),
        "answer": key.says,
        "volume": _ml(key.volume_mL),
        "tolerance": _ml(key.tolerance_mL),
        "measured": key.measured,
        "instrument": key.instrument,
        "reading": key.reading,
        "whole": key.whole,
        "diluent": key.diluent,
        "added": _ml(key.added_mL),
        "fill": _ml(key.fill_mL),
        "label": [{"name": one.name, "text": one.text} for one in key.label],
        "working": list(key.working),
        "wrong_ways": _wrong_ways(key),
        "stops": {"rule": key.rule, "why": key.why, "do": key.do} if key.why else None,
    }


def _wrong_ways(key: AnswerKey) -> list[Data]:
    ways = key.worked.wrong_ways if key.worked is not None else ()
    return [{"name": one.name, "says": one.says, "answer": _answer(one)} for one in ways]


def _answer(way: WrongWay) -> dict[str, str]:
    assert isinstance(way.answer, Quantity)  # a dose sum answers with volumes
    return quantity_data(way.answer)


def _ml(volume: Fraction | None) -> dict[str, str] | None:
    return None if volume is None else quantity_data(Quantity.of_text(volume, "mL"))


def set_data(made: TaskSet, *, key: bool) -> Data:
    """A whole set, learner by learner, with or without the key."""
    shown = key_data if key else card_data
    return {
        "schema": SCHEMA,
        "seed": made.seed,
        "at": made.at.isoformat(),
        "learners": [{"place": one.place, "tasks": [shown(task) for task in one.tasks]} for one in made.seats],
    }


def supplies_data(made: TaskSet) -> Data:
    """What must lie there, station by station and all together."""
    return {
        "schema": "drawndose.supplies/1",
        "seed": made.seed,
        "learners": len(made.seats),
        "stations": [_station(one) for one in stations(made)],
        "all": [item_data(one) for one in whole_list(made)],
    }


def _station(one: Station) -> Data:
    return {
        "number": one.number,
        "title": one.title,
        "minutes": one.minutes,
        "tells": list(one.tells),
        "supplies": [item_data(item) for item in one.supplies],
    }


def item_data(item: Item) -> Data:
    """One thing on a list."""
    return {"what": item.what, "count": item.count, "simulated": item.simulated}
