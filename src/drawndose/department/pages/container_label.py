"""What the label of a container says: its discard date once it is open, else what it is and where it stands."""

from __future__ import annotations

from drawndose.bench.moments import told, told_day
from drawndose.bench.steps import strength_words
from drawndose.department.ledger.models import Event
from drawndose.department.pages.label_sizes import sizes_here
from drawndose.department.pages.own_codes import code_of
from drawndose.department.people.models import Person
from drawndose.department.printing import OpenedLabel, Printed, ShelfLabel, opened, print_label, shelf
from drawndose.department.printing.label import Label
from drawndose.department.work.models import Container
from drawndose.department.work.places import local
from drawndose.reference import load


def label_of(row: Container) -> Printed:
    """The label, on the first size that holds it. Refused when none does, or a part is missing."""
    return print_label(content_of(row), sizes_here())


def content_of(row: Container) -> Label:
    """The label before it has a size. Refused when a part is missing that must be on it."""
    record = load().presentation(row.presentation)
    strength = " with ".join(strength_words(active) for active in record.actives)
    code = code_of(row)
    if row.opened_at is None:
        shape = f"{record.container.value}, {row.pack}"
        content = ShelfLabel(
            name=record.name,
            strength=strength,
            container=shape,
            place=row.place or "no place said",
            lot=row.lot,
            expiry=told_day(row.expiry),
            code=code,
        )
        return shelf(content)
    day = told_day(row.discard_after) if row.discard_after is not None else ""
    owner = row.owner
    return opened(
        OpenedLabel(
            name=record.name,
            strength=strength,
            discard=f"the end of {day}" if day else "",
            opened=told(local(row.site, row.opened_at)),
            opened_by=_opener(row),
            lot=row.lot,
            code=code,
            owner=f"{owner.name}, born {told_day(owner.born)}, no. {owner.number}" if owner is not None else "",
            kept=row.kept,
        )
    )


def _opener(row: Container) -> str:
    """The name of whoever opened it."""
    event = Event.objects.filter(subject_kind="container", subject=str(row.pk), name="container.opened").first()
    person = Person.objects.filter(username=event.actor).first() if event is not None else None
    return person.name if person is not None else ""
