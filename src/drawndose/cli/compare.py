"""`drawndose compare`: one volume in several instruments, side by side, with what each owes to what."""

import argparse
from collections.abc import Iterator, Sequence
from math import isinf
from typing import TYPE_CHECKING

from drawndose.bench.draws import ml
from drawndose.bench.takes import percent
from drawndose.cli import Commands, command_parser
from drawndose.cli.instruments import own_instruments
from drawndose.cli.output import write_json, write_lines
from drawndose.cli.sure import add_settings, settings_of
from drawndose.quantities import Fault, Gathering, Refused, gather
from drawndose.reference import load

if TYPE_CHECKING:
    from drawndose.science.beside import Beside

_EXAMPLES = """\
  drawndose compare 0.5mL syringe-1 syringe-3 dropper-0.25-0.5
  drawndose compare 0.5mL syringe-1 syringe-3 --half-line --spread "3 %" --draws 10
  drawndose compare 0.5mL syringe-1 syringe-5 --json

An instrument that has no line for the volume gets no number: the two lines around it are named instead.
"""
_GAP = 2
_DIGITS = set("0123456789.")


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "How sure one volume is in two to four instruments, side by side. For choosing and for teaching."
    parser = command_parser(commands, "compare", _EXAMPLES, about)
    parser.add_argument(
        "named",
        nargs="*",
        metavar="WORD",
        help="one volume (0.5mL, or in quotes where it has a blank) and two to four instruments, in any order",
    )
    parser.add_argument("--own", action="append", default=[], metavar="FILE", help="a TOML file of own instruments")
    add_settings(parser)


def run(args: argparse.Namespace) -> int:
    """Work out and write. Exit status 0; 1 when no instrument has a line for the volume."""
    from drawndose.science.beside import choose, read_volume, side_by_side

    known = [*load().measures, *(one for name in args.own for one in own_instruments(name).measures)]
    gathering = Gathering()
    ids = {one.id for one in known}
    volumes = [one for one in args.named if one not in ids and one[:1] in _DIGITS]
    volume = gathering.take(lambda: read_volume(_one(volumes)))
    tools = gathering.take(lambda: choose([one for one in args.named if one not in volumes], known))
    settings = gathering.take(lambda: settings_of(args))
    if volume is None or tools is None:
        raise Refused(gathering.faults)
    gather(gathering.faults)
    found = side_by_side(volume, tools, settings)
    if args.json:
        write_json(_json(found))
    else:
        write_lines(_lines(found))
    return 0 if any(one.judged is not None for one in found) else 1


def _one(volumes: list[str]) -> str:
    """The one volume that was named. Refused for none, and for several."""
    if len(volumes) != 1:
        came = ", ".join(volumes) or "none"
        raise Refused([Fault(field="volume", rule="one volume is compared", came=came, accepted="0.5mL")])
    return volumes[0]


def _lines(found: "Sequence[Beside]") -> Iterator[str]:
    """A table with one column for each instrument, then each in sentences with its budget."""
    from drawndose.science.beside import surest
    from drawndose.science.words import percent_words

    volume = ml(found[0].volume)
    columns = [{volume: one.name, **_cells(one)} for one in found]
    names = list(dict.fromkeys(name for cells in columns for name in cells))
    first = max(map(len, names)) + _GAP
    widths = [max(map(len, cells.values())) + _GAP for cells in columns]
    for name in names:
        cells = (f"{one.get(name, ''):{width}}" for one, width in zip(columns, widths, strict=True))
        yield f"{name:{first}}{''.join(cells)}".rstrip()
    for one in found:
        yield from ("", one.name, *(f"  {line}" for line in one.says))
        if one.judged is not None:
            budget = one.judged.budget
            for part in budget.contributions:
                share, u = percent_words(budget.share(part)), percent_words(part.u / float(one.volume))
                yield f"  {u:>12}  {share:>12} of the variance  {part.name}"
    if (best := surest(found)) is not None:
        yield from ("", f"Surest of these for {volume}: the {best.name}.")


def _cells(one: "Beside") -> dict[str, str]:
    from drawndose.science.words import chance_words, degrees_words, percent_words

    if one.judged is None:
        return {"permissible error": "no line"}
    judged, volume, level = one.judged, float(one.volume), f"{one.judged.trial.level_percent:g} %"
    return {
        "permissible error": f"{ml(judged.permissible)}, {percent(judged.permissible / one.volume)}",
        "standard uncertainty": percent_words(judged.budget.u / volume),
        f"expanded uncertainty, {level}": percent_words(judged.budget.expanded / volume),
        "effective degrees of freedom": degrees_words(judged.budget.nu),
        f"off by at most, {level}, trials": percent_words(judged.within / volume),
        **{f"chance of being beyond {percent(by)}": chance_words(chance) for by, chance in judged.beyond},
    }


def _json(found: "Sequence[Beside]") -> dict[str, object]:
    """Exact values as text; what was found, as numbers in mL or as shares."""
    return {
        "schema": "drawndose.compared/1",
        "volume_mL": str(found[0].volume),
        "instruments": [
            {
                "instrument": one.instrument.id,
                "no_line": one.no_line or None,
                "lines_around_mL": [str(line) for line in one.around] if one.around else None,
                "judged": _judged(one),
            }
            for one in found
        ],
    }


def _judged(one: "Beside") -> dict[str, object] | None:
    if one.judged is None:
        return None
    judged, budget, trial = one.judged, one.judged.budget, one.judged.trial
    return {
        "permissible_error_mL": str(judged.permissible),
        "standard_uncertainty_mL": budget.u,
        "expanded_uncertainty_mL": budget.expanded,
        "level_percent": budget.level_percent,
        "coverage_factor": budget.k,
        "effective_degrees_of_freedom": None if isinf(budget.nu) else budget.nu,
        "misleads": budget.misleads or None,
        "budget": [
            {"cause": part.name, "shape": part.shape.value, "u_mL": part.u, "share_of_variance": budget.share(part)}
            for part in budget.contributions
        ],
        "interval_mL": [trial.low.value, trial.high.value],
        "interval_error_mL": [trial.low.error, trial.high.error],
        "trials": trial.trials,
        "seed": trial.seed,
        "beyond": [{"share": str(by), "chance": chance.value, "error": chance.error} for by, chance in judged.beyond],
    }
