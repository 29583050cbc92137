"""Export: everything recorded, for other programs: a CSV for each table, and one JSON document with exact values that says what it holds."""

from __future__ import annotations

import argparse
import csv
import io
import json
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import IO, Any

from django.db import transaction
from django.db.models import BooleanField, DateField, DateTimeField, Field, ForeignKey, IntegerField, JSONField, Model

from drawndose.department.keeping.importing import importer
from drawndose.department.keeping.jobs import Kind, Progress, Result, register
from drawndose.department.keeping.models import Job
from drawndose.department.keeping.tables import columns, plain, rows, still, tables
from drawndose.department.ledger.append import append, now
from drawndose.department.ledger.models import Head
from drawndose.department.people.models import Person
from drawndose.quantities import Fault, Refused

ABOUT = "Write everything that is recorded as CSV and as one JSON document, into one zip."
EXAMPLES = """\
  drawndose department export records.zip --by ana
"""
SCHEMA = "drawndose.records/1"
SECRET = {"password", "pin"}
"""Columns that no export holds."""
NOT_RECORDED = {"work.draft", "training.markdraft"}
"""What someone typed and never sent is no record."""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of the verb."""
    parser.add_argument("file", help="the file to write; one that is there is never overwritten")
    parser.add_argument("--by", required=True, metavar="USERNAME", help="who exports it")


def run(args: argparse.Namespace) -> int:
    """Export, and say what was written."""
    by, path = importer(args.by), Path(args.file)
    if path.exists():
        raise Refused([Fault(field="file", rule="it is there already", came=str(path), accepted="another name")])
    content = export()
    with transaction.atomic():
        note(by)
        path.touch(mode=0o600)
        path.write_bytes(content)
    print(f"{path}: {len(content):,} bytes. It holds names and health data.")
    return 0


def note(by: Person) -> None:
    """The event of an export: data of persons has left."""
    append("records.exported", "storage", "1", actor=by.username)


def exported() -> dict[str, type[Model]]:
    """The tables of an export."""
    return {name: model for name, model in tables().items() if name not in NOT_RECORDED}


def shown(model: type[Model]) -> list[Field]:
    """The columns of an export."""
    return [column for column in columns(model) if column.name not in SECRET]


def export(progress: Progress = lambda done, total, says: None) -> bytes:
    """The zip: records.json, and tables/NAME.csv."""
    made = io.BytesIO()
    models = exported()
    with still() as using, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for place, (name, model) in enumerate(models.items()):
            progress(place, 2 * len(models), f"{name} is written as CSV")
            with archive.open(f"tables/{name}.csv", "w") as file:
                _csv(file, model, using)
        with archive.open("records.json", "w") as file:
            for place, piece in enumerate(_document(models, using)):
                progress(len(models) + min(place, len(models)), 2 * len(models), "the JSON document is written")
                file.write(piece.encode("ascii"))
    return made.getvalue()


def _csv(file: IO[bytes], model: type[Model], using: str) -> None:
    """RFC 4180 in UTF-8. An empty cell is nothing or an empty text; records.json tells the two apart."""
    text = io.TextIOWrapper(file, encoding="utf-8", newline="")
    writer = csv.writer(text)
    names = [column.attname for column in shown(model)]
    writer.writerow(names)
    for row in rows(model, using):
        writer.writerow([_cell(row[name]) for name in names])
    text.flush()
    text.detach()


def _cell(value: Any) -> Any:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return json.dumps(value, sort_keys=True) if isinstance(value, dict | list) else value


def _document(models: dict[str, type[Model]], using: str) -> Iterator[str]:
    """The JSON document in pieces, so that a large ledger is never held whole."""
    head = Head.objects.using(using).get(pk=1)
    said = {
        "schema": SCHEMA,
        "made_at": plain(now()),
        "kind": head.kind,
        "head": {"number": head.number, "hash": head.hash},
        "columns": {name: {one.attname: meaning(one) for one in shown(model)} for name, model in models.items()},
    }
    yield json.dumps(said)[:-1] + ', "tables": {'
    for place, (name, model) in enumerate(models.items()):
        names = [column.attname for column in shown(model)]
        yield f"{', ' if place else ''}{json.dumps(name)}: ["
        for number, row in enumerate(rows(model, using)):
            yield (",\n" if number else "\n") + json.dumps({one: row[one] for one in names})
        yield "]"
    yield "}}\n"


KINDS_OF_VALUES: tuple[tuple[type[Field], str], ...] = (
    (DateTimeField, "moment in UTC"),
    (DateField, "day"),
    (BooleanField, "yes or no"),
    (IntegerField, "whole number"),
    (JSONField, "JSON"),
)


def meaning(column: Field) -> str:
    """What stands in a column: its kind, or which table it points into, and whether it may be missing."""
    if isinstance(column, ForeignKey):
        said = f"key of {column.related_model._meta.label_lower}"
    else:
        said = next((word for kind, word in KINDS_OF_VALUES if isinstance(column, kind)), "text")
    return f"{said}, or nothing" if column.null else said


def _work(job: Job, progress: Progress) -> Result:
    importer(job.by)
    name = f"records-{now():%Y-%m-%dT%H%M%SZ}.zip"
    return Result(name=name, media_type="application/zip", content=export(progress), says="Ready to be fetched.")


def _land(job: Job, made: Result) -> Result:
    note(importer(job.by))
    return made


register("export", Kind(work=_work, land=_land))
