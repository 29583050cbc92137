"""`drawndose draw`: an instrument to scale, filled to a line, as SVG with the words that say the same."""

import argparse
from fractions import Fraction
from pathlib import Path

from drawndose.bench.drawing import Figure, alone, dropper, syringe
from drawndose.bench.draws import line_words, ml
from drawndose.cli import Commands, command_parser
from drawndose.cli.instruments import own_instruments
from drawndose.cli.output import write_json, write_lines
from drawndose.quantities import Fault, Manner, Refused, read_quantity
from drawndose.reference import Instrument, Kind, load

_EXAMPLES = """\
  drawndose draw syringe-1 "0.52 mL" --svg drawn.svg      the picture in a file, the words on the screen
  drawndose draw dropper-0.25-0.5 "0.25 mL" > drawn.svg   the picture on standard output
  drawndose draw syringe-3 "0.4 mL" --json

A volume without a line is not drawn: the two lines beside it are named. In proportion, not life size.
"""


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Draw an instrument to scale, filled to a line, with the words that say the same."
    parser = command_parser(commands, "draw", _EXAMPLES, about)
    parser.add_argument("instrument", help="the id of an instrument; see `drawndose catalogue instruments`")
    parser.add_argument("volume", help='what it is filled to, in quotes: "0.4 mL"')
    parser.add_argument("--svg", default="", metavar="FILE", help="write the picture into this file")
    parser.add_argument("--own", action="append", default=[], metavar="FILE", help="a TOML file of own instruments")


def run(args: argparse.Namespace) -> int:
    """Draw and write. Exit status 0."""
    tool = _instrument(args.instrument, args.own)
    figure = drawn(tool, _line(tool, args.volume))
    if args.svg:
        try:
            Path(args.svg).write_text(alone(figure), encoding="utf-8")
        except OSError as error:
            raise Refused(
                [Fault(field="svg", rule=str(error), came=args.svg, accepted="a file that can be written")]
            ) from error
    if args.json:
        rows = [{"name": name, "text": text} for name, text in figure.rows]
        content = {"schema": "drawndose.drawing/1", "name": figure.name, "words": list(figure.words), "rows": rows}
        write_json(content | {"svg": alone(figure)})
    elif args.svg:
        write_lines([figure.name, *figure.words, *(f"  {name}: {text}" for name, text in figure.rows)])
    else:
        write_lines([alone(figure).rstrip()])
    return 0


def drawn(tool: Instrument, volume: Fraction) -> Figure:
    """The figure of an instrument filled to one of its lines."""
    draw = dropper if tool.kind is Kind.DROPPER else syringe
    return draw("drawn", tool, volume, line_words(tool, volume))


def _instrument(ident: str, own: list[str]) -> Instrument:
    by_id = {
        one.id: one for one in (*load().instruments, *(one for name in own for one in own_instruments(name).measures))
    }
    if ident not in by_id:
        rule = "the instrument is not in the catalogue"
        raise Refused([Fault(field="instrument", rule=rule, came=ident, accepted=", ".join(by_id))])
    return by_id[ident]


def _line(tool: Instrument, text: str) -> Fraction:
    """The volume of a line. Refused for a volume beyond the scale, or between lines, with the lines beside it."""
    quantity = read_quantity(text, field="volume", manner=Manner.READING)
    if quantity.dimension != (("volume", 1),):
        raise Refused([Fault(field="volume", rule="a volume is wanted", came=text, accepted="0.4 mL")])
    volume = quantity.to("mL").value
    if tool.shows(volume):
        return volume
    around = tool.lines_around(volume)
    if around is None:
        accepted = f"more than 0 and at most {ml(tool.capacity)}"
        raise Refused([Fault(field="volume", rule=f"the scale of the {tool.name} ends", came=text, accepted=accepted)])
    accepted = " or ".join(ml(line) for line in around if line)
    raise Refused([Fault(field="volume", rule=f"the {tool.name} has no line there", came=text, accepted=accepted)])
