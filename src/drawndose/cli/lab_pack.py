"""The pack of a lab day into a folder: one PDF of each kind, and all of them in one."""

import argparse
from collections.abc import Iterator
from pathlib import Path

from drawndose.bench.moments import told
from drawndose.cli.output import write_json, write_lines
from drawndose.cli.place import now, zone
from drawndose.lab.papers.laid import Laid
from drawndose.lab.papers.pack import KINDS, WHOLE, pack
from drawndose.lab.tasks.task_set import TaskSet
from drawndose.paper.size import A4, LETTER, Paper
from drawndose.quantities import Fault, Refused

PAPERS = {"a4": A4, "letter": LETTER}
TITLES = {**KINDS, WHOLE: "All of it"}
FOLDER = "a folder that may be written, such as lab-papers"


def add(parser: argparse.ArgumentParser) -> None:
    """Add what the pack alone is asked with."""
    parser.add_argument(
        "--to", default="", metavar="FOLDER", help="pack: where the PDFs go; it is made where it is not there"
    )
    parser.add_argument("--paper", default="a4", choices=PAPERS, help="pack: the paper (a4)")  # fmt: skip


def write_pack(args: argparse.Namespace, made: TaskSet) -> None:
    """Write every PDF and say which. Refused without a folder, or where it cannot be written."""
    if not args.to:
        raise Refused([Fault(field="to", rule="the papers need a place", came="", accepted=FOLDER)])
    day = Laid(tasks=made, printed=f"Printed {told(now(zone(args.zone)))} from the command line")
    papers = pack(day, PAPERS[args.paper])
    names = _write(Path(args.to), papers)
    if args.json:
        write_json(_data(args, made, PAPERS[args.paper], names))
    else:
        write_lines(_lines(day, names))


def _write(folder: Path, papers: dict[str, bytes]) -> dict[str, str]:
    names = {kind: str(folder / f"{kind}.pdf") for kind in papers}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for kind, pdf in papers.items():
            Path(names[kind]).write_bytes(pdf)
    except OSError as error:
        raise Refused([Fault(field="to", rule=str(error), came=str(folder), accepted=FOLDER)]) from error
    return names


def _lines(day: Laid, names: dict[str, str]) -> Iterator[str]:
    yield day.head
    for kind, name in names.items():
        yield f"  {name}: {TITLES[kind]}"
    yield "The key is for evaluators only; the cards, the labels and nothing else go to learners."


def _data(args: argparse.Namespace, made: TaskSet, paper: Paper, names: dict[str, str]) -> dict[str, object]:
    return {
        "schema": "drawndose.pack/1",
        "seed": made.seed,
        "learners": len(made.seats),
        "at": made.at.isoformat(),
        "paper": paper.name,
        "files": [{"kind": kind, "name": name} for kind, name in names.items()],
    }
