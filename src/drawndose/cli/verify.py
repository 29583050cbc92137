"""`drawndose verify`: check this installation against the shipped cases, or against files of cases of a department."""

import argparse
from collections.abc import Iterable
from importlib import import_module
from pathlib import Path

from drawndose.bench.verification import SOLVERS, Outcome, Report, Solver, Status, verify
from drawndose.cli import Commands, command_parser
from drawndose.cli.output import write_json, write_lines
from drawndose.quantities import Fault, Refused
from drawndose.reference.cases import Case, read_cases, shipped

_EXAMPLES = """\
  drawndose verify                        the published cases that are shipped
  drawndose verify our-cases.toml         cases of your own, in the same format
  drawndose verify --shipped ours.toml    both
  drawndose verify --json
"""

LATER = {
    "codes": "drawndose.bench.code_cases",
    "metrology": "drawndose.science.cases",
    "aerosol": "drawndose.science.aerosol.cases",
    "statistics": "drawndose.science.statistics.cases",
}
"""Areas whose solver is imported only when a case of that area is there: the module, which has `solve`."""


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Check this installation against cases: exit status 1 when any fails, 2 when a file cannot be read."
    parser = command_parser(commands, "verify", _EXAMPLES, about)
    parser.add_argument("files", nargs="*", metavar="FILE", help="files of cases; without one, the shipped cases")
    parser.add_argument("--shipped", action="store_true", help="the shipped cases too")


def run(args: argparse.Namespace) -> int:
    """Run the cases and write the report. Exit status 1 when one failed."""
    cases = [*(shipped() if args.shipped or not args.files else ()), *_from_files(args.files)]
    report = verify(cases, _solvers(cases))
    if args.json:
        write_json(_json(report))
    else:
        write_lines(_lines(report))
    return 1 if report.of(Status.FAILED) else 0


def _solvers(cases: Iterable[Case]) -> dict[str, Solver]:
    """The solvers of the areas that are there."""
    areas = {case.area for case in cases}
    return SOLVERS | {area: import_module(module).solve for area, module in LATER.items() if area in areas}


def _from_files(names: list[str]) -> list[Case]:
    """The cases of every file; the faults of all files together."""
    cases: list[Case] = []
    faults: list[Fault] = []
    for name in names:
        try:
            cases += read_cases(Path(name).read_text(encoding="utf-8"), name)
        except (OSError, UnicodeDecodeError) as error:
            why = (error.strerror if isinstance(error, OSError) else None) or "it is not text in UTF-8"
            faults.append(Fault(field=name, rule="the file cannot be read", came=why, accepted="a TOML file"))
        except Refused as refused:
            faults += refused.faults
    if faults:
        raise Refused(faults)
    return cases


def _lines(report: Report) -> list[str]:
    width = max((len(kind) for kind in report.by_kind), default=4)
    heads = "  ".join(status.value for status in Status)
    lines = [f"{'kind':{width}}  {heads}"]
    for area, counts in report.by_area.items():
        kinds = {kind: one for kind, one in report.by_kind.items() if kind.partition(".")[0] == area}
        lines += [f"{kind:{width}}  {_counts(one)}" for kind, one in kinds.items()]
        lines.append(f"{f'all of {area}':{width}}  {_counts(counts)}")
    lines.append(f"{'all cases':{width}}  {_counts(report.counts)}")
    for status, head in (
        (Status.AGAINST_PRINT, "The exact answer is met, and the source prints something else:"),
        (Status.UNSUPPORTED, "Not supported:"),
        (Status.FAILED, "Failed:"),
    ):
        if found := report.of(status):
            lines += ["", head, *(f"  {_told(one)}" for one in found)]
    return lines


def _counts(counts: dict[Status, int]) -> str:
    return "  ".join(f"{counts[status]:{len(status.value)}}" for status in Status)


def _told(one: Outcome) -> str:
    where = f"{one.case.id} ({one.case.file}, {one.case.kind})"
    if one.status is Status.FAILED:
        return f"{where}: expected {one.expected}, came {one.came}: {one.reason}"
    if one.status is Status.AGAINST_PRINT:
        return f"{where}: {one.came}; {one.reason}"
    return f"{where}: {one.reason}"


def _json(report: Report) -> dict[str, object]:
    """counts, by_area, by_kind (status to number), and cases: id, file, kind, source, status, expected, came, reason."""
    return {
        "counts": _by_word(report.counts),
        "by_area": {area: _by_word(counts) for area, counts in report.by_area.items()},
        "by_kind": {kind: _by_word(counts) for kind, counts in report.by_kind.items()},
        "cases": [
            {
                "id": one.case.id,
                "file": one.case.file,
                "kind": one.case.kind,
                "source": one.case.source,
                "status": one.status.value,
                "expected": one.expected,
                "came": one.came,
                "reason": one.reason,
            }
            for one in report.outcomes
        ],
    }


def _by_word(counts: dict[Status, int]) -> dict[str, int]:
    return {status.value: number for status, number in counts.items()}
