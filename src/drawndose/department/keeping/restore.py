"""Restore: a backup into a new place, when every digest, number and hash of it holds. All of it or nothing."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import DatabaseError, connection, transaction
from django.db.migrations.loader import MigrationLoader
from django.db.models import Model

from drawndose.department.keeping.archive import Manifest, read_manifest, read_table, refused
from drawndose.department.keeping.audit import audit
from drawndose.department.keeping.tables import CHUNK, made, plain, tables
from drawndose.department.ledger.append import SKEW, append, now
from drawndose.department.ledger.chain import first_broken
from drawndose.department.ledger.models import Event
from drawndose.quantities import Refused

ABOUT = "Put a backup into the storage of the settings, which must be empty. Nothing is written before all of it was verified."
EXAMPLES = """\
  drawndose department restore /backups/monday.zip --only-verify
  DRAWNDOSE_DATABASE=sqlite:///srv/again.sqlite3 drawndose department restore /backups/monday.zip
  DRAWNDOSE_DATABASE=postgresql://user@host/again drawndose department restore /backups/monday.zip
"""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of the verb."""
    parser.add_argument("file", help="the backup")
    parser.add_argument("--only-verify", action="store_true", help="verify the file, and write nothing")
    spite = "restore although rows do not agree with the ledger; every later audit names them"
    parser.add_argument("--in-spite", action="store_true", help=spite)


def run(args: argparse.Namespace) -> int:
    """Verify, restore, and say what there is now."""
    path = Path(args.file)
    manifest = verify(path)
    print(f"{path} holds: {manifest.rows:,} rows, {manifest.head['number']:,} events, made {manifest.made_at}")
    if args.only_verify:
        return 0
    fault = restore(path, manifest, in_spite=args.in_spite)
    print(fault or "Restored, and the ledger agrees with every row. People sign in again.")
    return 1 if fault else 0


def verify(path: Path) -> Manifest:
    """Read the whole file: every digest, every number of rows, the chain and its head. Refused with the first that does not hold."""
    manifest = read_manifest(path)
    for table in manifest.tables:
        for _ in read_table(path, manifest, table):
            pass
    broken = first_broken(_events(path, manifest))
    if broken is not None:
        raise refused(broken.why, f"event {broken.number}")
    last = max((event.number for event in _events(path, manifest)), default=0)
    heads = [(one["number"], one["hash"]) for one in read_table(path, manifest, "ledger.head")]
    if heads != [(manifest.head["number"], manifest.head["hash"])] or last != manifest.head["number"]:
        raise refused("the head is not the end of the chain", f"{last} events, heads {heads}")
    return manifest


def _events(path: Path, manifest: Manifest) -> Iterator[Event]:
    for row in read_table(path, manifest, "ledger.event"):
        try:
            yield made(Event, row)
        except (ValueError, ValidationError) as error:
            raise refused("a row is no event", str(error)) from error


def restore(path: Path, manifest: Manifest, *, in_spite: bool = False) -> str:
    """Load a verified backup. Refused unless the storage is empty; what cannot be loaded leaves it empty.

    An older backup is loaded and audited as its tables were then, and brought up to date afterwards. in_spite: load it although rows do
    not agree with the ledger; the first that does not is returned, in a sentence.
    """
    steps = _known(manifest)
    _clock(manifest)
    _empty()
    for part, name in steps.items():
        call_command("migrate", part, name, verbosity=0)
    models = tables(MigrationLoader(connection).project_state(list(steps.items())).apps)
    try:
        with transaction.atomic():
            _load(path, manifest, models)
            connection.check_constraints()
            found = audit("default", models)
            if found.fault and not in_spite:
                accepted = "a backup whose audit holds, or --in-spite"
                raise refused("rows do not agree with the ledger; nothing was restored", found.fault, accepted)
    except (DatabaseError, ValidationError, ValueError) as error:
        if isinstance(error, Refused):
            raise
        raise refused("the storage does not take it; nothing was restored", str(error).splitlines()[0]) from error
    call_command("migrate", verbosity=0)
    with transaction.atomic():
        content = {"made_at": manifest.made_at, "events": manifest.head["number"]}
        append("storage.restored", "storage", "1", actor="command line", content=content)
    return found.fault


def _known(manifest: Manifest) -> dict[str, str]:
    """The migrations of the backup. Refused when a newer drawndose made it."""
    known = MigrationLoader(None).disk_migrations
    unknown = [f"{part} {name}" for part, name in manifest.migrations.items() if (part, name) not in known]
    if unknown:
        raise refused(
            f"a newer drawndose made it ({manifest.version})", ", ".join(unknown), "that version, or a newer one"
        )
    return manifest.migrations


def _clock(manifest: Manifest) -> None:
    """Refused when the clock stands before the last event: no event could follow it."""
    at = manifest.head["at"]
    if at and plain(now() + SKEW) < at:
        raise refused("the clock of this machine stands before the last record", plain(now()), f"a clock past {at}")


def _empty() -> None:
    """Refused when the storage holds anything."""
    there = set(connection.introspection.table_names())
    full = [
        name
        for name, model in tables().items()
        if model._meta.db_table in there and model._base_manager.using("default").exists()
    ]
    if full:
        raise refused("the storage is not empty", ", ".join(full), "a new place: another file, or another database")


def _load(path: Path, manifest: Manifest, models: dict[str, type[Model]]) -> None:
    strange = set(manifest.tables) ^ set(models)
    if strange:
        raise ValueError(f"tables differ: {', '.join(sorted(strange))}")
    for table, model in models.items():
        found = (made(model, row) for row in read_table(path, manifest, table))
        while chunk := list(islice(found, CHUNK)):
            model._base_manager.bulk_create(chunk)
    for sql in connection.ops.sequence_reset_sql(no_style(), list(models.values())):
        with connection.cursor() as cursor:
            cursor.execute(sql)
