"""What the veil says: who is signed off, after how long, and what brings them back. Every page carries it, drawn or not."""

from __future__ import annotations

from typing import Any

from drawndose.department.pages import kept
from drawndose.department.people import sittings
from drawndose.department.people.limits import limits, minutes
from drawndose.department.people.models import Sitting


def veil_part(sitting: Sitting) -> dict[str, Any]:
    """What `_veil.html` shows."""
    return {
        "person": sitting.person,
        "minutes": minutes(limits().idle),
        "seconds": int(limits().idle.total_seconds()),
        "by_pin": sittings.pin_returns(sitting),
        "stays": sitting.stays,
        "kept": kept.is_kept(sitting),
    }
