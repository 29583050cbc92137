"""`drawndose plan`: from an order and what stands on the bench to a plan."""

import argparse
from collections.abc import Callable
from typing import TypeVar
from zoneinfo import ZoneInfo

from drawndose.bench.in_hand import InHand, every_pack
from drawndose.bench.kept import Tool
from drawndose.bench.moments import read_moment
from drawndose.bench.order import Order, read_fields, read_order
from drawndose.bench.plan_data import plan_data
from drawndose.bench.plans import Plan, Status, plan
from drawndose.bench.policy import Policy
from drawndose.bench.scales import called
from drawndose.cli import Commands, command_parser
from drawndose.cli.have import read_containers
from drawndose.cli.instruments import own_instruments
from drawndose.cli.life import add_life_settings, add_place_settings, life_settings, place_settings
from drawndose.cli.output import write_json, write_lines
from drawndose.cli.person import add_person, with_person
from drawndose.cli.place import UTC_ZONE, zone
from drawndose.cli.plan_text import plan_lines
from drawndose.cli.sure import add_settings, sureness
from drawndose.quantities import Fault, Manner, Quantity, Refused, gather, read_quantity
from drawndose.reference import Catalogue, Instrument, load

_EXAMPLES = """\
  drawndose plan "albuterol 2.5 mg by nebulizer, made up to 3 mL" --have albuterol-0.5pct-bottle-20ml
  drawndose plan "levalbuterol 0.63 mg by nebulizer 3 times daily"
  drawndose plan "epinephrine 5 mg by nebulizer once" --have "epinephrine-1mg-1ml-ampoule x5" --cup cup-6
  drawndose plan "racepinephrine 2.25 % 0.05 mL/kg max 0.5 mL by nebulizer to 3 mL, 8 kg" --with syringe-1 --with syringe-3
  drawndose plan "colistimethate 1 million units by nebulizer to 3 mL with normal saline" --equivalence expert-society
  drawndose plan --field drug=albuterol --field dose="2 mg" --field route="by nebulizer" --json

--have takes a container as `drawndose check --help` describes it; what is read on it needs --started. Without --have
everything that the catalogue has for the drugs is taken to be there; diluents always are, unless --have names one.

--with takes the id of an instrument or a needle, or a name with its scale and tip: "1 mL syringe marked every 0.01 mL, oral
tip". "1 mL syringe" alone is asked back: a capacity tells no scale. The less usual scales and cylinders stand there only so.

exit status: 0 a plan that can be followed; 1 a question, a choice or a stop; 2 what came was not understood
"""

Made = TypeVar("Made")


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Work out what to draw up, from an order and what is in hand. A planning and teaching aid."
    parser = command_parser(commands, "plan", _EXAMPLES, about)
    parser.add_argument("order", nargs="?", default="", help="the order as written, in quotes")
    parser.add_argument("--field", action="append", default=[], metavar="NAME=TEXT", help="the order in fields instead")
    parser.add_argument("--have", action="append", default=[], metavar="CONTAINER", help="a container on the bench")
    parser.add_argument(
        "--with", dest="tools", action="append", default=[], metavar="NAME", help="an instrument or needle on the bench"
    )
    parser.add_argument("--sure", action="store_true", help="add how sure the dose is: interval, chances, what matters")
    parser.add_argument(
        "--aerosol", action="store_true", help="add what the fill will do in its nebulizer: time, what comes out"
    )
    parser.add_argument(
        "--own", action="append", default=[], metavar="FILE", help="a TOML file of own instruments and cups"
    )
    parser.add_argument("--cup", default="", metavar="ID", help="the cup: cup-6, cup-8, cup-10, reservoir-240")
    parser.add_argument("--started", default="", metavar="TIME", help='when preparing began: "2026-11-25 14:05", 24 h')
    add_person(parser)
    parser.add_argument("--zone", default="", help="the time zone by name, where it is not this machine's")
    add_life_settings(parser)
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
    add_place_settings(parser)
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
    order = faults.take(lambda: with_person(_order(args, book), args, book))
    policy = faults.take(lambda: _policy(args))
    at = faults.take(lambda: zone(args.zone)) or UTC_ZONE
    started = faults.take(lambda: read_moment(args.started, at, "started") if args.started else None)
    tools = faults.take(lambda: _tools(args, book))
    have = faults.take(lambda: _containers(args.have, order, book, at))
    gather(faults.found)
    assert order is not None  # or the faults would have been raised
    made = plan(order, containers=have or (), instruments=tools or (), policy=policy, started=started, catalogue=book)
    ready = made.status is Status.READY
    told = _sure(made, args, book) if args.sure and ready else ()
    runs = _aerosol(made, args) if args.aerosol and ready else ()
    if args.json:
        more = ({"how_sure": list(told)} if args.sure else {}) | ({"aerosol": list(runs)} if args.aerosol else {})
        write_json(plan_data(made) | more)
    else:
        sections = {"how sure": told, "in the nebulizer": runs}
        after = (("", name, *(f"  {line}" for line in lines)) for name, lines in sections.items() if lines)
        write_lines((*plan_lines(made, book), *(line for section in after for line in section)))
    return 0 if made.status is Status.READY else 1


def _sure(made: Plan, args: argparse.Namespace, book: Catalogue) -> tuple[str, ...]:
    """How sure the doses are, in sentences."""
    found = sureness(made, args, book)
    return (*(line for take in found.takes for line in take.says), *([found.says] if found.says else ()))


def _aerosol(made: Plan, args: argparse.Namespace) -> tuple[str, ...]:
    """What the fill will do in its nebulizer, in sentences; an own nebulizer of that kind stands before the kind."""
    from drawndose.science.aerosol.planned import for_plan

    found = for_plan(made, own=[one for name in args.own for one in own_instruments(name).nebulizers])
    return (*found.says, *(f"{one.level.value.upper()}  {one.says} {one.do}" for one in found.findings))


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
    settings: dict[str, object] = {"equivalences": tuple(args.equivalence), **life_settings(args)}
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
    return Policy(**settings, **place_settings(args))  # type: ignore[arg-type]


def _volume(text: str, field: str) -> Quantity:
    volume = read_quantity(text, field=field, manner=Manner.READING)
    if volume.dimension != (("volume", 1),):
        raise Refused([Fault(field=field, rule="a volume is wanted", came=text, accepted="1.4 mL")])
    return volume


def _tools(args: argparse.Namespace, book: Catalogue) -> tuple[Tool, ...]:
    """What --with names, by id or by a name that says its scale; every usual measure and the own ones where it names none."""
    own = [own_instruments(name) for name in args.own]
    measures = (*book.measures, *(one for made in own for one in made.measures))
    needles = {one.id: one for one in (*book.needles, *(one for made in own for one in made.needles))}
    cups = {one.id: one for one in (*book.cups, *(one for made in own for one in made.cups))}
    faults: list[Fault] = []
    found: list[Tool] = []
    for name in args.tools:
        try:
            found.append(needles.get(name) or called(name, measures))
        except Refused as refused:
            faults += refused.faults
    if args.cup and args.cup not in cups:
        faults.append(
            Fault(field="cup", rule="the cup is not in the catalogue", came=args.cup, accepted=", ".join(cups))
        )
    gather(faults)
    usual = () if any(isinstance(one, Instrument) for one in found) else (one for one in measures if not one.only_named)
    beside = [one for made in own for one in (*made.unit_doses, *made.excess)]
    return (*found, *usual, *beside, *([cups[args.cup]] if args.cup else []))


def _containers(named: list[str], order: Order | None, book: Catalogue, at: ZoneInfo) -> tuple[InHand, ...]:
    """What --have names, with every diluent unless one is named; without it everything for the order's drugs."""
    if not named:
        drugs = dict.fromkeys(line.drug.id for line in order.lines) if order is not None else {}
        found = {one.id: one for drug in drugs for one in book.presentations_of(drug)}
        found |= {one.id: one for one in book.diluents}
        return every_pack(found.values())
    have = read_containers(named, book, at)
    return have if any(one.presentation.diluent for one in have) else (*have, *every_pack(book.diluents))
