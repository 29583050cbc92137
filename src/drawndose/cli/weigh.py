"""`drawndose weigh`: what was really drawn, by the balance: volume, verdict, and what a series of draws shows."""

import argparse
import sys
from pathlib import Path

from drawndose.cli import Commands, command_parser
from drawndose.cli.output import write_json, write_lines
from drawndose.quantities import Fault, Refused

_EXAMPLES = """\
  drawndose weigh --target "0.5 mL" --within "5 %" 0.4962 0.5021 0.4988       net masses in g
  drawndose weigh --target "0.5 mL" 12.3456:12.8421:12.3457 12.3457:12.8460:12.3459
                                                                              without, with, without once more
  drawndose weigh --target "0.5 mL" --liquid saline --balance balance-0.1-mg --blank "0.6 mg" --readings sheet.csv
  drawndose weigh --target "0.4 mL" --within "10 %" --temperature 23 --pressure 998 --readings - < column.txt
  drawndose weigh --balances                                                  which balance for which volume
  drawndose weigh --target "0.5 mL" --readings sheet.csv --json > me.json     for `drawndose plan --sure --operator me.json`

A file has one column of net masses (or as --columns says), or columns with headings such as "without (g), with (g)".
Everything is read, or nothing: a decimal comma, a heading in the middle, a slip of units is named with its row, together
with whatever is wrong with the options.

exit status: 0 every draw is within; 1 one is not, or it cannot be told; 2 what came was not understood
"""

_OPTIONS = (
    ("what was to be drawn", (
        ("target", "VOLUME", 'what was to be drawn: "0.5 mL"'),
        ("within", "SHARE", "tolerance, a share or a volume; 5 %% without it"),
        ("instrument", "ID", "with what it was drawn, by its id, or what it holds: more cannot have been drawn"),
        ("limit", "SHARE", "is this person inside this share; 5 %% without it"),
    )),
    ("liquid", (
        ("liquid", "NAME", "water (without it), saline (0.9 %%), or another name with --density"),
        ("density", "NUMBER", "density of another liquid, g/mL"),
        ("density-uncertainty", "NUMBER", "its standard uncertainty, g/mL"),
        ("expansion", "NUMBER", "cubic expansion of the device per degC: the volume at 20 degC is told"),
    )),
    ("room", (
        ("temperature", "NUMBER", "of the liquid, degC; 21 without it"),
        ("pressure", "NUMBER", "of the air at this place, hPa; 1013 without it"),
        ("humidity", "NUMBER", "relative humidity, %%; 50 without it"),
    )),
    ("balance", (
        ("balance", "ID", "the class of the balance, see --balances"),
        ("step", "MASS", "step of the display; 0.1 mg without it"),
        ("repeatability", "MASS", 'standard deviation of repeated readings: "0.2 mg", "0.2 mg of 10 readings"'),
        ("most", "MASS", "what the balance carries at most"),
    )),
    ("evaporation", (
        ("blank", "MASS", "what the vessel lost in a blank: the whole cycle with an empty delivery"),
        ("blank-uncertainty", "MASS", "its standard uncertainty; that of two readings without it"),
        ("blank-minutes", "NUMBER", "how long the blank took, where a draw took another time"),
        ("minutes", "NUMBER", "how long each draw lay open; without a blank it is counted as doubt"),
    )),
)  # fmt: skip


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Judge by weight what was drawn: volume with its uncertainty, verdict, and what a series shows."
    parser = command_parser(commands, "weigh", _EXAMPLES, about)
    parser.add_argument(
        "masses", nargs="*", metavar="GRAMS", help="a net mass in g, or WITHOUT:WITH, or WITHOUT:WITH:AGAIN"
    )
    for title, options in _OPTIONS:
        group = parser.add_argument_group(title)
        for name, metavar, says in options:
            group.add_argument(f"--{name}", default="", metavar=metavar, help=says)
    group = parser.add_argument_group("readings and answers")
    group.add_argument("--readings", default="", metavar="FILE", help="a file of readings, or - for standard input")
    group.add_argument("--columns", default="", metavar="NAMES", help='"net" (without it), or "without, with, again"')
    group.add_argument("--unit", default="", help="g (without it) or mg, where a reading has no unit")
    group.add_argument("--simple", action="store_true", help="simple acceptance: no guard band; the risk is told")
    group.add_argument("--balances", action="store_true", help="say which balance is good enough for which volume")


def run(args: argparse.Namespace) -> int:
    """Weigh and write. Exit status 0 when every draw is within, else 1."""
    from drawndose.cli.weigh_text import balance_data, balance_lines, round_data, round_lines
    from drawndose.science.balance_words import read_which_balance
    from drawndose.science.sheet_words import weigh_words

    boxes = {name: getattr(args, name.replace("-", "_")) for _, options in _OPTIONS for name, _, _ in options}
    if args.balances:
        table = read_which_balance(boxes)
        if args.json:
            write_json(balance_data(table))
        else:
            write_lines(balance_lines(table))
        return 0
    boxes |= {"acceptance": "simple" if args.simple else "", "unit": args.unit, "columns": _columns(args)}
    filled, found = weigh_words(boxes, lambda: _text(args))
    if args.json:
        write_json(round_data(filled, found))
    else:
        write_lines(list(round_lines(filled, found)))
    return 0 if all(one.verdict.call.value == "within" for one in found.weighed) else 1


def _columns(args: argparse.Namespace) -> str:
    """What the readings of a draw are: as said, or as the first draw is typed."""
    typed = args.masses[0].count(":") if args.masses else 0
    return args.columns or {1: "without, with", 2: "without, with, again"}.get(typed, "")


def _text(args: argparse.Namespace) -> str:
    from drawndose.science.import_readings import decode_readings

    if bool(args.masses) == bool(args.readings):
        rule = "the masses come as words or as a file of readings"
        raise Refused([Fault(field="readings", rule=rule, came=args.readings or "nothing", accepted="one of them")])
    if args.masses:
        return "\n".join(one.replace(":", ";") for one in args.masses)
    try:
        content = sys.stdin.buffer.read() if args.readings == "-" else Path(args.readings).read_bytes()
    except OSError as error:
        accepted = "a text file that can be read"
        rule = f"the file cannot be read ({error.strerror})"
        raise Refused([Fault(field="readings", rule=rule, came=args.readings, accepted=accepted)]) from error
    return decode_readings(content)
