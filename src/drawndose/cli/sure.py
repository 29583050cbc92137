"""The settings of "how sure" on the command line, for every command that judges a measured volume."""

import argparse
from typing import TYPE_CHECKING

from drawndose.cli.weighed_file import spread_of
from drawndose.quantities import Fault, Refused, nearest
from drawndose.reference import Catalogue

if TYPE_CHECKING:
    from drawndose.bench.plans import Plan
    from drawndose.science.drawing import Conditions
    from drawndose.science.surety import Surety


def add_settings(parser: argparse.ArgumentParser) -> None:
    """Add the options; each is a setting with its default."""
    group = parser.add_argument_group("settings of how sure it is")
    group.add_argument("--half-line", action="store_true", help="the scale is read to half a line, not to the nearest")
    group.add_argument("--two-marks", action="store_true", help="the volume is the difference of two marks")
    group.add_argument("--spread", default="", metavar="SHARE", help="how far one person's draws spread: 3 %%")
    group.add_argument("--draws", default="", metavar="NUMBER", help="from how many weighed draws that was found")
    group.add_argument("--holds-reading", action="store_true", help="that spread holds the reading already")
    group.add_argument(
        "--operator",
        default="",
        metavar="FILE",
        help="a round that `drawndose weigh --json` wrote, instead of these three: its spread is taken",
    )
    group.add_argument(
        "--away", default="", metavar="DEGC", help="how far the liquid may be from 20 degC; 5 without it"
    )


def settings_of(args: argparse.Namespace) -> "Conditions":
    """The settings. numpy is imported only when someone asks."""
    from drawndose.science.settings import read_conditions

    spread, draws = args.spread, args.draws
    if args.operator:
        if spread or draws or args.holds_reading:
            rule, accepted = "the spread is typed, or comes from a round of weighings", "one of them"
            raise Refused([Fault(field="operator", rule=rule, came=args.operator, accepted=accepted)])
        spread, draws = spread_of(args.operator)
    return read_conditions(
        half_line=args.half_line,
        two_marks=args.two_marks,
        spread=spread,
        draws=draws,
        holds_reading=args.holds_reading or bool(args.operator),
        away=args.away,
    )


def sureness(made: "Plan", args: argparse.Namespace, book: Catalogue) -> "Surety":
    """How sure the doses of a plan that is ready are. Refused for settings that cannot be read, or an unknown needle."""
    from drawndose.science.losses import dry_needle_losses
    from drawndose.science.surety import how_sure

    losses = {}
    if args.dry_needle:
        known = {one.id: one for one in book.needles}
        if args.dry_needle not in known:
            rule = "the needle is not in the catalogue"
            raise Refused(
                [
                    Fault(
                        field="dry-needle",
                        rule=rule,
                        came=args.dry_needle,
                        accepted=nearest(args.dry_needle, known, "`drawndose catalogue instruments`"),
                    )
                ]
            )
        losses = dry_needle_losses(made, known[args.dry_needle])
    return how_sure(made, conditions=settings_of(args), losses=losses)
