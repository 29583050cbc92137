"""The facility's written limits and what its place is set up for, as options of the commands that judge by them."""

import argparse

from drawndose.bench.moments import read_span
from drawndose.bench.policy import LONGEST_START, VIAL_LIFE, RestKept
from drawndose.quantities import Fault, Manner, Refused, gather, read_quantity


def add_life_settings(parser: argparse.ArgumentParser) -> None:
    """The facility's written limits, as options."""
    parser.add_argument(
        "--bottle-life", default="", metavar="LIFE", help='your facility\'s life of an opened dropper bottle: "28 d"'
    )
    parser.add_argument(
        "--vial-life", default="", metavar="LIFE", help="a shorter life of an opened multi-dose vial than 28 days"
    )
    parser.add_argument(
        "--shared-bottles", action="store_true", help="your facility has written that an opened bottle may be shared"
    )
    parser.add_argument(
        "--rest-thrown-away",
        action="store_true",
        help="your facility keeps no rest of an opened vial without preservative, whatever its label allows",
    )


def life_settings(args: argparse.Namespace) -> dict[str, object]:
    """The settings of those options."""
    rest = RestKept.THROWN if args.rest_thrown_away else RestKept.AS_LABEL
    found: dict[str, object] = {"shared_bottles": args.shared_bottles, "rest_kept": rest}
    faults: list[Fault] = []
    for name in ("bottle_life", "vial_life"):
        text = getattr(args, name)
        if not text:
            continue
        span = read_span(text)
        if span is None or (name == "vial_life" and (span.unit != "day" or span.count > VIAL_LIFE.count)):
            accepted = (
                "24 h, 7 d, 28 d, 1 month" if name == "bottle_life" else "1 d to 28 d; a setting may only be shorter"
            )
            faults.append(
                Fault(
                    field=name.replace("_", "-"),
                    rule="a life is a whole number with its unit",
                    came=text,
                    accepted=accepted,
                )
            )
        else:
            found[name] = span
    gather(faults)
    return found


def add_place_settings(parser: argparse.ArgumentParser) -> None:
    """What the place allows, as options."""
    parser.add_argument(
        "--start-within", default="", metavar="TIME", help="from start of preparing to start of giving: 4 h"
    )
    parser.add_argument(
        "--hazardous-here",
        action="store_true",
        help="this place is set up for hazardous drugs (pentamidine, ribavirin)",
    )


def place_settings(args: argparse.Namespace) -> dict[str, object]:
    """The settings of those options. Refused for a time that is none, or longer than anyone allows."""
    found: dict[str, object] = {"hazardous_here": args.hazardous_here}
    if args.start_within:
        within = read_quantity(args.start_within, field="start-within", manner=Manner.READING)
        if within.dimension != LONGEST_START.dimension or not 0 < within.base <= LONGEST_START.base:
            rule = "a time up to 4 h; a facility may only tighten it"
            raise Refused([Fault(field="start-within", rule=rule, came=args.start_within, accepted="1 h, 4 h")])
        found["start_within"] = within
    return found
