"""The tables that hold the records, and their rows as plain data: one way out and one way in, for backup, restore and export."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from typing import Any

from django.apps import apps
from django.db import connections, transaction
from django.db.models import Field, Model

LEFT_OUT = {"keeping.job", "people.sitting", "people.failure"}
"""Long work, sittings and counted tries are no records: nobody stays signed in, or locked out, through a restore."""
CHUNK = 1_000
"""Rows that are held at a time."""

Row = dict[str, Any]


def ours() -> set[str]:
    """The labels of our own parts."""
    return {one.label for one in apps.get_app_configs() if one.name.startswith("drawndose.department.")}


def tables(registry: Any = apps) -> dict[str, type[Model]]:
    """Every table of records by its name, in a fixed order. registry: of the models as they are now, or as they were."""
    mine = ours()
    found = {model._meta.label_lower: model for model in registry.get_models() if model._meta.app_label in mine}
    return {name: found[name] for name in sorted(found) if name not in LEFT_OUT}


def columns(model: type[Model]) -> list[Field]:
    """The columns of a table."""
    return list(model._meta.concrete_fields)


def rows(model: type[Model], using: str) -> Iterator[Row]:
    """Every row as plain data, in the order of the key."""
    names = [column.attname for column in columns(model)]
    found = model._base_manager.using(using).order_by("pk").values_list(*names)
    for values in found.iterator(chunk_size=CHUNK):
        yield {name: plain(value) for name, value in zip(names, values, strict=True)}


def plain(value: Any) -> Any:
    """A value as JSON holds it: moments in UTC to the microsecond, bytes in base64. TypeError for what is not exact."""
    if value is None or isinstance(value, str | int):
        return value
    if isinstance(value, datetime):
        return value.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(bytes(value)).decode("ascii")
    if isinstance(value, dict):
        return {str(name): plain(one) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    raise TypeError(f"a record holds exact values, not {value!r}")


def made(model: type[Model], row: Row) -> Model:
    """The row again, not saved. ValueError, or Django's ValidationError, when it is none of this table."""
    known = {column.attname: column for column in columns(model)}
    if set(row) != set(known):
        raise ValueError(f"columns differ: {', '.join(sorted(set(row) ^ set(known)))}")
    return model(**{name: known[name].to_python(value) for name, value in row.items()})


@contextmanager
def still() -> Iterator[str]:
    """The whole storage at one moment, while others go on writing: yields the name to read it by."""
    try:
        with transaction.atomic(using="still"):
            yield "still"
    finally:
        connections["still"].close()
