"""`drawndose convert`: a strength or an amount in its other forms."""

import argparse
import re

from drawndose.bench.conversion import Converted, convert, counted_otherwise
from drawndose.cli import Commands, command_parser
from drawndose.cli.output import answer_text, write_json, write_lines
from drawndose.quantities import quantity_data
from drawndose.reference import load

_EXAMPLES = """\
  drawndose convert "0.5 %"                percent as mg per mL, ratio and so on
  drawndose convert "1:1000" mg/mL
  drawndose convert "2.5 mg in 3 mL" %
  drawndose convert "2.5 mg" mcg
  drawndose convert "3 mg albuterol sulfate"         as base, by the ratio that a label states
  drawndose convert "1 million units colistimethate" both published equivalences
  drawndose convert "10 mL" L --json
"""


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Show a strength or an amount in its other forms, exactly."
    parser = command_parser(commands, "convert", _EXAMPLES, about)
    parser.add_argument("value", help='a strength or an amount with its unit, in quotes: "0.5 %%", "2.5 mg"')
    parser.add_argument(
        "to", nargs="?", default="", help="the form wanted: a unit, %%, or ratio; without it, every form"
    )
    parser.add_argument("--drug", default="", help="what it is an amount of")


def run(args: argparse.Namespace) -> int:
    """Convert and write. Exit status 0."""
    converted = _counted(args) or convert(args.value, args.to, drug=args.drug)
    if args.json:
        write_json(_json(converted))
    else:
        write_lines(_lines(converted))
    return 0


def _counted(args: argparse.Namespace) -> Converted | None:
    """An amount of a named moiety, which takes the catalogue; the catalogue is not read for a bare amount."""
    if args.to or args.drug or not re.search(r"[a-z]{3,} [a-z]{4,}$|[a-z]{5,}$", args.value, re.IGNORECASE):
        return None
    return counted_otherwise(args.value, catalogue=load())


def _json(converted: Converted) -> dict[str, object]:
    """came, line, forms: each with its name and the exact quantity."""
    forms = [{"form": form.name, **quantity_data(form.value)} for form in converted.forms]
    return {"came": converted.came, "line": converted.line, "forms": forms}


def _lines(converted: Converted) -> list[str]:
    lines = [converted.line] if converted.line else []
    if len(converted.forms) == 1:
        name, _, by = converted.forms[0].name.partition(", by the stated ")
        of = f" of {name}, by the stated {by}" if by else ""
        return [*lines, f"{converted.came} = {_said(converted, 0)}{of}"]
    width = max(len(form.name) for form in converted.forms)
    return [
        *lines,
        *(f"  {form.name:{width}}  {_said(converted, place)}" for place, form in enumerate(converted.forms)),
    ]


def _said(converted: Converted, place: int) -> str:
    form = converted.forms[place]
    if form.name.startswith("ratio"):
        return f"1 in {answer_text(form.value).replace(' parts', '').replace(' part', '')}"
    return answer_text(form.value)
