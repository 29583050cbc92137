"""`drawndose instruments`: what may measure what, for a chosen limit; a department's own instruments among them."""

import argparse
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from drawndose.bench.draws import ml
from drawndose.bench.measuring_table import Cell, Fit, MeasuringTable, measuring_table
from drawndose.bench.scales import called
from drawndose.bench.takes import percent
from drawndose.cli import Commands, command_parser
from drawndose.cli.instrument_card import card_data, card_lines
from drawndose.cli.needle_changes import changes_data, changes_lines
from drawndose.cli.output import write_json, write_lines
from drawndose.quantities import Fault, Manner, Refused, read_quantity, read_strength
from drawndose.reference import TAKES_NEEDLE, Instrument, Instruments, Needle, load, read_instruments

_EXAMPLES = """\
  drawndose instruments                         volumes against instruments, limit 10 %
  drawndose instruments --limit "5 %"
  drawndose instruments --volume 0.4mL --volume 0.05mL
  drawndose instruments --own ours.toml         with instruments of your own, in the catalogue's schema
  drawndose instruments --all                   with cylinders and the less usual scales
  drawndose instruments "3 mL syringe, oral tip" --volume 0.35mL --strength "5 mg/mL"     the marks to read, and their errors
  drawndose instruments syringe-3 --volume 0.4mL --from 3mL                              the same between two marks
  drawndose instruments syringe-1 --volume 0.5mL --needle needle-21g                     what a change of needle does to it
  drawndose instruments --json

acceptable: permissible error within the limit. caution: up to twice the limit. between: no line at this volume.
A dot: not measurable. Numbers are the permissible error in percent of the volume.
"""
_SIGNS = {Fit.ACCEPTABLE: " ", Fit.CAUTION: "!", Fit.BETWEEN: "~", Fit.NOT: "."}


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Which instrument may measure which volume, for stocking and for teaching."
    parser = command_parser(commands, "instruments", _EXAMPLES, about)
    parser.add_argument("one", nargs="?", default="", metavar="INSTRUMENT", help="one instrument told in full")
    parser.add_argument("--strength", default="", help="what the liquid holds, so that doses are told: 5 mg/mL")
    parser.add_argument("--needle", default="", metavar="ID", help="tell what this needle does to each volume")
    parser.add_argument("--from", dest="start", default="", metavar="MARK", help="give the volume from this mark on")
    parser.add_argument("--limit", default="10 %", help="permissible error as a share of the volume; 10 %% without it")
    parser.add_argument(
        "--volume", action="append", default=[], help="a volume to ask about; the shipped list without it"
    )
    parser.add_argument("--own", action="append", default=[], metavar="FILE", help="a TOML file of own instruments")
    parser.add_argument("--all", action="store_true", help="with cylinders and the less usual scales")
    parser.add_argument("--tips", action="store_true", help="show each tip, not only one row for each capacity")


def run(args: argparse.Namespace) -> int:
    """Work out and write. Exit status 0."""
    if args.one:
        return _card(args)
    limit = read_quantity(args.limit, field="limit", manner=Manner.READING)
    if limit.dimension:
        raise Refused([Fault(field="limit", rule="the limit is a share", came=args.limit, accepted="5 %, 10 %")])
    volumes = [_volume(text) for text in args.volume]
    instruments = _rows(args)
    made = measuring_table(instruments, limit=limit.base, **({"volumes": volumes} if volumes else {}))
    if args.json:
        write_json(_json(made))
    else:
        write_lines(_lines(made))
    return 0


def _card(args: argparse.Namespace) -> int:
    """One instrument in full, and the volumes on it. Refused with every fault of the command."""
    book = load()
    own = [own_instruments(name) for name in args.own]
    one = called(
        args.one, [*book.measures, *(measure for made in own for measure in made.measures)], field="instrument"
    )
    needle = _needle(args.needle, [*book.needles, *(each for made in own for each in made.needles)])
    if needle is not None and one.tip not in TAKES_NEEDLE:
        rule = "a needle goes on a luer tip"
        raise Refused(
            [Fault(field="needle", rule=rule, came=one.name, accepted="a syringe with luer lock or luer slip")]
        )
    volumes = [_volume(text) for text in args.volume]
    start = _volume(args.start, "from") if args.start else None
    per_ml = read_strength(args.strength, field="strength", of="the drug").ratio if args.strength else None
    if args.json:
        write_json(card_data(one, volumes, start, per_ml) | {"needle_changes": changes_data(one, volumes, needle)})
    else:
        write_lines([*card_lines(one, volumes, start, per_ml, book), *changes_lines(one, volumes, needle)])
    return 0


def _needle(ident: str, needles: list[Needle]) -> Needle | None:
    """The needle of this id with its own figure; None where none was asked for."""
    if not ident:
        return None
    found = next((one for one in needles if one.id == ident), None)
    if found is None:
        rule, accepted = "there is no such needle here", ", ".join(one.id for one in needles)
        raise Refused([Fault(field="needle", rule=rule, came=ident, accepted=accepted)])
    if found.keeps is None:
        rule = "what it keeps was not found: weigh it, and add it to a file of your own"
        accepted = ", ".join(one.id for one in needles if one.keeps is not None)
        raise Refused([Fault(field="needle", rule=rule, came=ident, accepted=accepted)])
    return found


def _rows(args: argparse.Namespace) -> list[Instrument]:
    """The usual measures, or every one; one row for those that differ in nothing but the tip, unless tips are asked for."""
    measures = [*(load().measures if args.all else load().instruments)]
    if not args.tips:
        firsts: dict[str, Instrument] = {}
        for one in measures:
            firsts.setdefault(one.name.partition(",")[0], one)
        measures = list(firsts.values())
    return measures + [one for name in args.own for one in own_instruments(name).measures]


def _volume(text: str, field: str = "volume") -> Fraction:
    volume = read_quantity(text, field=field, manner=Manner.READING)
    if volume.dimension != (("volume", 1),):
        raise Refused([Fault(field=field, rule="a volume is wanted", came=text, accepted="0.4 mL")])
    return volume.to("mL").value


def own_instruments(name: str) -> Instruments:
    """A department's own instruments out of its file. Refused when it cannot be read, with every fault in it."""
    try:
        text = Path(name).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise Refused(
            [Fault(field="own", rule=str(error), came=name, accepted="a TOML file that can be read")]
        ) from error
    return read_instruments(text, Path(name).name)


def _lines(table: MeasuringTable) -> Iterator[str]:
    width = max(len(row.instrument.name.partition(",")[0]) for row in table.rows) + 2
    yield (
        f"{'':{width}}{'from':>9}  "
        + "".join(f"{ml(volume).removesuffix(' mL'):>6}" for volume in table.volumes)
        + "  mL"
    )
    for row in table.rows:
        smallest = ml(row.smallest) if row.smallest is not None else "never"
        name = row.instrument.name.partition(",")[0]
        yield f"{name:{width}}{smallest.removeprefix('about '):>9}  " + "".join(
            f"{_sign(cell):>6}" for cell in row.cells
        )
    yield ""
    yield f"limit {percent(table.limit)}. A number: permissible error, percent of the volume. ! over the limit, up to twice it."
    yield "~ no line at this volume. A dot: not measurable. A cylinder under a fifth of what it holds is a ! too."


def _sign(cell: Cell) -> str:
    if cell.fit is Fit.NOT:
        return "."
    if cell.share is None:
        return "~"
    return f"{_SIGNS[cell.fit]}{_short(cell.share)}".strip()


def _short(share: Fraction) -> str:
    return percent(share).removeprefix("about ").removesuffix(" %")


def _json(table: MeasuringTable) -> dict[str, object]:
    return {
        "schema": "drawndose.instruments-table/1",
        "limit": str(table.limit),
        "volumes": [str(volume) for volume in table.volumes],
        "rows": [
            {
                "instrument": row.instrument.id,
                "smallest": str(row.smallest) if row.smallest is not None else None,
                "cells": [
                    {"fit": cell.fit.value, "share": str(cell.share) if cell.share else None} for cell in row.cells
                ],
            }
            for row in table.rows
        ],
    }
