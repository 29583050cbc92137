"""Reasons and notes that people typed, and what in them others have misread: told beside them wherever they are shown. They stay as typed."""

from __future__ import annotations

from drawndose.bench.findings import Level
from drawndose.bench.safeguards.typed import Typed, text_findings
from drawndose.department.ledger.models import Event

TYPED = ("note", "told", "outcome", "seen")
"""What of an event's content a person typed, beside its reason."""


def misread(event: Event) -> tuple[str, ...]:
    """Each thing in an event's typed texts that has been misread, with what to write. Spacing is not worth a word here."""
    texts = (event.reason, *(event.content.get(name) for name in TYPED))
    found = (
        one
        for text in texts
        if isinstance(text, str) and text
        for one in text_findings(Typed("as typed", text))
        if one.level is not Level.NOTE
    )
    return tuple(dict.fromkeys(one.says for one in found))
