"""The order in which several inhaled drugs are given: which due doses of the same person come before one, by the setting."""

from __future__ import annotations

from datetime import timedelta

from drawndose.department.work.models import DueDose
from drawndose.department.work.policy import house
from drawndose.department.work.reading import reading_of
from drawndose.quantities import Refused

NEAR = timedelta(hours=1)
"""Doses of one person that are due within so much of each other are given together. A setting of this house."""
MOST = 20
"""Doses of one person that are looked at."""


def before(dose: DueDose) -> tuple[DueDose, ...]:
    """Doses of this person, due about then and not begun, whose drug stands before this one's in the setting; the first one first."""
    listed = house("order_of_drugs")
    assert isinstance(listed, tuple)
    mine = _place(dose, listed)
    if mine is None:
        return ()
    near = DueDose.objects.filter(order__patient=dose.order.patient_id, order__state="complete", state="due")
    near = near.filter(due_at__gte=dose.due_at - NEAR, due_at__lte=dose.due_at + NEAR).exclude(pk=dose.pk)
    placed = [(_place(one, listed), one) for one in near.select_related("order__site").order_by("due_at")[:MOST]]
    earlier = [(place, one) for place, one in placed if place is not None and place < mine]
    return tuple(one for _, one in sorted(earlier, key=lambda pair: pair[0]))


def _place(dose: DueDose, listed: tuple[str, ...]) -> int | None:
    """Where the first of a dose's drugs stands in the list; None where none is in it, or the words can no longer be read."""
    try:
        drugs = [line.drug.id for line in reading_of(dose.order.text).lines]
    except Refused:
        return None
    return min((listed.index(drug) for drug in drugs if drug in listed), default=None)
