"""Codes on our own labels, with the key of this storage: the hash of its first event, which stays with it for ever.

The key keeps numbers of two storages apart and finds a misread sign. It is no secret: whoever scans a label must be signed in.
"""

from __future__ import annotations

from functools import lru_cache

from drawndose.department.ledger.models import Event
from drawndose.department.printing import Kind, has_own_form, own_code, read_own_code
from drawndose.department.work.models import Container, Preparation


def code_of(row: Container | Preparation) -> str:
    """The code that stands on the label of a container or of a preparation."""
    kind = Kind.CONTAINER if isinstance(row, Container) else Kind.PREPARATION
    return own_code(kind, row.pk, _key(Event.objects.get(number=1).hash))


def of_code(text: str) -> Container | Preparation | None:
    """What a code of ours is of; None for another kind of code, or where there is no such row. Refused for a misread one."""
    if not has_own_form(text):
        return None
    kind, number = read_own_code(text, _key(Event.objects.get(number=1).hash))
    model = Container if kind is Kind.CONTAINER else Preparation
    return model.objects.filter(pk=number).first()


@lru_cache(maxsize=4)
def _key(first: str) -> bytes:
    return bytes.fromhex(first)


__all__ = ["code_of", "of_code"]
