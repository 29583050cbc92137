"""GS1 application identifiers by length, format and company, out of the packaged dictionary (data/gs1.toml)."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files

from drawndose.quantities import Fault, gather
from drawndose.reference.codes.check_digits import CHARACTERS_82
from drawndose.reference.provenance import Origin, Source, take_origin, take_source
from drawndose.reference.table import Table

SETS: Mapping[str, tuple[frozenset[str], str]] = {
    "N": (frozenset("0123456789"), "digit"),
    "X": (frozenset(CHARACTERS_82), "character"),
    "Y": (frozenset("#-/0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"), "character"),
    "Z": (frozenset("-0123456789=ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz"), "character"),
}
"""Character sets by their letter, with what people call one of them."""

_PART = re.compile(r"(?P<open>\[?)(?P<set>[NXYZ])(?P<to>\.\.)?(?P<most>[0-9]{1,2})(?::(?P<rules>[a-z0-9,]+))?\]?")
_RANGE = re.compile(r"(?P<first>[0-9]{2,4})(?:-(?P<last>[0-9]{2,4}))?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One piece of a value: its character set, its length from least to most, whether it may be missing, its rules."""

    set: str
    least: int
    most: int
    optional: bool
    rules: tuple[str, ...]

    @property
    def told(self) -> str:
        """6 digits, 1 to 20 characters."""
        count = str(self.most) if self.least == self.most else f"{self.least} to {self.most}"
        return f"{count} {SETS[self.set][1]}{'s' if self.most > 1 else ''}"


Group = tuple[str, ...]
"""Identifiers that must all be there."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Identifier:
    """One application identifier; there is one object of each, so two are equal when they are the same.

    ai: its two to four digits. fixed: of predefined length, so that no separator follows. lengths: every length that a
    value may have. needs: demands, each met by any of its groups. excludes: what must not stand beside it. qualifiers: the
    ways in which others may follow it in the path of a link, or None when it may not lead one. measure: the unit of a measure.
    """

    ai: str
    name: str
    parts: tuple[Part, ...]
    lengths: tuple[int, ...]
    fixed: bool
    needs: tuple[tuple[Group, ...], ...]
    excludes: tuple[str, ...]
    qualifiers: tuple[tuple[str, ...], ...] | None
    attribute: bool
    measure: str

    @property
    def field(self) -> str:
        """What a fault names: (10) batch or lot."""
        return f"({self.ai}) {self.name}"

    @property
    def format(self) -> str:
        """The format in words: 6 digits; 3 digits, then 1 to 9 characters."""
        return ", then ".join(part.told + (" or nothing" if part.optional else "") for part in self.parts)

    @property
    def rules(self) -> frozenset[str]:
        """Every rule that some piece keeps."""
        return frozenset(rule for part in self.parts for rule in part.rules)


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """A pattern that a piece must match as a whole, and what it accepts in words."""

    pattern: re.Pattern[str]
    accepts: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Dictionary:
    """Identifiers by their digits, contents by their name, rules that are not held, and where it was read."""

    identifiers: Mapping[str, Identifier]
    contents: Mapping[str, Content]
    unheld: Mapping[str, str]
    origin: Origin
    sources: tuple[Source, ...]

    def at(self, data: str, place: int) -> Identifier | None:
        """The identifier that begins at a place of the data, or None. No identifier is the beginning of another."""
        for length in (2, 3, 4):
            if found := self.identifiers.get(data[place : place + length]):
                return found
        return None


def matches(ai: str, pattern: str) -> bool:
    """True when the identifier is of the pattern, in which n is any digit (310n)."""
    return len(ai) == len(pattern) and all(want in (got, "n") for got, want in zip(ai, pattern, strict=True))


@cache
def dictionary() -> Dictionary:
    """The packaged dictionary. Refused when the file has a fault."""
    text = files("drawndose.reference").joinpath("data/gs1.toml").read_text(encoding="utf-8")
    return read_dictionary(text, "gs1.toml")


def read_dictionary(text: str, name: str) -> Dictionary:
    """A dictionary out of TOML; name is the file's, for messages. Refused with every fault."""
    faults: list[Fault] = []
    top = Table(tomllib.loads(text), name, faults)
    identifiers: dict[str, Identifier] = {}
    beginnings: set[str] = set()
    for table in top.tables("identifier"):
        for made in _identifiers(table):
            own = {made.ai[:length] for length in range(2, len(made.ai) + 1)}
            if made.ai in beginnings or not own.isdisjoint(identifiers):
                table.fault("ai", "no identifier is the beginning of another, or stands twice", made.ai, "another one")
            identifiers[made.ai] = made
            beginnings |= own
    contents = dict(_content(table) for table in top.tables("content"))
    unheld = {}
    for table in top.tables("unheld"):
        unheld[table.text("name")] = table.text("what")
        table.done()
    origin_table = top.table("origin") or Table({}, f"{name}.origin", faults)
    origin = take_origin(origin_table)
    origin_table.done()
    sources = tuple(take_source(table) for table in top.tables("source"))
    top.done()
    gather(faults)
    return Dictionary(identifiers=identifiers, contents=contents, unheld=unheld, origin=origin, sources=sources)


def _identifiers(table: Table) -> Iterator[Identifier]:
    """The identifier of a table, or each one of a range such as 3100-3105."""
    span = _RANGE.fullmatch(table.text("ai"))
    if span is None:
        table.fault("ai", "two to four digits, or a range of them", table.text("ai"), "10, 3100-3105")
        return
    parts = tuple(_part(table, text) for text in table.texts("parts"))
    key = table.text("key", "")
    first, last = span["first"], span["last"] or span["first"]
    made = Identifier(
        ai=first,
        name=table.text("name"),
        parts=parts,
        lengths=_lengths(parts),
        fixed=table.truth("fixed", False),
        needs=tuple(_demand(text) for text in table.texts("needs")),
        excludes=_split(table.text("excludes", ""), ","),
        qualifiers=tuple(() if way == "alone" else _split(way, " ") for way in _split(key, "|")) if key else None,
        attribute=table.truth("attribute", True),
        measure=table.text("measure", ""),
    )
    table.done()
    for number in range(int(first), int(last) + 1):
        yield replace(made, ai=f"{number:0{len(first)}}")


def _split(text: str, mark: str) -> tuple[str, ...]:
    return tuple(piece.strip() for piece in text.split(mark) if piece.strip())


def _demand(text: str) -> tuple[Group, ...]:
    return tuple(_split(group, "+") for group in _split(text, ","))


def _part(table: Table, text: str) -> Part:
    found = _PART.fullmatch(text)
    if found is None or bool(found["open"]) != text.endswith("]"):
        table.fault("parts", "a set, a length and rules", text, "N6:yymmd0, X..20, [N4:hhmi]")
        return Part(set="N", least=1, most=1, optional=False, rules=())
    most = int(found["most"])
    return Part(
        set=found["set"],
        least=1 if found["to"] else most,
        most=most,
        optional=bool(found["open"]),
        rules=tuple((found["rules"] or "").split(",")) if found["rules"] else (),
    )


def _lengths(parts: tuple[Part, ...]) -> tuple[int, ...]:
    """Every length of a value, shortest first: only the last piece varies, and a piece may be missing only with all after it."""
    lengths: set[int] = set()
    total = 0
    for place, part in enumerate(parts):
        if part.optional:
            lengths.add(total)
        if place == len(parts) - 1:
            lengths.update(range(total + part.least, total + part.most + 1))
        total += part.most
    return tuple(sorted(lengths))


def _content(table: Table) -> tuple[str, Content]:
    name = table.text("name")
    made = Content(pattern=re.compile(table.text("pattern"), re.ASCII), accepts=table.text("accepts"))
    table.done()
    return name, made
