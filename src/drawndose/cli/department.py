"""`drawndose department VERB`: keeping a department. The command line does not know the department; it starts it by name."""

import argparse
import os
import sys

from drawndose.cli import Commands, command_parser
from drawndose.cli.serve import missing

VERBS = {
    "start": "found it at its first start, bring it up to date, check it, and open the pages",
    "work": "do long work: exports, imports, packs of sheets",
    "demo": "make an invented department anew, and open its pages",
    "check": "settings, storage, tables, clock, chain of events, disk",
    "audit": "verify the chain of events, and fold it up against the tables",
    "backup": "write everything into one file, while others work",
    "restore": "verify a backup, and put it into a new place",
    "export": "write everything as CSV and as one JSON document",
    "import": "read people, patients, orders or containers from a list",
}
"""Each verb, and the line that the list of verbs shows."""
_EXAMPLES = """\
  drawndose department demo
  drawndose department start
  drawndose department backup /backups/monday.zip
  drawndose department import orders orders.csv --by ana --dry-run
  drawndose department restore --help                  each verb has its own help
"""
DEPARTMENT = "drawndose.department.keeping"


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    verbs = "\n".join(f"  {verb:<9} {line}" for verb, line in VERBS.items())
    about = f"Keep a department: its records, its people, its backups.\n\nverbs:\n{verbs}"
    parser = command_parser(commands, "department", _EXAMPLES, about)
    parser.add_argument("verb", choices=VERBS, metavar="VERB", help="one of those above")
    parser.add_argument("words", nargs=argparse.REMAINDER, metavar="...", help="what the verb takes")


def run(args: argparse.Namespace) -> int:
    """Become the verb, with its exit status. 2 when it cannot be started, with the reason."""
    reason = missing()
    if reason:
        print(reason, file=sys.stderr)
        return 2
    words = ["--json", *args.words] if args.json else args.words
    # The verb takes the place of this process: what stops one stops the other.
    os.execv(sys.executable, [sys.executable, "-m", DEPARTMENT, args.verb, *words])
