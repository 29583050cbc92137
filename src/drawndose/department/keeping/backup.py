"""Backup: the whole storage at one moment into one file, while the department works on."""

from __future__ import annotations

import argparse
import os
import zipfile
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path

from drawndose.department.keeping.archive import SCHEMA, Manifest, migrations_of, refused, write_manifest, write_table
from drawndose.department.keeping.tables import plain, rows, still, tables
from drawndose.department.ledger.append import now
from drawndose.department.ledger.models import Head

ABOUT = "Write everything that is recorded into one file, as it stands at this moment. Nobody has to stop working."
EXAMPLES = """\
  drawndose department backup /backups/monday.zip
  drawndose department backup                        into this folder, named by the moment
"""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of the verb."""
    parser.add_argument("file", nargs="?", default="", help="the file to write; one that is there is never overwritten")


def run(args: argparse.Namespace) -> int:
    """Back up and say what was written."""
    path = Path(args.file or f"drawndose-{datetime.now(UTC):%Y-%m-%dT%H%M%SZ}.zip")
    manifest = backup(path)
    print(f"{path}: {manifest.rows:,} rows, {manifest.head['number']:,} events, the last one {manifest.head['hash']}")
    print("It holds names and health data: keep it where only those may read who may read the records.")
    return 0


def backup(path: Path) -> Manifest:
    """Write the backup and return its manifest. Refused when the storage was never founded, or the file is there already.

    The file has its name only when it is whole and on the disk; what was begun and failed is removed.
    """
    if path.exists():
        raise refused("there is a file of this name already", str(path), "another name")
    part = path.with_name(path.name + ".part")
    try:
        # Only the owner may read it, from its first byte on.
        with open(os.open(part, os.O_CREAT | os.O_TRUNC | os.O_RDWR, 0o600), "w+b") as file:
            manifest = write(file)
            file.flush()
            os.fsync(file.fileno())
        part.rename(path)
        _sync(path.parent)
    finally:
        part.unlink(missing_ok=True)
    return manifest


def write(file: object) -> Manifest:
    """Write the backup into an open file."""
    with still() as using, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:  # type: ignore[call-overload]
        head = Head.objects.using(using).filter(pk=1).first()
        if head is None:
            raise refused("there is nothing to back up: the storage was never founded", "an empty storage")
        made = Manifest(
            schema=SCHEMA,
            made_at=plain(now()),
            version=version("drawndose"),
            kind=head.kind,
            migrations=migrations_of(using),
            head={"number": head.number, "hash": head.hash, "at": plain(head.at)},
            tables={name: write_table(archive, name, rows(model, using)) for name, model in tables().items()},
        )
        write_manifest(archive, made)
    return made


def _sync(folder: Path) -> None:
    """Let the new name reach the disk too."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
