"""What this department measured on its own nebulizers, for pages that open without a storage, too: then there is nothing of its own."""

from __future__ import annotations

from pathlib import Path

from django.db import Error, connection

from drawndose.department.work import policy
from drawndose.reference import Nebulizer


def own_nebulizers() -> tuple[Nebulizer, ...]:
    """The nebulizers that were measured here. No storage is made by looking."""
    if connection.vendor == "sqlite" and not Path(connection.settings_dict["NAME"]).exists():
        return ()
    try:
        return policy.own_nebulizers()
    except Error:
        return ()
