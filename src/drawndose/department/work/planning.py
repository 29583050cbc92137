"""What a plan is made with: the containers as they were when they were chosen, instruments, cup, and what was answered.

The plan itself is made anew from this whenever it is needed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from functools import lru_cache
from typing import Any

from drawndose.bench.in_hand import InHand
from drawndose.bench.kept import Tool
from drawndose.bench.order import Order as Reading
from drawndose.bench.plans import Plan, plan
from drawndose.bench.policy import Policy
from drawndose.department.ledger.append import now
from drawndose.department.work import shelf
from drawndose.department.work.models import Container, Order, Preparation
from drawndose.department.work.places import local
from drawndose.department.work.policy import policy
from drawndose.department.work.reading import reading_for
from drawndose.quantities import Fault, gather, read_quantity
from drawndose.reference import load


def picked(
    containers: Sequence[Container],
    instruments: Sequence[str],
    cup: str,
    *,
    accept: str = "",
    answers: Mapping[str, str] | None = None,
) -> dict[str, Any]:
    """What a plan is made with, as data, to be shown or kept. Refused for a container that nobody may draw from.

    accept: a line beside the volume, as the plan offers it. answers: what was chosen where the order and its text leave it to
    the preparer: "fill", "diluent", "equivalence", each in the words of the plan's own option.
    """
    return {
        "containers": [_snapshot(one) for one in _as_they_are(containers)],
        "instruments": list(instruments),
        "cup": cup,
        "accept": accept,
        "answers": {name: said for name, said in (answers or {}).items() if said},
        "at": now().isoformat(),
    }


DRAWABLE = {"received", "opened"}
"""The states of a container that may be drawn from."""
SEEN = ("left_nl", "expiry", "opened_at", "discard_after", "kept", "bedside", "owner_id")
"""What of a container can change, and is kept with the plan: what was planned stays what was planned."""


def _as_they_are(containers: Sequence[Container]) -> list[Container]:
    """The containers as the storage has them now. Refused for one that nobody may draw from."""
    rows = Container.objects.select_related("owner").in_bulk([one.pk for one in containers])
    gather(
        [
            Fault(
                field="container",
                rule=f"it is {row.state}",
                came=f"{row.presentation}, lot {row.lot}",
                accepted="another container",
            )
            for row in rows.values()
            if row.state not in DRAWABLE
        ]
    )
    return list(rows.values())


def _snapshot(container: Container) -> dict[str, Any]:
    values = {name: getattr(container, name) for name in SEEN}
    return {"id": container.pk} | {
        name: value.isoformat() if isinstance(value, date) else value for name, value in values.items()
    }


def _as_seen(row: Container, seen: dict[str, Any]) -> Container:
    """The container as it was when the plan was made (not to be saved)."""
    row.left_nl, row.kept, row.bedside = seen["left_nl"], seen["kept"], seen["bedside"]
    row.owner_id = seen["owner_id"]
    row.expiry = date.fromisoformat(seen["expiry"])
    row.opened_at = datetime.fromisoformat(seen["opened_at"]) if seen["opened_at"] else None
    row.discard_after = date.fromisoformat(seen["discard_after"]) if seen["discard_after"] else None
    return row


def plan_of(made: Preparation, chosen: dict[str, Any] | None = None, *, live: bool = False) -> Plan:
    """The engine's plan for this preparation: as its containers were when they were chosen, or, live, as they are now.

    Live, what was emptied or put aside meanwhile is not there any more.
    """
    known = chosen if chosen is not None else made.chosen
    book = load()
    seen = {one["id"]: one for one in known.get("containers", [])}
    rows = Container.objects.select_related("owner", "site").in_bulk(list(seen))
    if live:
        stand = [row for row in rows.values() if row.state in DRAWABLE and row.left_nl]
    else:
        stand = [_as_seen(row, seen[row.pk]) for row in rows.values()]
    have = _counted(shelf.hand(row, person=made.order.patient) for row in stand)
    tools = [book.instrument(ident) for ident in known.get("instruments", [])] or list(book.instruments)
    cups = [cup for cup in book.cups if cup.id == known.get("cup")]
    settings = policy()
    if known.get("accept"):
        line, _, on = known["accept"].partition("@")
        settings = replace(settings, accepted_line=read_quantity(line, field="line").to("mL").value, accepted_on=on)
    answers = known.get("answers", {})
    if answers.get("equivalence"):
        chosen_one = answers["equivalence"].partition(":")[0]
        settings = replace(settings, equivalences=(*settings.equivalences, chosen_one))
    order = _answered(made.order, answers)
    on_bench: tuple[Tool, ...] = (*tools, *cups)
    started = local(made.order.site, made.started_at)
    moment = local(made.order.site, max(now(), made.started_at)) if live else _chosen_at(made, known)
    return _planned(order, tuple(have), on_bench, settings, started, moment, f"{settings} {started} {moment}")


@lru_cache(maxsize=32)
def _planned(
    order: Reading,
    have: tuple[InHand, ...],
    stand: tuple[Tool, ...],
    settings: Policy,
    started: datetime,
    moment: datetime,
    as_written: str,
) -> Plan:
    """The engine is pure, and the next page of a sheet asks for the same plan again.

    as_written: what is equal and written otherwise (1 h and 60 min, one moment in two zones) gives a plan that reads otherwise.
    """
    del as_written
    return plan(order, containers=have, instruments=stand, policy=settings, started=started, now=moment)


def _counted(have: Iterable[InHand]) -> list[InHand]:
    """Shut containers of one kind stand together with their count, under the earliest of their dates; an open one stands alone."""
    kinds: dict[object, list[InHand]] = {}
    for place, one in enumerate(have):
        condition = one.condition
        assert condition is not None
        apart = condition.open_before or one.left is not None
        kind = (one.presentation.id, one.pack, condition.bedside, condition.owner, condition.kept)
        kinds.setdefault((kind, place if apart else None), []).append(one)
    return [_group(same) if len(same) > 1 else same[0] for same in kinds.values()]


def _group(same: list[InHand]) -> InHand:
    first = min(same, key=lambda one: one.condition.expiry or date.max if one.condition is not None else date.max)
    return replace(first, count=len(same))


def _answered(order: Order, answers: Mapping[str, str]) -> Reading:
    """The order as it is written, with the patient's facts and what was answered about a fill or diluent that it does not name."""
    reading = reading_for(order)
    if answers.get("fill") and reading.fill is None:
        reading = replace(reading_for(order, f"{order.text}, {answers['fill']}"), text=reading.text)
    if answers.get("diluent") and reading.diluent in {"", "saline"}:
        reading = replace(reading, diluent=answers["diluent"].removeprefix("with "))
    return reading


def _chosen_at(made: Preparation, known: dict[str, Any]) -> datetime:
    """When the containers were chosen: what was in date then stays planned; what is given is judged by its own limit."""
    moment = datetime.fromisoformat(known["at"]) if "at" in known else made.started_at
    return local(made.order.site, max(moment, made.started_at))
