"""Counting failed tries, so that the promised number is the number: a try is counted before its secret is looked at.

Two tries at once can then never both be the last one. What was counted is forgiven when the secret was right.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction

from drawndose.department.ledger.models import Head
from drawndose.department.people.models import Failure


@dataclass(frozen=True, slots=True)
class Counted:
    """Whose failures are counted, and how many are too many."""

    kind: str
    whose: str
    most: int


def locked_until(one: Counted, within: timedelta, at: datetime) -> datetime | None:
    """Until when it is locked; None when it is not.

    Locked for `within` after the last failure, when that one was at least the `most`-th within `within`. Nothing is counted
    while it is locked, so the last failure is the one that locked it.
    """
    mine = Failure.objects.filter(kind=one.kind, whose=one.whose)
    last = mine.filter(at__gt=at - within).order_by("-at").values_list("at", flat=True).first()
    if last is None or mine.filter(at__gt=last - within).count() < one.most:
        return None
    return last + within


def take(counted: Sequence[Counted], within: timedelta, at: datetime) -> datetime | None:
    """Count a try for each of them; or, when one is locked, count nothing and return until when.

    The ledger's head is held meanwhile: two tries at once are counted one after the other on every storage.
    """
    with transaction.atomic():
        Head.objects.select_for_update().filter(pk=1).first()
        Failure.objects.filter(at__lte=at - 2 * within).delete()
        locks = [until for one in counted if (until := locked_until(one, within, at)) is not None]
        if locks:
            return max(locks)
        Failure.objects.bulk_create([Failure(kind=one.kind, whose=one.whose, at=at) for one in counted])
    return None


def forgive(one: Counted) -> None:
    """Forget every failure: the secret was right."""
    Failure.objects.filter(kind=one.kind, whose=one.whose).delete()


def give_back(one: Counted, at: datetime) -> None:
    """Forget one try only: an address keeps the failures of others who sit there."""
    last = Failure.objects.filter(kind=one.kind, whose=one.whose, at=at).first()
    if last is not None:
        last.delete()
