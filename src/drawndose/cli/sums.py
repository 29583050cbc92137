"""`drawndose sums`: list the kinds, say what one takes, or work one."""

import argparse

from drawndose.bench.sums import KINDS, Input, Sum, Worked, work
from drawndose.cli import Commands, command_parser
from drawndose.cli.output import answer_json, answer_text, write_json, write_lines
from drawndose.quantities import Fault, Refused

_EXAMPLES = """\
  drawndose sums                                            every kind of sum
  drawndose sums dose_to_volume                             what this kind takes
  drawndose sums dose_to_volume dose="2.5 mg" strength="0.5 %"
  drawndose sums weight_based_dose dose_rate="0.15 mg/kg" weight="20 kg" maximum="5 mg"
  drawndose sums drops drops=10 strength="5 mg/mL" drops_per_mL=20 --json
"""


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    parser = command_parser(commands, "sums", _EXAMPLES, "Show a sum worked line by line, and the ways it goes wrong.")
    parser.add_argument("kind", nargs="?", default="", help="the kind of sum; without one every kind is listed")
    parser.add_argument("inputs", nargs="*", metavar="NAME=VALUE", help="what is given, with its unit")
    parser.add_argument("--drug", default="", help="what the amounts are of")
    parser.add_argument(
        "--asked", default="", metavar="WORDS", help="what is asked, where a kind can answer several things"
    )


def run(args: argparse.Namespace) -> int:
    """List, describe or work. Exit status 0."""
    if not args.kind:
        _list(args.json)
        return 0
    if args.kind in KINDS and not args.inputs:
        _describe(KINDS[args.kind], args.json)
        return 0
    worked = work(args.kind, _given(args.inputs), drug=args.drug, asked=args.asked)
    if args.json:
        write_json(worked_json(worked))
    else:
        write_lines(_worked_lines(KINDS[args.kind], worked))
    return 0


def _given(pairs: list[str]) -> dict[str, str]:
    """NAME=VALUE words as a table; all faults together."""
    given: dict[str, str] = {}
    faults: list[Fault] = []
    for pair in pairs:
        name, equals, value = pair.partition("=")
        if not equals or not name or not value.strip():
            rule = "an input is a name, an equals sign and a value"
            faults.append(Fault(field="input", rule=rule, came=pair, accepted='dose="2.5 mg"'))
        elif name in given:
            faults.append(Fault(field=name, rule="it came twice", came=pair, accepted="once"))
        else:
            given[name] = value
    if faults:
        raise Refused(faults)
    return given


def worked_json(worked: Worked) -> dict[str, object]:
    """A worked sum: kind, asked, answer, results by name, lines, wrong_ways."""
    return {
        "kind": worked.kind,
        "asked": worked.asked,
        "answer": answer_json(worked.answer),
        "results": {
            one.name: {"says": one.says, **answer_json(one.value), "also": [answer_json(form) for form in one.also]}
            for one in worked.results
        },
        "lines": list(worked.lines),
        "wrong_ways": [
            {"name": one.name, "says": one.says, "answer": answer_json(one.answer)} for one in worked.wrong_ways
        ],
    }


def _worked_lines(this: Sum, worked: Worked) -> list[str]:
    lines = [this.title, *(f"  {line}" for line in worked.lines)]
    for place, one in enumerate(worked.results):
        also = "".join(f", or {answer_text(form)}" for form in one.also)
        lines.append(f"{'Answer' if place == 0 else 'Also'}, {one.says}: {answer_text(one.value)}{also}")
    if worked.wrong_ways:
        lines.append("Ways it goes wrong:")
        lines += [f"  {answer_text(one.answer)}: {one.name} ({one.says})" for one in worked.wrong_ways]
    return lines


def _input_json(one: Input) -> dict[str, object]:
    return {"name": one.name, "meaning": one.meaning, "accepts": one.accepts, "also": list(one.also)}


def _sum_json(this: Sum) -> dict[str, object]:
    inputs = [_input_json(one) for one in this.inputs]
    return {"kind": this.kind, "title": this.title, "asks": this.asks, "inputs": inputs}


def _list(as_json: bool) -> None:
    if as_json:
        write_json({"sums": [_sum_json(this) for this in KINDS.values()]})
        return
    width = max(len(kind) for kind in KINDS)
    write_lines([f"{kind:{width}}  {this.title}: {this.asks}" for kind, this in KINDS.items()])


def _describe(this: Sum, as_json: bool) -> None:
    if as_json:
        write_json(_sum_json(this))
        return
    lines = [f"{this.title}: finds {this.asks}. It takes, as far as they are needed:"]
    for one in this.inputs:
        also = f" (also {', '.join(one.also)})" if one.also else ""
        lines.append(f"  {one.name}: {one.meaning}; such as {one.accepts}{also}")
    write_lines(lines)
