"""`drawndose catalogue`: drugs, containers, instruments, rules and mixtures, each with its source and how surely it was read."""

import argparse
from collections.abc import Iterator

from drawndose.cli import Commands, command_parser
from drawndose.cli.instrument_list import instrument_lines, instrument_list_data
from drawndose.cli.mixing import write_mixing
from drawndose.cli.output import write_json, write_lines
from drawndose.cli.plan_text import origin_words
from drawndose.cli.rules import write_rules
from drawndose.quantities import Fault, Refused, nearest, quantity_data, show, show_about
from drawndose.reference import Catalogue, Presentation, load

_EXAMPLES = """\
  drawndose catalogue                          every container, a line each
  drawndose catalogue albuterol                the containers of one drug
  drawndose catalogue albuterol-0.5pct-bottle-20ml    everything printed on one, with sources
  drawndose catalogue instruments              measures, cups, needles, unit doses, balances
  drawndose catalogue rules                    published rules of safe practice, and where issuers disagree
  drawndose catalogue rules vial-28-days       one of them, with its sources and what keeps it
  drawndose catalogue mixing albuterol cromolyn    two or three drugs in one cup: the verdict, and who says so
  drawndose catalogue pentamidine --json
"""


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Look up what is printed on containers and instruments, and which rules are published, and where."
    parser = command_parser(commands, "catalogue", _EXAMPLES, about)
    parser.add_argument(
        "what",
        nargs="?",
        default="",
        help="a drug, the id of a container, instruments, rules or mixing; without it, all",
    )
    parser.add_argument(
        "which",
        nargs="*",
        help="after rules: a section, or the id of a rule or of a disagreement; after mixing: up to three drugs or containers",
    )


def run(args: argparse.Namespace) -> int:
    """Look up and write. Exit status 0."""
    book = load()
    what = args.what.strip().lower()
    if what == "mixing":
        write_mixing(book, args.which, as_json=args.json)
        return 0
    if what == "rules" and len(args.which) < 2:
        write_rules(book, "".join(args.which).strip().lower(), as_json=args.json)
        return 0
    if args.which:
        came, accepted = " ".join(args.which), "one more word after rules, up to three after mixing"
        raise Refused([Fault(field="catalogue", rule="one thing at a time", came=came, accepted=accepted)])
    if what == "instruments":
        _write_instruments(book, args.json)
        return 0
    found = _found(what, book)
    if args.json:
        write_json({"schema": "drawndose.catalogue/1", "presentations": [_data(one) for one in found]})
    elif len(found) == 1 and found[0].id == what:
        write_lines(_whole(found[0], book))
    else:
        write_lines(_line(one) for one in found)
    return 0


def _found(what: str, book: Catalogue) -> tuple[Presentation, ...]:
    if not what:
        return book.presentations
    if what in book.names:
        return book.presentations_of(book.names[what][0])
    for one in book.presentations:
        if one.id == what:
            return (one,)
    known = [*(drug.name for drug in book.drugs), *(one.id for one in book.presentations)]
    accepted = nearest(what, known, "`drawndose catalogue`")
    raise Refused([Fault(field="catalogue", rule="neither a drug nor a container here", came=what, accepted=accepted)])


def _line(one: Presentation) -> str:
    sizes = ", ".join(show(size) for pack in one.packs if (size := pack.volume or pack.amount) is not None)
    return f"{one.id:42} {one.container.value:18} {sizes:24} {one.name}"


def _whole(one: Presentation, book: Catalogue) -> Iterator[str]:
    """Everything of one container, each value with where it is printed."""
    yield one.name
    yield f"  id          {one.id}"
    yield f"  container   {one.container.value}, {'multi-dose' if one.multi_dose else 'single dose'}"
    yield f"  label       {one.label.says}  [{origin_words(one.label.origin, book)}]"
    for active in one.actives:
        yield f"  strength    {active.printed}, counted as {active.moiety}  [{origin_words(active.origin, book)}]"
        if active.disagreement:
            yield f"              {active.disagreement}"
    for carried in one.carries:
        amount = carried.strength.ratio if carried.strength is not None else carried.amount
        told = f" {show_about(amount)}" if amount is not None else ""
        yield f"  {carried.role:11} {carried.substance}{told}  [{origin_words(carried.origin, book)}]"
    if one.dilution is not None:
        yield f"  dilution    {one.dilution.says}  [{origin_words(one.dilution.origin, book)}]"
    if one.reconstitution is not None:
        made_up = one.reconstitution
        yield f"  make up     {show(made_up.add)} of {', '.join(made_up.diluents)}  [{origin_words(made_up.origin, book)}]"
    for life in one.lives:
        when = f", {life.when}" if life.when else ""
        yield f"  life        {life.after}: {life.lasts}{when}  [{origin_words(life.origin, book)}]"
    for dose in one.doses:
        yield f"  dose        {dose.population}, {dose.purpose}: {dose.says}  [{origin_words(dose.origin, book)}]"
    for note in one.notes:
        yield f"  {note.topic:11} {note.says}  [{origin_words(note.origin, book)}]"


def _data(one: Presentation) -> dict[str, object]:
    return {
        "id": one.id,
        "drugs": list(one.drugs),
        "name": one.name,
        "container": one.container.value,
        "multi_dose": one.multi_dose,
        "by_nebulizer": one.by_nebulizer.value,
        "packs": [quantity_data(size) for pack in one.packs if (size := pack.volume or pack.amount) is not None],
        "actives": [
            {"moiety": active.moiety, "printed": active.printed, "strength": quantity_data(active.strength.ratio)}
            for active in one.actives
        ],
        "notes": [{"topic": note.topic, "says": note.says, "how": note.origin.how.value} for note in one.notes],
    }


def _write_instruments(book: Catalogue, as_json: bool) -> None:
    if as_json:
        write_json(instrument_list_data(book))
    else:
        write_lines(instrument_lines(book))
