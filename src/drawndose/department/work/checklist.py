"""The steps of a plan, one at a time: ticked, taken back, and the three label checks that a scan answers.

Ticks commute, so they do not ask which version was seen: a second reader who waits is not thrown back by them. They are events of the
steps of a preparation, added with the row held; a step's state is what its last entry says.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction

from drawndose.bench.plans import Plan
from drawndose.bench.steps import Step
from drawndose.department.ledger.append import append, now
from drawndose.department.people.models import Person
from drawndose.department.work.models import Container, Preparation
from drawndose.department.work.planning import plan_of
from drawndose.quantities import Fault, Refused
from drawndose.reference import load

OPEN = {"planned", "drawn", "labelled", "given", "not given"}
"""The states of a preparation in which its steps are worked."""
CHECK = "label check"
"""The words of a step that a scan answers: the first, second and third look at the container's label."""
TWICE = timedelta(seconds=3)
"""A scanner that fires twice within this time has made one check."""

Kind = tuple[str, str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticked:
    """One step: done or not, by whom and when; for a label check what is still to be scanned, as containers' names."""

    step: Step
    done: bool
    check: bool
    by: str
    at: datetime | None
    wanted: tuple[Container, ...] = ()


def checklist(made: Preparation, found: Plan) -> tuple[Ticked, ...]:
    """Every step of the plan as it stands."""
    rows = rows_of(made)
    return tuple(_stands(one, made.steps_done, rows, found) for one in found.steps)


def rows_of(made: Preparation) -> list[Container]:
    """The containers that were chosen for a sheet, as they are now."""
    pks = [one["id"] for one in made.chosen.get("containers", [])]
    return list(Container.objects.filter(pk__in=pks).select_related("site", "owner").order_by("pk"))


def _stands(step: Step, entries: list[dict[str, Any]], rows: list[Container], found: Plan) -> Ticked:
    mine = [one for one in entries if one["step"] == step.number]
    last = mine[-1] if mine else None
    by, at = (last["by"], datetime.fromisoformat(last["at"])) if last is not None else ("", None)
    if CHECK not in step.says.lower():
        done = last is not None and last["what"] == "done"
        return Ticked(step=step, done=done, check=False, by=by, at=at)
    scanned = {tuple(one["kind"]) for one in mine if one["what"] == "scanned"}
    wanted = tuple(row for row in _to_check(step, rows, found) if kind_of(row) not in scanned)
    return Ticked(step=step, done=not wanted, check=True, by=by, at=at, wanted=wanted)


def _to_check(step: Step, rows: list[Container], found: Plan) -> Iterable[Container]:
    """One container of each product and lot whose own step it is; a common step is about every drug in the cup."""
    places = step.takes or range(len(found.takes))
    drugs = {found.takes[place].in_hand.presentation.id for place in places}
    return {kind_of(row): row for row in rows if row.presentation in drugs}.values()


def kind_of(row: Container) -> Kind:
    """What a label tells apart: product, size, lot."""
    return row.presentation, row.pack, row.lot


def next_check(steps: Iterable[Ticked], *, drawn: bool) -> Ticked | None:
    """The label check that comes next: before drawing the first two, after it the last."""
    checks = [one for one in steps if one.check]
    return next((one for one in (checks[-1:] if drawn else checks[:-1]) if not one.done), None)


def tick(made: Preparation, number: int, *, by: Person, done: bool = True, key: str | None = None) -> None:
    """Say that a step is done, or take that back. Refused for a label check: a scan answers it."""
    step = _step(made, number)
    if CHECK in step.says.lower():
        raise Refused(
            [_fault("a label check is answered by its scan", step.says, "scan the container, or type its lot")]
        )
    what = "done" if done else "taken back"
    _add(made, {"step": number, "what": what, "says": step.says}, "step.done" if done else "step.taken_back", by, key)


def scanned(made: Preparation, container: Container, number: int, *, by: Person, key: str | None = None) -> None:
    """Say that a container's label was checked at a step. Refused for one that is not on this sheet, or that a stop stands against."""
    step = _step(made, number)
    if container.pk not in {one["id"] for one in made.chosen["containers"]}:
        mine = "; ".join(name_of(one) for one in rows_of(made))
        rule = f"it is not one of the containers of this sheet ({mine})"
        raise Refused([_fault(rule, name_of(container), "put it back, and scan the one that was chosen")])
    moment = now()
    before = [one for one in made.steps_done if one.get("kind") and tuple(one["kind"]) == kind_of(container)]
    if before and moment - datetime.fromisoformat(before[-1]["at"]) < TWICE and before[-1]["step"] != number:
        rule = "the same scan came twice; it counts once"
        raise Refused([_fault(rule, name_of(container), "look at the label again, then scan it")])
    entry = {"step": number, "what": "scanned", "says": step.says, "kind": list(kind_of(container))}
    _add(made, entry, "label.checked", by, key, {"container": str(container.pk)})


def name_of(container: Container) -> str:
    """A container in words: its product, size and lot."""
    return f"{load().presentation(container.presentation).name}, {container.pack}, lot {container.lot}"


def _step(made: Preparation, number: int) -> Step:
    found = next((one for one in plan_of(made).steps if one.number == number), None)
    if found is None:
        raise Refused([_fault("there is no such step", str(number), "a step of this plan")])
    return found


def _add(
    made: Preparation,
    entry: dict[str, Any],
    event: str,
    by: Person,
    key: str | None,
    more: dict[str, str] | None = None,
) -> None:
    """One more entry, with its event: the ledger's head is held first, then the row, so that two at once both stand."""
    with transaction.atomic():
        content = {name: value for name, value in entry.items() if name != "what"} | (more or {})
        done = append(event, "steps", str(made.pk), actor=by.username, key=key, content=content)
        row = Preparation.objects.select_for_update(of=("self",)).get(pk=made.pk)
        if row.state not in OPEN:
            raise Refused(
                [_fault(f"this sheet is {row.state}", entry["says"], "a sheet that is being prepared or given")]
            )
        row.steps_done.append(entry | {"by": by.username, "at": done.at.isoformat()})
        Preparation.objects.filter(pk=row.pk).update(steps_done=row.steps_done)
    made.steps_done = row.steps_done


def _fault(rule: str, came: str, accepted: str) -> Fault:
    return Fault(field="step", rule=rule, came=came, accepted=accepted)


__all__ = ["Ticked", "checklist", "kind_of", "name_of", "next_check", "rows_of", "scanned", "tick"]
