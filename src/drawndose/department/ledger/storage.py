"""Founding a storage: its one head, with the kind of records that it holds for ever."""

from django.db import transaction

from drawndose.department.ledger.append import append
from drawndose.department.ledger.models import Head, Kind
from drawndose.quantities import Fault, Refused


def found(kind: Kind, *, actor: str) -> Head:
    """Make the head and the first event. Refused when the storage holds records of any kind already."""
    with transaction.atomic():
        there = Head.objects.filter(pk=1).first()
        if there is not None:
            rule = f"this storage holds {Kind(there.kind).label} already"
            raise Refused([Fault(field="storage", rule=rule, came=kind.label, accepted="another, empty storage")])
        Head.objects.create(pk=1, kind=kind)
        append("storage.founded", "storage", "1", actor=actor, content={"kind": kind.value})
    return Head.objects.get(pk=1)


def kind_of_records() -> Kind | None:
    """What this storage holds; None before it was founded."""
    head = Head.objects.filter(pk=1).first()
    return Kind(head.kind) if head is not None else None


def last_event() -> str:
    """The hash of the last event: while it is the same, nothing has happened. Empty before the storage was founded."""
    return Head.objects.filter(pk=1).values_list("hash", flat=True).first() or ""
