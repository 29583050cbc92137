"""The banner on every page of a storage that holds no patients' records: what kind of records these are."""

from __future__ import annotations

from pathlib import Path

from django.db import Error, connection
from django.http import HttpRequest

from drawndose.department.ledger.models import Kind
from drawndose.department.ledger.storage import kind_of_records

BANNERS: dict[str, str] = {
    "demo": "Demo: every person and patient here is invented. Enter no real ones.",
    "practice": "Practice: for learning only. No record here is a patient's.",
}


def banner(request: HttpRequest) -> dict[str, str]:
    """What every template shows above its page; nothing where patients' records are kept, or no storage is there."""
    kind = _kind()
    return {"banner": BANNERS.get(kind.value, "") if kind is not None else ""}


def _kind() -> Kind | None:
    """The kind of records. A page that keeps nothing opens without a storage, too, and makes none by looking."""
    if connection.vendor == "sqlite" and not Path(connection.settings_dict["NAME"]).exists():
        return None
    try:
        return kind_of_records()
    except Error:
        return None
