"""`drawndose plan`: from an order and what stands on the bench to a plan."""

import argparse
import re
from collections.abc import Callable
from datetime import datetime
from typing import TypeVar

from drawndose.bench.in_hand import InHand, every_pack
from drawndose.bench.order import Order, read_fields, read_order
from drawndose.bench.plan_data import plan_data
from drawndose.bench.plans import Plan, Status, plan
from drawndose.bench.policy import Policy
from drawndose.cli import Commands, command_parser
from drawndose.cli.instruments import own_instruments
from drawndose.cli.output import write_json, write_lines
from drawndose.cli.plan_text import plan_lines
from drawndose.cli.sure import add_settings, sureness
from drawndose.quantities import Fault, Manner, Quantity, Refused, gather, read_quantity, show
from drawndose.reference import Catalogue, Cup, Instrument, Presentation, load

_EXAMPLES = """\
  drawndose plan "albuterol 2.5 mg by nebulizer, made up to 3 mL" --have albuterol-0.5pct-bottle-20ml
  drawndose plan "levalbuterol 0.63 mg by nebulizer 3 times daily"
  drawndose plan "epinephrine 5 mg by nebulizer once" --have "epinephrine-1mg-1ml-ampoule x5" --cup cup-6
  drawndose plan "racepinephrine 2.25 % 0.05 mL/kg max 0.5 mL by nebulizer to 3 mL, 8 kg" --with syringe-1 --with syringe-3
  drawndose plan "colistimethate 1 million units by nebulizer to 3 mL with normal saline" --equivalence expert-society
  drawndose plan --field drug=albuterol --field dose="2 mg" --field route="by nebulizer" --json

--have takes the id of a presentation (see `drawndose catalogue DRUG`) and, after it, a fill size, a count, and what
is left in an opened one: "albuterol-0.5pct-bottle-20ml left 4 mL", "acetylcysteine-20pct 10 mL x2". Without --have
everything that the catalogue has for the drugs is taken to be there; diluents always are, unless --have names one.

exit status: 0 a plan that can be followed; 1 a question, a choice or a stop; 2 what came was not understood
"""
_HAVE = re.compile(
    r"(?P<id>\S+)(?:\s+(?P<pack>[0-9.]+ ?(?:mL|mg|g)))?(?:\s+x(?P<count>[0-9]{1,3}))?(?:\s+left (?P<left>[0-9.]+ ?mL))?",
    re.IGNORECASE,
)

Made = TypeVar("Made")


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Work out what to draw up, from an order and what is in hand. A planning and teaching aid."
    parser = command_parser(commands, "plan", _EXAMPLES, about)
    parser.add_argument("order", nargs="?", default="", help="the order as written, in quotes")
    parser.add_argument("--field", action="append", default=[], metavar="NAME=TEXT", help="the order in fields instead")
    parser.add_argument("--have", action="append", default=[], metavar="CONTAINER", help="a container on the bench")
    parser.add_argument(
        "--with", dest="tools", action="append", default=[], metavar="ID", help="an instrument on the bench"
    )
    parser.add_argument("--sure", action="store_true", help="add how sure the dose is: interval, chances, what matters")
    parser.add_argument(
        "--own", action="append", default=[], metavar="FILE", help="a TOML file of own instruments and cups"
    )
    parser.add_argument("--cup", default="", metavar="ID", help="the cup: cup-6, cup-8, cup-10, reservoir-240")
    parser.add_argument("--started", default="", metavar="TIME", help='when preparing began: "2026-11-25 14:05", 24 h')
    parser.add_argument(
        "--line",
        default="",
        metavar="VOLUME",
        help="accept this line, as the plan offers it: 1.4mL@CONTAINER/INSTRUMENT",
    )
    parser.add_argument(
        "--nearest-within", default="", metavar="SHARE", help="accept the nearest line up to this change: 2 %%"
    )
    parser.add_argument(
        "--equivalence", action="append", default=[], metavar="ID", help="which published equivalence is used"
    )
    parser.add_argument(
        "--start-within", default="", metavar="TIME", help="from start of preparing to start of giving: 4 h"
    )
    add_settings(parser)
    parser.add_argument(
        "--dry-needle",
        default="",
        metavar="ID",
        help="this needle is put on dry after each line is set: its loss is taken off",
    )


def run(args: argparse.Namespace) -> int:
    """Plan and write. Exit status 0 for a plan that can be followed, else 1."""
    book, faults = load(), _Faults()
    order = faults.take(lambda: _order(args, book))
    policy = faults.take(lambda: _policy(args))
    started = faults.take(lambda: _moment(args.started))
    tools = faults.take(lambda: _tools(args, book))
    have = faults.take(lambda: _containers(args.have, order, book))
    gather(faults.found)
    assert order is not None  # or the faults would have been raised
    made = plan(order, containers=have or (), instruments=tools or (), policy=policy, started=started, catalogue=book)
    told = _sure(made, args, book) if args.sure and made.status is Status.READY else ()
    if args.json:
        write_json(plan_data(made) | ({"how_sure": list(told)} if args.sure else {}))
    else:
        write_lines((*plan_lines(made, book), *(("", "how sure", *(f"  {line}" for line in told)) if told else ())))
    return 0 if made.status is Status.READY else 1


def _sure(made: Plan, args: argparse.Namespace, book: Catalogue) -> tuple[str, ...]:
    """How sure the doses are, in sentences."""
    found = sureness(made, args, book)
    return (*(line for take in found.takes for line in take.says), *([found.says] if found.says else ()))


class _Faults:
    """Every fault of the whole command, so that one answer names them all."""

    def __init__(self) -> None:
        self.found: list[Fault] = []

    def take(self, make: Callable[[], Made]) -> Made | None:
        """What is made, or None with its faults kept."""
        try:
            return make()
        except Refused as refused:
            self.found += refused.faults
            return None


def _order(args: argparse.Namespace, book: Catalogue) -> Order:
    if not args.field:
        return read_order(args.order, catalogue=book)
    if args.order:
        rule = "the order comes as a text or in fields, not both"
        raise Refused([Fault(field="order", rule=rule, came=args.order, accepted="one of them")])
    fields = dict(one.partition("=")[::2] for one in args.field)
    return read_fields(fields, catalogue=book)


def _policy(args: argparse.Namespace) -> Policy:
    settings: dict[str, object] = {"equivalences": tuple(args.equivalence)}
    if args.line:
        line, _, on = args.line.partition("@")
        settings["accepted_line"] = _volume(line, "line").to("mL").value
        settings["accepted_on"] = on.strip()
    if args.nearest_within:
        share = read_quantity(args.nearest_within, field="nearest-within", manner=Manner.READING)
        if share.dimension:
            rule = "a share is wanted"
            raise Refused([Fault(field="nearest-within", rule=rule, came=args.nearest_within, accepted="2 %")])
        settings["nearest_line_within"] = share.base
    if args.start_within:
        settings["start_within"] = read_quantity(args.start_within, field="start-within", manner=Manner.READING)
    return Policy(**settings)  # type: ignore[arg-type]


def _volume(text: str, field: str) -> Quantity:
    volume = read_quantity(text, field=field, manner=Manner.READING)
    if volume.dimension != (("volume", 1),):
        raise Refused([Fault(field=field, rule="a volume is wanted", came=text, accepted="1.4 mL")])
    return volume


def _moment(text: str) -> datetime | None:
    if not text:
        return None
    try:
        return datetime.strptime(text, "%Y-%m-%d %H:%M")  # noqa: DTZ007 (the wall clock of the place of preparation)
    except ValueError:
        rule = "a time is a day and a time of 24 h"
        raise Refused([Fault(field="started", rule=rule, came=text, accepted="2026-11-25 14:05")]) from None


def _tools(args: argparse.Namespace, book: Catalogue) -> tuple[Instrument | Cup, ...]:
    own = [own_instruments(name) for name in args.own]
    by_id = {one.id: one for one in (*book.instruments, *(one for made in own for one in made.measures))}
    cups = {one.id: one for one in (*book.cups, *(one for made in own for one in made.cups))}
    faults = [
        Fault(field="with", rule="the instrument is not in the catalogue", came=one, accepted=", ".join(by_id))
        for one in args.tools
        if one not in by_id
    ]
    if args.cup and args.cup not in cups:
        faults.append(
            Fault(field="cup", rule="the cup is not in the catalogue", came=args.cup, accepted=", ".join(cups))
        )
    gather(faults)
    chosen = [by_id[one] for one in args.tools] or list(by_id.values())
    return (*chosen, *([cups[args.cup]] if args.cup else []))


def _containers(named: list[str], order: Order | None, book: Catalogue) -> tuple[InHand, ...]:
    """What --have names, with every diluent unless one is named; without it everything for the order's drugs."""
    if not named:
        drugs = dict.fromkeys(line.drug.id for line in order.lines) if order is not None else {}
        found = {one.id: one for drug in drugs for one in book.presentations_of(drug)}
        found |= {one.id: one for one in book.diluents}
        return every_pack(found.values())
    faults: list[Fault] = []
    have = [made for text in named for made in _have(text, book, faults)]
    gather(faults)
    if not any(one.presentation.diluent for one in have):
        have += every_pack(book.diluents)
    return tuple(have)


def _have(text: str, book: Catalogue, faults: list[Fault]) -> tuple[InHand, ...]:
    parts = _HAVE.fullmatch(text.strip())
    if parts is None:
        rule = "a container is an id, then a fill size, xN, and what is left"
        faults.append(Fault(field="have", rule=rule, came=text, accepted="acetylcysteine-20pct 10 mL x2"))
        return ()
    try:
        presentation = book.presentation(parts["id"])
    except KeyError:
        near = [one.id for one in book.presentations if one.id.split("-")[0] == parts["id"].split("-")[0]]
        accepted = ", ".join(near or [one.id for one in book.presentations])
        faults.append(
            Fault(field="have", rule="the container is not in the catalogue", came=parts["id"], accepted=accepted)
        )
        return ()
    return _packs(presentation, parts, text, faults)


def _packs(presentation: Presentation, parts: re.Match[str], text: str, faults: list[Fault]) -> tuple[InHand, ...]:
    wanted = read_quantity(parts["pack"], field="have") if parts["pack"] else None
    packs = [one for one in presentation.packs if wanted is None or wanted in (one.volume, one.amount)]
    if not packs:
        sizes = ", ".join(show(size) for one in presentation.packs if (size := one.volume or one.amount) is not None)
        faults.append(Fault(field="have", rule="it does not come in this size", came=text, accepted=sizes))
    count = int(parts["count"]) if parts["count"] else None
    left = read_quantity(parts["left"], field="have") if parts["left"] else None
    made: list[InHand] = []
    for pack in packs:
        try:
            made.append(InHand(presentation=presentation, pack=pack, count=count, left=left))
        except ValueError as error:
            faults.append(
                Fault(
                    field="have", rule=str(error), came=text, accepted="a count from 1, and no more left than it holds"
                )
            )
    return tuple(made)
