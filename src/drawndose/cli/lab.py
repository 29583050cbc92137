"""`drawndose lab`: tasks for a class, their key, what must lie on the tables, the forms, and what a pass proves."""

import argparse
from collections.abc import Iterator
from fractions import Fraction

from drawndose.bench.moments import read_moment
from drawndose.cli import Commands, command_parser, lab_pack
from drawndose.cli.lab_text import form_lines, key_lines, proof_lines, supply_lines, task_lines
from drawndose.cli.output import write_json, write_lines
from drawndose.cli.place import now, zone
from drawndose.lab.deciding.proves import Proof, proves
from drawndose.lab.deciding.rule import Rule, VolumeBy, rule_data
from drawndose.lab.forms.form import Form, container_word, form_data
from drawndose.lab.forms.shipped import shipped, shipped_form
from drawndose.lab.tasks.task_data import set_data, supplies_data
from drawndose.lab.tasks.task_set import TaskSet, task_set
from drawndose.quantities import Fault, Manner, Refused, read_number, read_quantity, unit

WHAT = {
    "tasks": "what each learner is set: the cards, without the key",
    "key": "the same with the key: for evaluators",
    "supplies": "what must lie on each table, with spares",
    "pack": "all of a day on paper, as PDF: cards, labels, key, station sheets, supplies, forms",
    "forms": "the forms that evaluators mark, or one of them in full",
    "proves": "how often a rule passes a novice, and fails an expert",
}
"""Each thing that can be asked for, and its line in the help."""
_EXAMPLES = """\
  drawndose lab tasks --seed spring --learners 24
  drawndose lab key --seed spring --learners 24 --at "2026-03-02 13:00"
  drawndose lab supplies --seed spring --learners 24
  drawndose lab pack --seed spring --learners 24 --to lab-papers
  drawndose lab forms t3-glass-ampoule
  drawndose lab proves t1-dropper-bottle --attempts 3 --floor 80 --tolerance "10 %"

The same seed, number of learners and day give the same tasks: write the seed on the sheet.
"""
TOLERANCE = "10 %"


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    listed = "\n".join(f"  {one:<9} {line}" for one, line in WHAT.items())
    about = f"Prepare a skills lab.\n\nwhat:\n{listed}"
    parser = command_parser(commands, "lab", _EXAMPLES, about)
    parser.add_argument("what", choices=WHAT, metavar="WHAT", help="one of those above")
    parser.add_argument("form", nargs="?", default="", help="forms and proves: the id of a form")
    parser.add_argument("--seed", default="", help="tasks, key, supplies, pack: a short text that the set is drawn by")
    parser.add_argument(
        "--learners", default="", metavar="NUMBER", help="tasks, key, supplies, pack: how many there are"
    )
    parser.add_argument(
        "--at", default="", metavar="TIME", help='the moment they are set for: "2026-03-02 13:00"; now without it'
    )
    parser.add_argument("--zone", default="", help="the time zone by name, where it is not this machine's")
    parser.add_argument("--no-stops", action="store_true", help="without a task whose right answer is to stop")
    lab_pack.add(parser)
    parser.add_argument("--attempts", default="3", metavar="NUMBER", help="proves: attempts allowed (3)")
    parser.add_argument("--floor", default="80", metavar="PERCENT", help="proves: least percent of the form (80)")
    parser.add_argument("--tolerance", default=TOLERANCE, metavar="SHARE", help="proves: of the volume (10 %%)")
    parser.add_argument(
        "--volume",
        default="weighed",
        choices=[one.name.lower().replace("_", "-") for one in VolumeBy],
        help="proves: how it is shown",
    )


def run(args: argparse.Namespace) -> int:
    """Write what was asked for. Exit status 0."""
    if args.what == "forms":
        _forms(args)
    elif args.what == "proves":
        _proves(args)
    else:
        made = _set(args)
        if args.what == "pack":
            lab_pack.write_pack(args, made)
        elif args.json:
            write_json(supplies_data(made) if args.what == "supplies" else set_data(made, key=args.what == "key"))
        else:
            write_lines({"tasks": task_lines, "key": key_lines, "supplies": supply_lines}[args.what](made))
    return 0


def _set(args: argparse.Namespace) -> TaskSet:
    at = zone(args.zone)
    moment = read_moment(args.at, at, "at") if args.at else now(at)
    return task_set(args.seed, _whole(args.learners, "learners"), moment, stops=not args.no_stops)


def _whole(text: str, field: str) -> int:
    """A whole number. Refused for anything else; what it may be, the one who takes it says."""
    if not (text.isascii() and text.isdigit() and len(text) <= 6):
        raise Refused([Fault(field=field, rule="a whole number is needed", came=text, accepted="24")])
    return int(text)


def _forms(args: argparse.Namespace) -> None:
    if args.form:
        form = shipped_form(args.form)
        if args.json:
            write_json({**form_data(form), "version": form.version})
        else:
            write_lines(form_lines(form))
    elif args.json:
        write_json({"forms": [_form_row(one) for one in shipped()]})
    else:
        write_lines(_form_list())


def _form_row(form: Form) -> dict[str, object]:
    return {
        "id": form.id,
        "title": form.title,
        "container": container_word(form.container),
        "version": form.version,
        "steps": len(form.shown),
        "critical": len(form.critical),
    }


def _form_list() -> Iterator[str]:
    for one in shipped():
        yield f"{one.id:<22} {one.title}: {len(one.shown)} steps, {len(one.critical)} critical, version {one.version[:8]}"


def _proves(args: argparse.Namespace) -> None:
    form = shipped_form(args.form or shipped()[0].id)
    rule, tolerance = _rule(args), _share(args.tolerance)
    found = proves(rule, form, tolerance)
    if args.json:
        write_json(_proof_data(found, rule, form))
    else:
        write_lines(proof_lines(found, rule, form))


def _rule(args: argparse.Namespace) -> Rule:
    return Rule(
        id="asked",
        title="The rule asked about",
        attempts=_whole(args.attempts, "attempts"),
        percent_floor=read_number(args.floor, field="floor", manner=Manner.READING),
        volume=VolumeBy[args.volume.upper().replace("-", "_")],
    )


def _share(text: str) -> Fraction:
    found = read_quantity(text, field="tolerance", manner=Manner.READING)
    if found.unit != unit("%"):
        raise Refused([Fault(field="tolerance", rule="a share is wanted", came=text, accepted=TOLERANCE)])
    return found.base


def _proof_data(found: Proof, rule: Rule, form: Form) -> dict[str, object]:
    return {
        "schema": "drawndose.proof/1",
        "form": {"id": form.id, "version": form.version},
        "rule": rule_data(rule),
        "tolerance": str(found.tolerance),
        "novice": {"passes": found.novice.passes, "by_attempt": list(found.novice.by_attempt)},
        "expert": {"passes": found.expert.passes, "by_attempt": list(found.expert.by_attempt)},
        "cautions": list(found.cautions),
    }
