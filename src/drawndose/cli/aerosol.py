"""`drawndose aerosol`: what happens to a fill after it is prepared, as ranges: run, compare, weigh, nebulize for hours, gas."""

import argparse

from drawndose.bench.drawing import LIGHTS
from drawndose.cli import Commands, command_parser
from drawndose.cli.output import write_json, write_lines

_EXAMPLES = """\
  drawndose aerosol run jet "fill=3 mL" "dose=2.5 mg"                     time, what comes out, is breathed in, stays
  drawndose aerosol run jet "fill=3 mL" versus mesh "fill=3 mL"           two set-ups side by side
  drawndose aerosol run jet "fill=2 to 4 mL" breath=infant through=mask "flow=8 L/min" gas=air --pictures folder
  drawndose aerosol fills jet "fill=3 mL"                                 why 3 mL and not 2; tapping; stopping early
  drawndose aerosol kinds                                                 the kinds with their ranges and sources
  drawndose aerosol settle size=3.5 spread=2 "tidal=500 mL" "seconds=2 s" where droplets settle in a healthy adult
  drawndose aerosol weigh kind=jet 20.00:23.00:21.10:5.5 20.00:23.01:21.02:5.9     dry:filled:after in g, minutes
  drawndose aerosol hours "rate=10 mg/h" "output=45 mL/h" "hours=4 h" "stock=5 mg/mL" "true_output=38 to 55 mL/h"
  drawndose aerosol pump "fed=1 mg/mL" "feed=10 mL/h" "cup=2 mL" "water=30 %"
  drawndose aerosol gas cylinder=E "pressure=2,000 psi" "flow=8 L/min" "job=15 min"

Every answer is a range, and none changes a dose. --own takes a TOML file with [[nebulizer]] tables of your own.

exit status: 0 answered; 1 answered with a caution; 2 what came was not understood
"""
WHAT = {
    "run": "a set-up, or two with the word versus between them",
    "fills": "one thing changed at a time",
    "kinds": "what is known of each kind",
    "settle": "where droplets settle, by the lung model and by short fits",
    "weigh": "your own nebulizer, weighed before and after",
    "hours": "continuous nebulizing",
    "pump": "a small nebulizer fed by a pump",
    "gas": "cylinders, heliox, sources, air with oxygen",
}


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "What happens to a fill after it is prepared. Ranges for planning and teaching; none changes a dose."
    parser = command_parser(commands, "aerosol", _EXAMPLES, about)
    told = "; ".join(f"{name}: {says}" for name, says in WHAT.items())
    parser.add_argument("what", choices=tuple(WHAT), help=told)
    parser.add_argument("words", nargs="*", metavar="WORD", help="a nebulizer by its id, NAME=TEXT, a weighing")
    parser.add_argument("--own", action="append", default=[], metavar="FILE", help="a TOML file of own nebulizers")
    parser.add_argument("--pictures", default="", metavar="FOLDER", help="write the pictures as SVG into this folder")
    parser.add_argument("--light", default="paper", choices=tuple(LIGHTS), help="of the pictures; black on paper")
    parser.add_argument("--seed", default="", metavar="NUMBER", help="of the trials; another number, another draw")
    parser.add_argument("--begins", default="", metavar="TIME", help='hours: when it begins, "2026-11-25 14:05", 24 h')
    parser.add_argument("--zone", default="", help="hours: the time zone by name, where it is not this machine's")
    parser.add_argument("--id", default="our-nebulizer", help="weigh: the id in the table that is written")
    parser.add_argument("--source", default="ours", metavar="ID", help="weigh: the id of your sheet's source")
    parser.add_argument("--at", default="-", metavar="WHERE", help="weigh: where on that sheet")


def run(args: argparse.Namespace) -> int:
    """Work out and write. Exit status 1 where something is cautioned."""
    from drawndose.cli.aerosol_work import work  # numpy is imported only when someone asks

    found = work(args)
    if args.json:
        write_json(found.data)
    else:
        write_lines(found.lines)
    return 1 if found.cautioned else 0
