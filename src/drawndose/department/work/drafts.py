"""What someone typed and has not sent: kept for that person alone, and let go when the form was carried out."""

from __future__ import annotations

import re

from drawndose.department.ledger.append import now
from drawndose.department.people.models import Person
from drawndose.department.work.models import Draft

NAME = re.compile(r"(?:sheet|lab)-[0-9a-z-]{1,50}")
"""What a form of a sheet, or of the lab, is called."""
MOST = 500
"""Fields of one draft; 2,000 characters each."""


def keep(person: Person, form: str, fields: dict[str, str]) -> Draft | None:
    """Keep what stands in a form; nothing typed lets the draft go. None, and nothing is kept, for a form that is none of ours."""
    if not NAME.fullmatch(form):
        return None
    typed = {name[:60]: value[:2000] for name, value in list(fields.items())[:MOST] if value.strip()}
    if not typed:
        let_go(person, form)
        return None
    values = {"content": typed, "saved_at": now()}
    return Draft.objects.update_or_create(person=person, form=form, defaults=values)[0]


def kept(person: Person, form: str) -> Draft | None:
    """What this person typed into this form and has not sent."""
    return Draft.objects.filter(person=person, form=form).first()


def let_go(person: Person, form: str) -> None:
    """The form was carried out, or the person lets it go. A draft is no record."""
    Draft.objects.filter(person=person, form=form).delete()
