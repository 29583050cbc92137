"""Check an installation: settings, storage, tables, founding, clock, chain, disk. Each says how it stands and what to do."""

from __future__ import annotations

import argparse
import json
import os
import shutil
from dataclasses import asdict, dataclass
from pathlib import Path

from django.core import checks
from django.db import Error, connection

from drawndose.department.keeping.audit import audit
from drawndose.department.keeping.state import clock_behind, missing_migrations, strange_migrations
from drawndose.department.keeping.tables import still
from drawndose.department.keeping.troubles import AWAY, told
from drawndose.department.ledger.models import Head, Kind
from drawndose.quantities import Fault, Refused

ABOUT = "Check settings, storage, tables, clock, chain of events and disk."
EXAMPLES = """\
  drawndose department check
  drawndose department check --json
exit status: 0 all as it should be; 1 something is not
"""
START = "Run: drawndose department start"
ROOM = 200_000_000
"""Free bytes below which a disk is called nearly full. A house setting."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """How one thing stands. stops: the pages are not opened with it. do: what to do; empty when it is as it should be."""

    name: str
    says: str
    do: str = ""
    stops: bool = False


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of the verb."""
    parser.add_argument("--json", action="store_true", help="write one JSON document")


def run(args: argparse.Namespace) -> int:
    """Check everything, the chain too. Exit status 1 when something is not as it should be."""
    found = checked()
    if not any(one.stops for one in found):
        found.append(_chain())
    if args.json:
        print(json.dumps({"schema": "drawndose.check-department/1", "found": [asdict(one) for one in found]}))
    else:
        for one in found:
            print(f"{'  ok ' if not one.do else 'LOOK '} {one.name}: {one.says}")
            if one.do:
                print(f"       {one.do}")
    return 1 if any(one.do for one in found) else 0


def checked() -> list[Found]:
    """Everything that is quick to check. What a storage that is away cannot tell is left out."""
    found = [_settings()]
    for look in (_reached, _tables, _founded, _clock, _disk):
        one = look()
        if one is not None:
            found.append(one)
            if one.stops:
                break
    return found


def hold_settings() -> None:
    """Refused with every setting that cannot be used, before anything is touched."""
    found = _settings()
    if found.stops:
        raise Refused([Fault(field="settings", rule=found.says, came="at this start", accepted="as said")])


def _settings() -> Found:
    wrong = [message for message in checks.run_checks() if message.level >= checks.WARNING]
    if not wrong:
        return Found(name="settings", says="every one can be used")
    says = " ".join(f"{message.msg} {message.hint or ''}".strip() for message in wrong)
    stops = any(message.level >= checks.ERROR for message in wrong)
    return Found(name="settings", says=says, do="Mend them, as said.", stops=stops)


def _reached() -> Found:
    place = connection.settings_dict
    if connection.vendor == "sqlite" and not Path(place["NAME"]).exists():  # looking would make an empty one
        return Found(name="storage", says=f"there is no file {place['NAME']}", do=START, stops=True)
    try:
        connection.ensure_connection()
    except Error as error:
        return Found(name="storage", says=told(error) or AWAY, do="Mend it, and check again.", stops=True)
    where = place["NAME"] if connection.vendor == "sqlite" else f"{place['NAME']} on {place['HOST'] or 'this machine'}"
    return Found(name="storage", says=f"{connection.display_name} answers: {where}")


def _tables() -> Found:
    missing, strange = missing_migrations(), strange_migrations()
    if strange:
        says, do = f"a newer drawndose has changed them: {', '.join(strange)}", "Start that version, or a newer one."
        return Found(name="tables", says=says, do=do, stops=True)
    if missing:
        says = f"{len(missing)} migrations are missing, the first is {missing[0]}"
        return Found(name="tables", says=says, do=START, stops=True)
    return Found(name="tables", says="up to date")


def _founded() -> Found:
    head = Head.objects.filter(pk=1).first()
    if head is None:
        return Found(name="founding", says="nobody has founded this department yet", do=START, stops=True)
    return Found(name="founding", says=f"this storage holds {Kind(head.kind).label}, {head.number:,} events")


def _clock() -> Found:
    behind = clock_behind()
    if behind:
        says = f"it stands {int(behind.total_seconds())} s before the last event"
        return Found(name="clock", says=says, do="Set the clock of this machine right.", stops=True)
    return Found(name="clock", says="not before the last event")


def _disk() -> Found | None:
    """The disk of a storage that is a file here; another machine's disk is its own matter."""
    if connection.vendor != "sqlite":
        return None
    file = Path(connection.settings_dict["NAME"])
    if not (os.access(file.parent, os.W_OK) and os.access(file, os.W_OK)):
        do = "Let this user write the file and its folder."
        return Found(name="disk", says=f"{file} cannot be written by this user", do=do, stops=True)
    free = shutil.disk_usage(file.parent).free
    if free < ROOM:
        do = "Make room: a full disk refuses every record."
        return Found(name="disk", says=f"only {free // 1_000_000} MB are free", do=do)
    return Found(name="disk", says=f"can be written, {free // 1_000_000:,} MB are free")


def _chain() -> Found:
    """The whole chain against the tables."""
    with still() as using:
        found = audit(using)
    if found.fault:
        do = "Keep a copy of the storage as it is, and look at the last backup: drawndose department restore FILE --only-verify"
        return Found(name="chain", says=found.fault, do=do)
    return Found(name="chain", says=f"{found.events:,} events are whole, and {found.rows:,} rows agree with them")
