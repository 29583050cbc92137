"""Marks that were made and not sent, as the server keeps them beside the tablet: a union, so that no order of arrival loses one."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction

from drawndose.department.ledger.append import now
from drawndose.department.people.models import Person
from drawndose.department.training.models import Evaluation, MarkDraft
from drawndose.lab.attempts.marks import Mark, mark_data


def keep(row: Evaluation, marks: Sequence[Mark], *, by: Person) -> MarkDraft | None:
    """Add marks to the draft of a sheet. None, and nothing is kept, for a sheet that is not open or not this person's."""
    if row.state != "open" or row.evaluator_id != by.pk:
        return None
    with transaction.atomic():
        was = MarkDraft.objects.select_for_update().filter(evaluation=row).first()
        known = {one["id"]: one for one in (was.marks if was is not None else [])}
        both = known | {one.id: mark_data(one) for one in marks if one.id not in known}
        values = {"marks": list(both.values()), "saved_at": now()}
        return MarkDraft.objects.update_or_create(evaluation=row, defaults=values)[0]


def kept(row: Evaluation) -> MarkDraft | None:
    """The draft of a sheet."""
    return MarkDraft.objects.filter(evaluation=row).first()


def let_go(row: Evaluation) -> None:
    """The sheet was sent or dropped."""
    MarkDraft.objects.filter(evaluation=row).delete()
