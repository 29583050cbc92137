"""`drawndose draw`: instruments, containers, cups and needles to scale, as SVG or PNG with the words that say the same."""

import argparse
from pathlib import Path

from drawndose.bench.drawing import LIGHTS, Figure, alone
from drawndose.cli import Commands, command_parser
from drawndose.cli.drawn import figure_of
from drawndose.cli.output import write_json, write_lines
from drawndose.cli.picture import png, read_width
from drawndose.quantities import Fault, Refused

_EXAMPLES = """\
  drawndose draw syringe-1 "0.52 mL" --svg drawn.svg      the picture in a file, the words on the screen
  drawndose draw dropper-0.25-0.5 "0.25 mL" > drawn.svg   the picture on standard output
  drawndose draw syringe-3 "0.4 mL" --png drawn.png --width 800 --light night
  drawndose draw syringe-3 "0.4 mL" --bubble "0.05 mL"    with air in it; --trim: over-draw, then trim
  drawndose draw syringe-3 --needle filter-needle         a needle on the tip
  drawndose draw syringe-3 "0.4 mL" --life-size           for paper, with a rule of 50 mm
  drawndose draw "acetylcysteine-20pct 4 mL" "1.5 mL" --in-use    the vial turned over; --left "2 mL": what it still holds
  drawndose draw epinephrine-1mg-1ml-ampoule "0.9 mL" --in-use     the ampoule tilted, drawn through a filter needle
  drawndose draw cup-6 "3 mL"                             the fill in the cup
  drawndose draw filter-needle --json

A volume without a line is not drawn: the two lines beside it are named. In proportion; only --life-size is life size.
"""


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Draw an instrument, a container, a cup or a needle, with the words that say the same."
    parser = command_parser(commands, "draw", _EXAMPLES, about)
    parser.add_argument("what", help="an id; see `drawndose catalogue` and `drawndose catalogue instruments`")
    parser.add_argument("volume", nargs="?", default="", help='to which line, out of it, or in the cup: "0.4 mL"')
    picture = parser.add_argument_group("which picture")
    picture.add_argument("--bubble", default="", metavar="VOLUME", help="a syringe with so much air in it")
    picture.add_argument("--trim", action="store_true", help="a syringe: past the line, then trimmed to it")
    picture.add_argument("--needle", default="", metavar="ID", help="a syringe with this needle on")
    picture.add_argument("--life-size", action="store_true", help="a syringe in millimetres of paper")
    picture.add_argument("--in-use", action="store_true", help="a vial turned over, an ampoule tilted")
    picture.add_argument("--left", default="", metavar="VOLUME", help="what the container still holds")
    picture.add_argument("--light", default="paper", choices=tuple(LIGHTS), help="black on paper without it")
    parser.add_argument("--svg", default="", metavar="FILE", help="write the picture into this file")
    parser.add_argument("--png", default="", metavar="FILE", help="write it as PNG; needs drawndose[paper]")
    parser.add_argument("--width", default="800", metavar="PIXELS", help="of the PNG; 800 without it")
    parser.add_argument("--own", action="append", default=[], metavar="FILE", help="a TOML file of own instruments")


def run(args: argparse.Namespace) -> int:
    """Draw and write. Exit status 0."""
    figure = figure_of(args)
    svg = alone(figure, args.light)
    if args.png:
        _write(args.png, png(svg, read_width(args.width)), "png")
    if args.svg:
        _write(args.svg, svg.encode(), "svg")
    if args.json:
        write_json(_data(figure, svg))
    elif args.svg or args.png:
        write_lines([figure.name, *figure.words, *(f"  {name}: {text}" for name, text in figure.rows)])
    else:
        write_lines([svg.rstrip()])
    return 0


def _write(name: str, content: bytes, field: str) -> None:
    try:
        Path(name).write_bytes(content)
    except OSError as error:
        accepted = "a file that can be written"
        raise Refused([Fault(field=field, rule=str(error), came=name, accepted=accepted)]) from error


def _data(figure: Figure, svg: str) -> dict[str, object]:
    rows = [{"name": name, "text": text} for name, text in figure.rows]
    return {
        "schema": "drawndose.drawing/1",
        "kind": figure.kind,
        "name": figure.name,
        "words": list(figure.words),
        "rows": rows,
        "svg": svg,
    }
