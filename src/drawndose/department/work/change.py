"""Changing a state: the one place where a state table, the version that a person saw, and the ledger meet."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, TypeVar

from django.db.models import F

from drawndose.department.ledger.append import Replayed, append
from drawndose.department.ledger.models import Event
from drawndose.department.people.models import Person
from drawndose.department.work.models import Versioned
from drawndose.department.work.states import TABLES, Table, after
from drawndose.quantities import Fault, Quantity, Refused, show

NANOLITRES = 1_000_000
"""In a millilitre."""

Row = TypeVar("Row", bound=Versioned)


class Moved(Exception):
    """Someone else changed it in between. `row` is what it is now; nothing was done."""

    def __init__(self, row: Any) -> None:
        super().__init__(f"{row} was changed in between")
        self.row = row


def nanolitres(volume: Quantity | Fraction, field: str = "volume") -> int:
    """A volume in whole nanolitres. Refused when it is not a whole number of them: nothing is rounded."""
    exact = (volume.to("mL").value if isinstance(volume, Quantity) else volume) * NANOLITRES
    if exact.denominator != 1 or exact < 0:
        rule = "a volume is kept to the nanolitre, and is not below nothing"
        raise Refused([Fault(field=field, rule=rule, came=str(volume), accepted="0.5 mL")])
    return int(exact)


def millilitres(nl: int) -> Fraction:
    """Back again, exact."""
    return Fraction(nl, NANOLITRES)


def volume_words(nl: int) -> str:
    """In words."""
    return show(Quantity.of_text(millilitres(nl), "mL"))


def change(
    row: Row,
    kind: str,
    event: str,
    *,
    by: Person,
    version: int,
    key: str | None = None,
    reason: str = "",
    content: dict[str, Any] | None = None,
    where: dict[str, Any] | None = None,
    tables: Mapping[str, Table] = TABLES,
    **values: Any,
) -> Event:
    """Move a row to the state that the event leads to, write the values, and add the event. In a transaction.

    version: the one that the person saw. where: further conditions in the database, so that two at once cannot both win. tables:
    of other records than the work's.
    Replayed when the form did it before; Moved when the row is not what the person saw, or a condition does not hold; Refused
    when the event cannot happen in its state.
    """
    if key is not None and (done := Event.objects.filter(key=key).first()) is not None:
        raise Replayed(done)
    if row.version != version:
        raise Moved(row)
    to = after(kind, row.state, event, tables)
    if to is None:
        can = [_done(one) for one in tables[kind][row.state]]
        rule = f"what is {row.state} cannot be {_done(event)}"
        accepted = ", ".join(can) if can else "nothing: it stays as it is"
        raise Refused([Fault(field=kind, rule=rule, came=_done(event), accepted=accepted)])
    made = append(event, kind, str(row.pk), actor=by.username, reason=reason, key=key, content=content)
    found = type(row).objects.filter(pk=row.pk, version=version, state=row.state, **(where or {}))
    if found.update(state=to, version=F("version") + 1, **values) != 1:
        raise Moved(type(row).objects.get(pk=row.pk))
    row.refresh_from_db()
    return made


def _done(event: str) -> str:
    """What an event does, in words: "preparation.broken_off" is "broken off"."""
    return event.partition(".")[2].replace("_", " ")
