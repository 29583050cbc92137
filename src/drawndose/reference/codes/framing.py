"""What a scanner sends around the data: the symbology identifier before it, the separators inside, line ends after it.

A separator (FNC1 in the symbol) comes as ASCII 29. Where text cannot hold that, it is written {GS}, ^] (the keys Ctrl and ]),
\\x1d or \\u001d, none of which any value can hold. <GS> is written too, but its four characters are of the 82 that a lot
may hold, so only a door that knows that a person typed it replaces it (`spelled_out`).

Sources: GS1 General Specifications (symbology identifiers, separator), secondary; each line of data/symbologies.toml.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum
from functools import cache
from importlib.resources import files

from drawndose.quantities import Fault, Refused, gather
from drawndose.reference.codes.elements import SEPARATOR, printable
from drawndose.reference.provenance import How, Origin, Source, take_origin, take_source
from drawndose.reference.table import Table

MOST_CHARACTERS = 2500
"""More than any symbol on a drug's container holds."""

UNKNOWN_SYMBOLOGY = "the symbology identifier is not known here"
TOO_LONG = "the text is longer than a code"
NOTHING = "nothing was scanned"
_BLANKS = " \t\r\n"
_WRITTEN = re.compile(r"\{GS\}|\^\]|\\x1d|\\u001d|\u241d", re.IGNORECASE | re.ASCII)


class Carries(Enum):
    """What the data of a symbology are."""

    ELEMENT_STRINGS = "element strings"
    GTIN = "gtin"
    ADD_ON = "add-on"
    PLAIN = "plain"


@dataclass(frozen=True, slots=True, kw_only=True)
class Symbology:
    """A symbology identifier, its name, what it carries, and for a GTIN the lengths in which it may come."""

    id: str
    name: str
    carries: Carries
    digits: tuple[int, ...]
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Data out of their frame. symbology: None when the scanner sends none. marked: a separator stood first (FNC1 as sent)."""

    symbology: Symbology | None
    marked: bool
    data: str


def read(text: str) -> Frame:
    """Take the frame off. Refused for nothing, for too much, and for a symbology identifier that is not known."""
    if len(text) > MOST_CHARACTERS:
        accepted = f"at most {MOST_CHARACTERS} characters"
        raise Refused([Fault(field="code", rule=TOO_LONG, came=printable(text), accepted=accepted)])
    data = _WRITTEN.sub(SEPARATOR, text.strip(_BLANKS))
    symbology = None
    if data.startswith("]"):
        symbology = symbologies().get(data[:3])
        if symbology is None:
            accepted = f"{', '.join(symbologies())}; or the code without one"
            fault = Fault(field="code", rule=UNKNOWN_SYMBOLOGY, came=printable(data[:3]), accepted=accepted)
            raise Refused([fault])
        data = data[3:]
    marked = data.startswith(SEPARATOR)
    data = data[1:] if marked else data
    if not data:
        raise Refused(
            [Fault(field="code", rule=NOTHING, came=printable(text), accepted="the text that the scanner sends")]
        )
    return Frame(symbology=symbology, marked=marked, data=data)


def write(frame: Frame) -> str:
    """What a scanner would send."""
    return f"{frame.symbology.id if frame.symbology else ''}{SEPARATOR if frame.marked else ''}{frame.data}"


def spelled_out(text: str) -> str:
    """The text with <GS>, as a person or a file of cases writes it, replaced by the separator."""
    return text.replace("<GS>", SEPARATOR)


@cache
def symbologies() -> Mapping[str, Symbology]:
    """The packaged symbology identifiers. Refused when the file has a fault."""
    text = files("drawndose.reference").joinpath("data/symbologies.toml").read_text(encoding="utf-8")
    return read_symbologies(text, "symbologies.toml")[0]


def read_symbologies(text: str, name: str) -> tuple[Mapping[str, Symbology], tuple[Source, ...]]:
    """Symbology identifiers and their sources out of TOML. Refused with every fault."""
    faults: list[Fault] = []
    top = Table(tomllib.loads(text), name, faults)
    origin_table = top.table("origin") or Table({}, f"{name}.origin", faults)
    origin = take_origin(origin_table)
    origin_table.done()
    made = [_symbology(table, origin) for table in top.tables("symbology")]
    sources = tuple(take_source(table) for table in top.tables("source"))
    top.done()
    gather(faults)
    return {one.id: one for one in made}, sources


def _symbology(table: Table, origin: Origin) -> Symbology:
    digits = table.raw("digits") or []
    if not isinstance(digits, list) or not all(type(one) is int for one in digits):
        table.fault("digits", "a list of lengths", repr(digits), "[12, 13]")
        digits = []
    made = Symbology(
        id=table.text("id"),
        name=table.text("name"),
        carries=table.choice("carries", Carries),
        digits=tuple(digits),
        origin=replace(origin, how=table.choice("how", How, origin.how)),
    )
    table.done()
    return made
