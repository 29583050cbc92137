"""A backup as a file: a zip that holds a manifest and each table as JSON lines. The same for every storage, readable without us.

manifest.json: schema, when and by which version it was made, the kind of records, the migrations of each part, the head of the
chain, and for each table its rows and the SHA-256 (FIPS 180-4) of its lines. tables/NAME.jsonl: one row a line.
"""

from __future__ import annotations

import hashlib
import json
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from django.db import connections
from django.db.migrations.recorder import MigrationRecorder

from drawndose.department.keeping.tables import ours
from drawndose.quantities import Fault, Refused

SCHEMA = "drawndose.backup/1"
MANIFEST = "manifest.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """What a backup says of itself."""

    schema: str
    made_at: str
    version: str
    kind: str
    migrations: dict[str, str]
    head: dict[str, Any]
    tables: dict[str, dict[str, Any]]

    @property
    def rows(self) -> int:
        """How many rows there are in all."""
        return sum(one["rows"] for one in self.tables.values())


def refused(rule: str, came: str, accepted: str = "a backup made by drawndose department backup") -> Refused:
    """What a backup that cannot be used is refused with."""
    return Refused([Fault(field="backup", rule=rule, came=came, accepted=accepted)])


def member(table: str) -> str:
    """The file of a table inside the archive."""
    return f"tables/{table}.jsonl"


def migrations_of(using: str) -> dict[str, str]:
    """The last migration of each part of ours that this storage has."""
    mine, found = ours(), sorted(MigrationRecorder(connections[using]).applied_migrations())
    return {part: name for part, name in found if part in mine}


def write_table(into: zipfile.ZipFile, table: str, rows: Iterable[dict[str, Any]]) -> dict[str, Any]:
    """Write the rows of a table, and return how many there were and their digest."""
    digest, count = hashlib.sha256(), 0
    with into.open(member(table), "w", force_zip64=True) as file:
        for row in rows:
            line = json.dumps(row, separators=(",", ":"), ensure_ascii=True).encode("ascii") + b"\n"
            digest.update(line)
            file.write(line)
            count += 1
    return {"rows": count, "sha256": digest.hexdigest()}


def write_manifest(into: zipfile.ZipFile, manifest: Manifest) -> None:
    """Write the manifest: last, since it knows the digests."""
    into.writestr(MANIFEST, json.dumps(asdict(manifest), indent=2) + "\n")


def read_manifest(path: Path) -> Manifest:
    """The manifest of an archive. Refused for a file that is none."""
    try:
        with zipfile.ZipFile(path) as archive:
            content = json.loads(archive.read(MANIFEST))
            names = set(archive.namelist())
        made = Manifest(**content)
    except (OSError, zipfile.BadZipFile, zlib.error, KeyError, TypeError, ValueError) as error:
        why = (
            error.strerror if isinstance(error, OSError) and error.strerror else "the file is no backup, or is damaged"
        )
        raise refused(why, str(path)) from error
    if made.schema != SCHEMA:
        raise refused("the backup has another schema", str(made.schema), SCHEMA)
    missing = [table for table in made.tables if member(table) not in names]
    if missing:
        raise refused("tables are missing in the backup", ", ".join(missing))
    return made


def read_table(path: Path, manifest: Manifest, table: str) -> Iterator[dict[str, Any]]:
    """The rows of a table; at their end Refused when their number or digest is not what the manifest says."""
    digest, count = hashlib.sha256(), 0
    try:
        with zipfile.ZipFile(path) as archive, archive.open(member(table)) as file:
            for line in file:
                digest.update(line)
                count += 1
                yield json.loads(line)
    except (OSError, zipfile.BadZipFile, zlib.error, KeyError, ValueError) as error:
        raise refused(f"line {count + 1} of {table} cannot be read: the file is damaged", str(path)) from error
    said = manifest.tables[table]
    if (count, digest.hexdigest()) != (said["rows"], said["sha256"]):
        came = f"{count} rows, SHA-256 {digest.hexdigest()[:12]}"
        raise refused(f"{table} is not what the manifest says", came, f"{said['rows']} rows, {said['sha256'][:12]}")
