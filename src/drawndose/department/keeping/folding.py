"""The ledger folded up again: what it says of every row with a state, of every container's volume and every draw."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Model

from drawndose.department.ledger.models import Event
from drawndose.department.training.states import OF_KIND as TRAINING
from drawndose.department.training.states import TABLES as OF_TRAINING
from drawndose.department.work.change import volume_words
from drawndose.department.work.states import TABLES as OF_WORK
from drawndose.department.work.states import after

TABLES = OF_WORK | OF_TRAINING
OF_KIND = {
    "order": "work.order",
    "dose": "work.duedose",
    "container": "work.container",
    "preparation": "work.preparation",
} | TRAINING
CLOSING = ("given_nl", "wasted_nl", "left_nl")
"""The amounts that closing a preparation records."""


@dataclass(slots=True)
class Folded:
    """What the ledger says of one row: its state, how many events made it, what is left in it, the amounts of its closing."""

    state: str = ""
    events: int = 0
    left: int = 0
    amounts: dict[str, int] = field(default_factory=dict)


@dataclass(slots=True)
class Fold:
    """The fold so far. fault: the first event that could not have happened to what it names."""

    last: Event = field(default_factory=lambda: Event(number=0))
    kind: str = ""
    rows: dict[tuple[str, str], Folded] = field(default_factory=dict)
    draws: dict[tuple[str, str], int] = field(default_factory=dict)
    fault: str = ""

    def take(self, event: Event) -> None:
        """Fold one more event in."""
        self.last = event
        if event.name == "storage.founded":
            self.kind = event.content.get("kind", "")
        if event.subject_kind not in TABLES or self.fault:
            return
        row = self.rows.setdefault((event.subject_kind, event.subject), Folded())
        state = after(event.subject_kind, row.state, event.name, TABLES)
        if state is None:
            was = row.state or "not there yet"
            self.fault = f"event {event.number}: {event.name} cannot happen to {event.subject_kind} {event.subject}, which is {was}"
            return
        row.state, row.events = state, row.events + 1
        self._amounts(event, row)

    def _amounts(self, event: Event, row: Folded) -> None:
        content = event.content
        if event.name == "container.received":
            row.left = int(content["holds_nl"])
        elif event.name == "container.drawn":
            row.left -= int(content["volume_nl"])
            self.draws[content["preparation"], event.subject] = int(content["volume_nl"])
            if row.left < 0:
                self.fault = f"event {event.number}: more was drawn from container {event.subject} than it held"
        elif event.name == "container.emptied":
            row.left = 0
        elif event.name == "container.corrected":
            row.left = int(content["left_nl"])
        elif event.name == "preparation.closed":
            row.amounts = {name: int(content[name]) for name in CLOSING}

    def against_rows(self, models: dict[str, type[Model]], using: str) -> tuple[int, str]:
        """How many rows were held against the fold, and the first that does not agree, in a sentence."""
        count = 0
        for differs in self._said(models, using):
            if differs:
                return count, differs
            count += 1
        return count, ""

    def _said(self, models: dict[str, type[Model]], using: str) -> Iterator[str]:
        def every(table: str) -> Iterator[Any]:
            return models[table]._base_manager.using(using).order_by("pk").iterator(chunk_size=1_000)

        for kind, table in OF_KIND.items():
            if table in models:  # a storage of an earlier version has not all of them
                yield from self._of(kind, every(table))
        yield from self._draws(every("work.draw"))

    def _of(self, kind: str, rows: Iterator[Any]) -> Iterator[str]:
        """For each row of a kind an empty text, or how it differs; then what the ledger knows and no row is there for."""
        known = {subject: folded for (one, subject), folded in self.rows.items() if one == kind}
        for row in rows:
            folded = known.pop(str(row.pk), Folded())
            yield next(_differences(kind, row, folded), "")
        yield from (f"{kind} {subject}: the ledger knows it, and there is no row" for subject in known)

    def _draws(self, rows: Iterator[Any]) -> Iterator[str]:
        known = dict(self.draws)
        for draw in rows:
            said = known.pop((str(draw.preparation_id), str(draw.container_id)), 0)
            where = f"draw of preparation {draw.preparation_id} from container {draw.container_id}"
            both = f"the ledger says {volume_words(said)}, the row says {volume_words(draw.volume_nl)}"
            yield "" if said == draw.volume_nl else f"{where}: {both}"
        yield from (f"draw of preparation {one} from container {other}: there is no row" for one, other in known)


def _differences(kind: str, row: Any, folded: Folded) -> Iterator[str]:
    """Every way in which a row is not what the ledger says."""
    where = f"{kind} {row.pk}"
    if folded.state != row.state:
        yield f"{where}: the ledger says {folded.state or 'nothing of it'}, the row says {row.state}"
    if folded.events != row.version:
        yield f"{where}: {folded.events} events changed it, the row counts {row.version}"
    if kind == "container" and folded.left != row.left_nl:
        yield f"{where}: the ledger leaves {volume_words(folded.left)}, the row says {volume_words(row.left_nl)}"
    for name, said in folded.amounts.items():
        if said != getattr(row, name):
            yield f"{where}: the ledger says {name} {said}, the row says {getattr(row, name)}"
