"""The demo: an invented department in a file of its own, made anew each time, and its pages."""

from __future__ import annotations

import argparse
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path

from django.conf import settings
from django.db import connection

from drawndose.department.keeping.check import hold_settings
from drawndose.department.keeping.founding import prepare_storage
from drawndose.department.keeping.invented import make
from drawndose.department.keeping.invented.cast import Player
from drawndose.department.keeping.invented.lab import LEARNERS
from drawndose.department.keeping.serving import add_serving, hold_port, serve
from drawndose.department.ledger.append import now
from drawndose.quantities import Fault, Refused

ABOUT = "Make an invented department anew, in a file of its own, and open its pages. No real record is ever near it."
MOST = 60
EXAMPLES = """\
  drawndose department demo
  drawndose department demo --port 8400
  drawndose department demo --only-make          make it, and open nothing
  drawndose department demo --learners 60        the skills lab has a class of sixty
"""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of the verb."""
    add_serving(parser)
    parser.add_argument("--only-make", action="store_true", help="make it, and open nothing")
    parser.add_argument(
        "--learners", type=_class_size, default=LEARNERS, metavar="N", help=f"in the class; {LEARNERS} when not said"
    )


def run(args: argparse.Namespace) -> int:
    """Make it, print who may sign in, and serve."""
    hold_settings()
    if not args.only_make:
        hold_port(args.host, args.port)
    clear(Path(connection.settings_dict["NAME"]))
    prepare_storage()
    print("\n".join(words(make(now(), learners=args.learners))), flush=True)
    return 0 if args.only_make else serve(args, settings.CHOSEN, "Every person and patient in it is invented.")


def _class_size(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and 1 <= int(text) <= MOST):
        raise argparse.ArgumentTypeError(f"a class has 1 to {MOST} learners. Came: {text}")
    return int(text)


def words(who: Iterable[Player]) -> list[str]:
    """Who may sign in, with their words."""
    lines = ["Sign in as                       word                                     PIN"]
    for one in who:
        roles = ", ".join(role.value for role in one.roles)
        lines.append(f"  {one.username:<6} {roles:<22}   {one.word:<38}   {one.pin}")
    return lines


def clear(path: Path) -> None:
    """Remove the last demo. Refused when the file holds anything else."""
    if not path.exists():
        return
    try:
        with closing(sqlite3.connect(path)) as looked:
            kinds = [kind for (kind,) in looked.execute("SELECT kind FROM ledger_head")]
    except sqlite3.Error:
        kinds = ["something else"]
    if kinds not in ([], ["demo"]):
        rule, accepted = "this file is not a demo's", "another data folder: DRAWNDOSE_DATA"
        raise Refused([Fault(field="demo", rule=rule, came=str(path), accepted=accepted)])
    for ending in ("", "-wal", "-shm"):
        path.with_name(path.name + ending).unlink(missing_ok=True)
