"""The work behind `drawndose aerosol`: words of the command line into set-ups and boxes, and the answers out of science."""

import argparse
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from drawndose.bench.drawing import Figure, alone
from drawndose.bench.moments import read_moment
from drawndose.cli import aerosol_text as text
from drawndose.cli.aerosol_text import Told
from drawndose.cli.instruments import own_instruments
from drawndose.cli.place import zone
from drawndose.quantities import Fault, Gathering, Refused
from drawndose.reference import Nebulizer
from drawndose.science.aerosol.boxes import read_setup
from drawndose.science.aerosol.hours import read_hours, read_pump_fed
from drawndose.science.aerosol.measured import as_toml
from drawndose.science.aerosol.outcome import outcome
from drawndose.science.aerosol.pictures import beside_picture, pictures
from drawndose.science.aerosol.settle import read_settled
from drawndose.science.aerosol.setup import SetUp
from drawndose.science.aerosol.supply import read_supply
from drawndose.science.aerosol.trials import SEED
from drawndose.science.aerosol.weigh_boxes import read_weighings

VERSUS = "versus"
MOST_BESIDE = 2


def work(args: argparse.Namespace) -> Told:
    """The answer to one command. Refused with every fault."""
    own = tuple(one for name in args.own for one in own_instruments(name).nebulizers)
    if args.what == "kinds":
        return text.kinds(own)
    if args.what in {"run", "fills"}:
        return _set_up(args, own)
    if args.what == "weigh":
        return _weigh(args, own)
    boxes = _boxes(args.words)
    if args.what == "hours":
        begins = read_moment(args.begins, zone(args.zone), "begins") if args.begins else None
        hours = read_hours(boxes, begins)
        return text.rows("hours", hours.rows, hours.says, hours.findings)
    if args.what == "pump":
        pump = read_pump_fed(boxes)
        return text.rows("pump", pump.rows, (), pump.findings)
    if args.what == "settle":
        settled = read_settled(boxes)
        picture = settled.picture("aerosol-settle")
        if args.pictures:
            _write(args.pictures, [picture], args.light)
        return text.settled(settled, picture)
    supply = read_supply(boxes, own)
    return text.rows("gas", supply.rows, (), supply.findings)


def _set_up(args: argparse.Namespace, own: Sequence[Nebulizer]) -> Told:
    seed = _seed(args.seed)
    setups = _setups(args.words, own)
    if args.what == "fills":
        if len(setups) > 1:
            raise Refused([Fault(field="set-up", rule="one set-up is changed", came=VERSUS, accepted="one set-up")])
        return text.fills(setups[0], seed)
    found = [outcome(one, seed=seed) for one in setups]
    drawn: list[Figure] = []
    if args.pictures or args.json:
        drawn = [picture for place, one in enumerate(found) for picture in pictures(one, f"aerosol-{place + 1}")]
        drawn += [beside_picture(found[0], found[1], "aerosol-beside")] if len(found) == MOST_BESIDE else []
    if args.pictures:
        _write(args.pictures, drawn, args.light)
    return text.outcomes(found, drawn)


def _setups(words: Sequence[str], own: Sequence[Nebulizer]) -> list[SetUp]:
    """One set-up, or two; the faults of both together."""
    parts: list[list[str]] = [[]]
    for word in words:
        if word == VERSUS:
            parts.append([])
        else:
            parts[-1].append(word)
    if len(parts) > MOST_BESIDE:
        rule = "two set-ups are set beside one another"
        raise Refused([Fault(field="set-up", rule=rule, came=str(len(parts)), accepted="one or two")])
    gathering = Gathering()
    made = []
    for part in parts:
        setup = gathering.take(partial(read_setup, part, own))
        if setup is not None:
            made.append(setup)
    if gathering.faults:
        raise Refused(gathering.faults)
    return made


def _weigh(args: argparse.Namespace, own: Sequence[Nebulizer]) -> Told:
    runs = [word for word in args.words if "=" not in word]
    nebulizer, found = read_weighings(runs, _boxes([word for word in args.words if "=" in word]), own)
    table = as_toml(found, args.id, nebulizer.kind.value, args.source, args.at)
    return text.measured(nebulizer, found, table)


def _boxes(words: Sequence[str]) -> dict[str, str]:
    """NAME=TEXT words as boxes."""
    faults: list[Fault] = []
    boxes: dict[str, str] = {}
    for word in words:
        name, sign, said = word.partition("=")
        if not sign or name in boxes:
            rule = "NAME=TEXT is wanted, each name once"
            faults.append(Fault(field=name[:40], rule=rule, came=word[:60], accepted='"rate=10 mg/h"'))
        boxes[name] = said
    if faults:
        raise Refused(faults)
    return boxes


def _seed(said: str) -> int:
    if not said:
        return SEED
    if not (said.isascii() and said.isdecimal() and len(said) <= 9):
        rule = "a seed is a whole number"
        raise Refused([Fault(field="seed", rule=rule, came=said, accepted=str(SEED))])
    return int(said)


def _write(folder: str, drawn: Sequence[Figure], light: str) -> None:
    try:
        Path(folder).mkdir(parents=True, exist_ok=True)
        for one in drawn:
            Path(folder, f"{one.ident}.svg").write_text(alone(one, light), encoding="utf-8")
    except OSError as error:
        accepted = "a folder that can be written to"
        raise Refused([Fault(field="pictures", rule=str(error), came=folder, accepted=accepted)]) from error
