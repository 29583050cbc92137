"""Start a department: at the first start it is founded, at every start brought up to date and checked; then the pages open."""

from __future__ import annotations

import argparse

from django.conf import settings

from drawndose.department.keeping.check import checked, hold_settings
from drawndose.department.keeping.founding import asked, found_storage, opened, person_asks, prepare_storage
from drawndose.department.keeping.serving import add_serving, hold_port, lasting_key, serve
from drawndose.quantities import Fault, gather

ABOUT = "Found the department at its first start, bring its storage up to date, check it, and open the pages."
EXAMPLES = """\
  drawndose department start
  DRAWNDOSE_KIND=practice drawndose department start --port 8400
  DRAWNDOSE_SETTINGS=/etc/drawndose.toml drawndose department start --host 0.0.0.0 --processes 4
  drawndose department start --only-prepare          found and check, and open nothing
"""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of the verb."""
    add_serving(parser)
    parser.add_argument(
        "--only-prepare", action="store_true", help="found, bring up to date and check, and open nothing"
    )


def run(args: argparse.Namespace) -> int:
    """Prepare, and serve. Refused with the reason when it cannot be done."""
    chosen = settings.CHOSEN
    hold_settings()
    if not args.only_prepare:
        hold_port(args.host, args.port)
        lasting_key(chosen)
    prepare_storage()
    kind = opened(chosen)
    if kind is None:
        what = asked(chosen, *person_asks())
        found_storage(what)
        kind = what.kind
    gather(
        Fault(field=one.name, rule=one.says, came="at this start", accepted=one.do) for one in checked() if one.stops
    )
    says = f"This storage holds {kind.label}."
    if args.only_prepare:
        print(f"{says} Everything is in place.")
        return 0
    return serve(args, chosen, says)
