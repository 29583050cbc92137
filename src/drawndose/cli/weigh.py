"""`drawndose weigh`: what was really drawn, by the balance: volume, verdict, and what a series of draws shows."""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from drawndose.cli import Commands, command_parser
from drawndose.cli.output import write_json, write_lines
from drawndose.quantities import Fault, Manner, Quantity, Refused, read_number, read_quantity

if TYPE_CHECKING:
    from drawndose.science.series import Series
    from drawndose.science.sheet import Sheet, Weighed

_EXAMPLES = """\
  drawndose weigh --target "0.5 mL" --within "5 %" 0.4962 0.5021 0.4988      net masses in g
  drawndose weigh --target "0.5 mL" --within "5 %" --liquid saline --readings sheet.csv
  drawndose weigh --target "0.4 mL" --within "10 %" --readings - --temperature 23 --pressure 998 < column.txt

A file has one column of net masses, or columns with headings such as "without (g), with (g)". Everything is read, or
nothing: a decimal comma, a heading in the middle, a slip of units is named with its row.
"""


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Judge by weight what was drawn: volume with its uncertainty, verdict, and what a series shows."
    parser = command_parser(commands, "weigh", _EXAMPLES, about)
    parser.add_argument("masses", nargs="*", metavar="GRAMS", help="net masses in g")
    parser.add_argument("--target", required=True, help='what was to be drawn: "0.5 mL"')
    parser.add_argument("--within", default="5 %", help="tolerance, a share or a volume; 5 %% without it")
    parser.add_argument("--readings", default="", metavar="FILE", help="a file of readings, or - for standard input")
    parser.add_argument("--liquid", default="water", help="water, saline, or another name with --density")
    parser.add_argument("--density", default="", help="density of another liquid, g/mL")
    parser.add_argument("--temperature", default="21", help="temperature of the liquid, degrees C")
    parser.add_argument("--pressure", default="1013", help="air pressure at this place, hPa")
    parser.add_argument("--humidity", default="50", help="relative humidity, %%")
    parser.add_argument("--step", default="0.1 mg", help="step of the balance's display")
    parser.add_argument("--repeatability", default="0.2 mg", help="standard deviation of repeated readings")
    parser.add_argument("--simple", action="store_true", help="simple acceptance: no guard band; the risk is told")


def run(args: argparse.Namespace) -> int:
    """Weigh and write. Exit status 0 when every draw is within, else 1."""
    from drawndose.science.import_readings import read_readings, weighings
    from drawndose.science.series import summarize
    from drawndose.science.sheet import weigh_all

    rows = read_readings(_text(args), unit="g")
    sheet = _sheet(args)
    found = weigh_all(weighings(rows), sheet)
    series = summarize([one.volume.mL for one in found], target_mL=sheet.target_mL) if len(found) > 2 else None
    if args.json:
        write_json(_json(found, series))
    else:
        write_lines(_lines(found, series))
    return 0 if all(one.verdict.call.value == "within" for one in found) else 1


def _text(args: argparse.Namespace) -> str:
    if bool(args.masses) == bool(args.readings):
        rule = "the masses come as words or as a file of readings"
        raise Refused([Fault(field="readings", rule=rule, came=args.readings or "nothing", accepted="one of them")])
    if args.masses:
        return "\n".join(args.masses)
    if args.readings == "-":
        return sys.stdin.read()
    try:
        return Path(args.readings).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        accepted = "a text file that can be read"
        raise Refused([Fault(field="readings", rule=str(error), came=args.readings, accepted=accepted)]) from error


def _sheet(args: argparse.Namespace) -> "Sheet":
    from drawndose.science.sheet import Sheet
    from drawndose.science.verdict import Acceptance
    from drawndose.science.weighing import Balance

    target = _of(args.target, "target", "volume")
    within = read_quantity(args.within, field="within", manner=Manner.READING)
    tolerance = target * within.base if not within.dimension else _of(args.within, "within", "volume")
    step, repeat = (
        _of(text, name, "mass") for text, name in ((args.step, "step"), (args.repeatability, "repeatability"))
    )
    return Sheet(
        balance=Balance(readability_g=_float(step.to("g")), repeatability_g=_float(repeat.to("g"))),
        t_degC=_number(args.temperature, "temperature"),
        p_hPa=_number(args.pressure, "pressure"),
        rh_percent=_number(args.humidity, "humidity"),
        target_mL=_float(target.to("mL")),
        tolerance_mL=_float(tolerance.to("mL")),
        liquid=args.liquid,
        density_g_mL=_number(args.density, "density") if args.density else None,
        acceptance=Acceptance.SIMPLE if args.simple else Acceptance.GUARDED,
    )


def _of(text: str, field: str, dimension: str) -> Quantity:
    quantity = read_quantity(text, field=field, manner=Manner.READING)
    if quantity.dimension != ((dimension, 1),) or not quantity.value:
        raise Refused(
            [Fault(field=field, rule=f"a {dimension} above 0 is wanted", came=text, accepted=f"a {dimension}")]
        )
    return quantity


def _number(text: str, field: str) -> float:
    return float(read_number(text, field=field, manner=Manner.READING))


def _float(quantity: Quantity) -> float:
    return float(quantity.value)


def _lines(found: "Sequence[Weighed]", series: "Series | None") -> list[str]:
    lines = []
    for number, one in enumerate(found, start=1):
        lines.append(f"{number:3}  {one.volume.mL:.4f} mL, uncertainty {one.volume.u:.4f} mL: {one.verdict.says}")
        lines += [f"     look: {doubt.rule} (came: {doubt.came})" for doubt in one.doubts]
    if found and not found[0].balance_is_enough:
        lines.append("This balance is too coarse for so small a volume (USP <41>: smallest net mass).")
    if found and (missing := found[0].volume.not_in_it):
        lines.append(f"Not counted: {'; '.join(missing)}.")
    return lines + _series(series)


def _series(series: "Series | None") -> list[str]:
    from drawndose.science.series import Claim

    if series is None:
        return []
    low, high = (end / series.target_mL - 1 for end in series.mean_interval)
    lines = [
        "",
        f"{series.count} draws: mean {series.mean_mL:.4f} mL, bias {series.bias:+.1%} (95 % between {low:+.1%} and {high:+.1%}), "
        f"spread {series.cv:.1%} of the mean.",
    ]
    for claim in Claim:
        needed = series.draws_needed(0.05, claim)
        told = f"{needed} such draws would show it" if needed is not None else "no number of such draws would show it"
        lines.append(f"Inside 5 %, {claim.value}: {series.shows(0.05, claim).value}; {told}.")
    return lines


def _json(found: "Sequence[Weighed]", series: "Series | None") -> dict[str, object]:
    return {
        "schema": "drawndose.weighed/1",
        "draws": [
            {
                "mL": one.volume.mL,
                "u_mL": one.volume.u,
                "call": one.verdict.call.value,
                "conformity": one.verdict.conformity,
                "guard_mL": one.verdict.guard_mL,
                "doubts": [doubt.rule for doubt in one.doubts],
                "not_counted": list(one.volume.not_in_it),
            }
            for one in found
        ],
        "series": None
        if series is None
        else {
            "count": series.count,
            "mean_mL": series.mean_mL,
            "sd_mL": series.sd_mL,
            "bias": series.bias,
            "cv": series.cv,
        },
    }
