"""Evidence of a try: typed in at the station, judged against the task that was set, kept with what it was judged by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from django.db import transaction

from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.training.cards import task_of
from drawndose.department.training.change import change, no
from drawndose.department.training.cohort import ident
from drawndose.department.training.kept_evidence import evidence_of, kept
from drawndose.department.training.models import Attempt
from drawndose.department.training.sealed import seal
from drawndose.lab.attempts import judging
from drawndose.lab.attempts.evidence import Evidence
from drawndose.lab.tasks.task import Task
from drawndose.quantities import Gathering, gather
from drawndose.reference import load
from drawndose.science.balances import balance_of

WEIGHT = ("without", "with", "again", "temperature")
"""The boxes of a weighing, as typed: g, g, g, degC."""


def judged(attempt: Attempt, typed: Mapping[str, str], label: Mapping[str, str] | None) -> Evidence:
    """The evidence with what was typed put in; nothing is kept. Refused with every fault.

    typed: sum, volume, without, with, again, temperature, balance, stopped (yes or no), said, reason (yes or no); empty boxes say
    nothing. label: what stood on each line; None where the label was not looked at.
    """
    task, found = task_of(attempt.card, attempt.station.day.at), evidence_of(attempt.evidence)
    said = {name: text.strip() for name, text in typed.items() if text.strip()}
    gathering = Gathering()
    parts: dict[str, Any] = {}
    if "sum" in said:
        parts["answer"] = gathering.take(lambda: judging.answered(task, said["sum"]))
    if "volume" in said:
        parts["read"] = gathering.take(lambda: judging.volume_read(task, said["volume"]))
    if any(name in said for name in WEIGHT):
        parts["weighed"] = gathering.take(lambda: _weighed(task, said))
    if label is not None:
        parts["label"] = gathering.take(lambda: judging.label_read(task, label))
    if "stopped" in said:
        parts["stopped"] = gathering.take(lambda: _stopped(task, said))
    gather(gathering.faults)
    if not parts:
        raise no("evidence", "nothing was typed", "empty boxes", "what was answered, read, weighed or written")
    return replace(found, **parts)


def _weighed(task: Task, said: Mapping[str, str]) -> Any:
    balances = {one.id: one for one in load().balances}
    chosen = balances.get(said.get("balance", ""))
    if chosen is None:
        raise no("balance", "which balance it was weighed on", said.get("balance", "nothing"), ", ".join(balances))
    return judging.weighed(
        task,
        without=said.get("without", ""),
        with_=said.get("with", ""),
        again=said.get("again", ""),
        t_degC=said.get("temperature", ""),
        balance=balance_of(chosen),
    )


def _stopped(task: Task, said: Mapping[str, str]) -> Any:
    did, right = said["stopped"] == "yes", said.get("reason") == "yes"
    return judging.stopped(task, did=did, said=said.get("said", ""), right_reason=right)


def add(
    attempt: Attempt,
    typed: Mapping[str, str],
    *,
    by: Person,
    version: int,
    label: Mapping[str, str] | None = None,
    key: str | None = None,
) -> Evidence:
    """Keep what was typed, judged. Refused with every fault, and for the learner's own hand. A decided try is decided anew."""
    if not by.may(Right.TEACH) or by.username == ident(attempt.learner):
        raise no("evaluator", "evidence is taken by an evaluator, not by the learner", by.name, "an evaluator")
    return keep(attempt, judged(attempt, typed, label), by=by, version=version, key=key)


def keep(attempt: Attempt, found: Evidence, *, by: Person, version: int, key: str | None = None) -> Evidence:
    """Keep evidence that was judged; what was said at stopping stands in the event as a seal."""
    data = kept(found)
    told = {name: part for name, part in data.items() if part != attempt.evidence.get(name)}
    if "stopped" in told:
        told["stopped"] = told["stopped"] | {"said": seal(attempt.salt, told["stopped"]["said"])}
    with transaction.atomic():
        change(attempt, "attempt", "attempt.evidence", by=by, version=version, key=key, content=told, evidence=data)
    return found
