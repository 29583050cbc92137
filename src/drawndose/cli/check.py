"""`drawndose check`: is a container fit to be drawn from at a moment, and until when."""

import argparse
from collections.abc import Iterable, Iterator

from drawndose.bench.condition import Condition
from drawndose.bench.container_life import LifeLimit, hand_here
from drawndose.bench.findings import Finding, Level
from drawndose.bench.moments import read_moment, told
from drawndose.bench.plan_data import finding_data
from drawndose.bench.policy import Policy
from drawndose.bench.safeguards import AtHand, container_findings
from drawndose.cli import Commands, command_parser
from drawndose.cli.have import HELP, read_containers
from drawndose.cli.life import add_life_settings, life_settings
from drawndose.cli.output import write_json, write_lines
from drawndose.cli.place import now, zone
from drawndose.cli.plan_text import CAUTION, finding_lines
from drawndose.reference import Catalogue, load

_EXAMPLES = f"""\
  drawndose check "albuterol-0.5pct-bottle-20ml; expiry 06/2027; opened 2026-11-01 09:00; owner 204118" --bottle-life "28 d"
  drawndose check "acetylcysteine-20pct 10 mL; expiry 2027-03; opened 2026-11-24 08:00; kept refrigerated" --at "2026-11-25 14:05"
  drawndose check "epinephrine-1mg-1ml-ampoule; expiry 2027-03; opened 2026-11-25 13:00"
  drawndose check "ipratropium-500mcg-2.5ml; expiry 2026-10; loose" --json

{HELP}
"opened" is when it was opened for an earlier dose: say nothing of it for one that is opened for this dose.
exit status: 0 nothing against it; 1 a stop; 2 what came was not understood
"""


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Is a container fit to be drawn from at a moment, and until when."
    parser = command_parser(commands, "check", _EXAMPLES, about)
    parser.add_argument("container", help="the container, with what is read on it")
    parser.add_argument("--at", default="", metavar="TIME", help='the moment: "2026-11-25 14:05", 24 h; now without it')
    parser.add_argument("--zone", default="", help="the time zone by name, where it is not this machine's")
    add_life_settings(parser)


def run(args: argparse.Namespace) -> int:
    """Check and write. Exit status 1 with a stop."""
    book, at = load(), zone(args.zone)
    moment = read_moment(args.at, at, "at") if args.at else now(at)
    policy = Policy(**life_settings(args))  # type: ignore[arg-type]
    # Every fill size is the same container here: what holds for one holds for the others.
    one = hand_here(read_containers([args.container], book, at, "container")[0], policy)
    at_hand = AtHand(in_hand=one, condition=one.condition or Condition(), now=moment, policy=policy)
    found = container_findings(at_hand)
    if args.json:
        write_json(
            {
                "schema": "drawndose.check/1",
                "container": one.presentation.id,
                "at": moment.isoformat(),
                "findings": [finding_data(finding) for finding in found],
                "limits": [_limit_data(limit) for limit in at_hand.limits],
            }
        )
    else:
        write_lines(_lines(at_hand, found, book))
    return 1 if any(finding.level is Level.STOP for finding in found) else 0


def _limit_data(limit: LifeLimit) -> dict[str, object]:
    return {"kind": limit.kind, "over_at": limit.over_at.isoformat(), "says": limit.says, "source": limit.origin.source}


def _lines(at_hand: AtHand, found: Iterable[Finding], book: Catalogue) -> Iterator[str]:
    stops = [finding for finding in found if finding.level is Level.STOP]
    yield "NOT TO BE USED" if stops else "NOTHING AGAINST IT THAT WAS SAID"
    yield f"  {at_hand.name}"
    yield f"  at {told(at_hand.now)} (24 h), {at_hand.now.tzinfo}"
    if not stops and at_hand.limits:
        yield f"  until {at_hand.limits[0].until}"
    yield from finding_lines(found, book)
    if at_hand.limits:
        yield ""
        yield "limits, the earliest holds"
        for limit in at_hand.limits:
            yield f"  {limit.until}: {limit.says}"
    yield ""
    yield CAUTION
