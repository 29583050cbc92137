"""`drawndose scan`: what a scanned code says, field by field, what it leaves open, and what is wrong with it."""

import argparse
import re
import sys
from collections.abc import Iterable, Iterator
from datetime import date, datetime
from pathlib import Path

from drawndose.bench.findings import Finding, Level
from drawndose.bench.plan_data import finding_data
from drawndose.bench.safeguards.scanned import Scanned, scan_findings
from drawndose.cli import Commands, command_parser
from drawndose.cli.output import answer_json, write_json, write_lines
from drawndose.cli.place import now, zone
from drawndose.cli.plan_text import CAUTION, finding_lines
from drawndose.quantities import Fault, Refused
from drawndose.reference import Catalogue, load
from drawndose.reference.codes import OwnProduct, Part, Reading, known, own, scan
from drawndose.reference.codes.dates import YEARS, told
from drawndose.reference.codes.elements import Element, printable
from drawndose.reference.codes.framing import spelled_out
from drawndose.reference.codes.meanings import last_use, says

_EXAMPLES = """\
  drawndose scan "]d201003123456789061727020010AB12{GS}21SN5"     as a scanner sends it; {GS} is the separator
  drawndose scan "(01)00312345678906(17)270600(10)AB12"           as it is printed below the symbol
  drawndose scan "https://id.gs1.org/01/00312345678906/10/AB12?17=270600"
  drawndose scan "0100312345678906" "1727060010AB12"              two codes on one item
  drawndose scan 12345-678-90                                     an NDC
  drawndose scan - < codes.txt                                    the codes of one item, a line each
  drawndose scan "]d2010031234567890610AB12" --own our-products.toml

The separator (ASCII 29) may come as itself, or be written {GS}, <GS>, ^] or \\x1d.
A file for --own has a table for each product: [[product]] with gtin, presentation, pack, by and when.
exit status: 0 read; 1 a stop: asked, expired, or not in the list; 2 what came was not understood
"""


def add(commands: "Commands[argparse.ArgumentParser]") -> None:
    """Add the parser of the command."""
    about = "Say what a scanned code holds, field by field. What can be read in several ways is asked, never guessed."
    parser = command_parser(commands, "scan", _EXAMPLES, about)
    parser.add_argument("codes", nargs="+", metavar="STRING", help="the codes of one item; - reads them, a line each")
    parser.add_argument("--own", default="", metavar="FILE", help="a TOML file of the department's own products")
    parser.add_argument("--today", default="", metavar="DAY", help="the day for expiry: 2026-11-25; today without it")
    parser.add_argument("--year", default="", help="the current year, for years of two digits; today's without it")
    parser.add_argument("--zone", default="", help="the time zone by name, where it is not this machine's")
    parser.add_argument(
        "--separators-sent", action="store_true", help="this scanner was tested: it sends the separator between fields"
    )


def run(args: argparse.Namespace) -> int:
    """Read and write. Exit status 1 with a stop."""
    moment = _day(args.today) if args.today else now(zone(args.zone))
    year = _year(args.year) if args.year else moment.year
    made = scan(list(_texts(args.codes)), year=year, separators_sent=args.separators_sent)
    book = load()
    products = _own(args.own, book) if args.own else ()
    scanned = Scanned(
        scan=made, year=year, moment=moment, listed=bool(args.own), product=_known(made.readings, products)
    )
    found = scan_findings(scanned)
    if args.json:
        write_json(_json(scanned, found))
    else:
        write_lines(_lines(scanned, found, book))
    return 1 if any(finding.level is Level.STOP for finding in found) else 0


def _texts(codes: list[str]) -> Iterator[str]:
    """Each code as it came, and for - the lines of standard input. Split at line ends only: ASCII 29 is no line end."""
    for code in codes:
        if code == "-":
            yield from (line for line in re.split(r"\r\n|\n|\r", sys.stdin.read()) if line.strip(" \t"))
        else:
            yield spelled_out(code)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        rule = "a day is year, month, day"
        raise Refused([Fault(field="today", rule=rule, came=text, accepted="2026-11-25")]) from error


def _year(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) == 4 and int(text) in YEARS):
        raise Refused([Fault(field="year", rule="a year has four digits", came=text, accepted="2026")])
    return int(text)


def _own(name: str, book: Catalogue) -> tuple[OwnProduct, ...]:
    try:
        text = Path(name).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        accepted = "a TOML file that can be read"
        raise Refused([Fault(field="own", rule=str(error), came=name, accepted=accepted)]) from error
    return own.read(text, Path(name).name, catalogue=book)


def _known(readings: Iterable[Reading], products: Iterable[OwnProduct]) -> OwnProduct | None:
    """The product, where every reading has the same GTIN and the list has it."""
    gtins = {reading.gtin for reading in readings}
    (gtin,) = gtins if len(gtins) == 1 else (None,)
    return known(gtin, products) if gtin is not None else None


def _lines(scanned: Scanned, found: Iterable[Finding], book: Catalogue) -> Iterator[str]:
    made = scanned.scan
    for part in made.parts:
        yield _head(part)
    for place, reading in enumerate(made.readings, start=1):
        if made.question is not None:
            yield ""
            yield f"reading {place} of {len(made.readings)}{' that are shown' if made.more else ''}"
        yield from _fields(reading, scanned.year)
    if scanned.product is not None:
        yield f"  product {_product(scanned.product)}"
    yield from finding_lines(found, book)
    yield ""
    yield CAUTION


def _head(part: Part) -> str:
    symbol = f"{part.symbology.id} {part.symbology.name}: " if part.symbology else ""
    beside = f"; not GS1's, and not used: {', '.join(part.beside)}" if part.beside else ""
    return f"{symbol}{part.kind.value}{beside}"


def _fields(reading: Reading, year: int) -> Iterator[str]:
    rows = [(f"({one.ai})", one.identifier.name, one.value, says(one, year=year)) for one in reading.elements]
    if reading.ndc is not None:
        layout = "-".join(map(str, reading.ndc.layout))
        rows.append(("", "NDC", str(reading.ndc), f"layout {layout}: labeler, product, package"))
    widths = [max((len(row[column]) for row in rows), default=0) for column in range(3)]
    for row in rows:
        cells = (f"{cell:{width}}" for cell, width in zip(row, widths, strict=False))
        yield f"  {'  '.join(cells)}  {row[3]}".rstrip()


def _product(product: OwnProduct) -> str:
    size = own.size(product.pack)
    return (
        f"{product.presentation.name}, {size} ({product.presentation.id}); said by {product.by}, {told(product.when)}"
    )


def _json(scanned: Scanned, found: Iterable[Finding]) -> dict[str, object]:
    """parts, question, more, readings, answer (or null), product (or null), findings."""
    made = scanned.scan
    return {
        "schema": "drawndose.scan/1",
        "parts": [
            {
                "came": part.came,
                "shown": printable(part.came),
                "symbology": part.symbology.id if part.symbology else None,
                "kind": part.kind.value,
                "beside": list(part.beside),
            }
            for part in made.parts
        ],
        "question": made.question.value if made.question else None,
        "more": made.more,
        "readings": [_reading_json(reading, scanned.year) for reading in made.readings],
        "answer": _reading_json(made.answer, scanned.year) if made.answer else None,
        "product": _product_json(scanned.product) if scanned.product else None,
        "findings": [finding_data(finding) for finding in found],
    }


def _reading_json(reading: Reading, year: int) -> dict[str, object]:
    expiry = last_use(reading.elements, year=year)
    return {
        "text": str(reading),
        "elements": [_element_json(one, year) for one in reading.elements],
        "ndc": str(reading.ndc) if reading.ndc else None,
        "expiry": {**answer_json(expiry), "text": told(expiry)} if expiry else None,
    }


def _element_json(one: Element, year: int) -> dict[str, str]:
    return {"ai": one.ai, "name": one.identifier.name, "value": one.value, "says": says(one, year=year)}


def _product_json(product: OwnProduct) -> dict[str, str]:
    when = (
        product.when.isoformat(timespec="minutes") if isinstance(product.when, datetime) else product.when.isoformat()
    )
    return {
        "gtin": product.gtin,
        "presentation": product.presentation.id,
        "pack": own.size(product.pack),
        "by": product.by,
        "when": when,
    }
