"""GS1 Digital Link: a web address whose path holds a key and its qualifiers, and whose query holds other fields.

https://id.gs1.org/01/00312345678906/10/AB12?17=270630. The domain and whatever stands before the key mean nothing here, and no
address is ever opened. Short words for identifiers (of an older edition) and compressed links are not read.

Sources: GS1 Barcode Syntax Dictionary (which keys, which qualifiers, in which order, which query fields), read; GS1 Digital
Link Web URI grammar 1.2 (a GTIN of 8, 12 or 13 digits is taken with zeros before it), read.
"""

import re
from dataclasses import dataclass
from itertools import pairwise

from drawndose.quantities import Fault, Refused
from drawndose.reference.codes.check_digits import digits_only
from drawndose.reference.codes.dictionary import Identifier, dictionary
from drawndose.reference.codes.elements import TWICE, Element, Elements, faults, unknown

PATH = "the path does not pair identifiers with values in their order"
QUERY = "the field does not stand in the query of a link"
ESCAPE = "a percent sign is followed by two hexadecimal digits of an ASCII character"
_SCHEME = re.compile(r"https?://", re.IGNORECASE | re.ASCII)
_ESCAPED = re.compile(r"%([0-7][0-9A-Fa-f])")
_UNRESERVED = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~")


@dataclass(frozen=True, slots=True)
class Link:
    """What a link says: its elements, path before query; and the query fields that are not GS1's and mean nothing here."""

    elements: Elements
    beside: tuple[str, ...]


def begins(text: str) -> bool:
    """True when the text begins as a web address does."""
    return _SCHEME.match(text) is not None


def write(elements: Elements, stem: str = "https://id.gs1.org") -> str:
    """The link of elements: the first that may lead a link, its qualifiers, the rest as query. ValueError when none may lead."""
    key = next((one for one in elements if one.identifier.qualifiers is not None), None)
    if key is None:
        raise ValueError("no element may lead a link")
    ways = [_following(way, elements) for way in key.identifier.qualifiers or ()]
    path = (key, *max(ways, key=len, default=()))
    rest = [one for one in elements if one not in path]
    query = "&".join(f"{one.ai}={_escape(one.value)}" for one in rest)
    return stem + "".join(f"/{one.ai}/{_escape(one.value)}" for one in path) + (f"?{query}" if query else "")


def _following(way: tuple[str, ...], elements: Elements) -> Elements:
    by_ai = {one.ai: one for one in elements}
    return tuple(by_ai[ai] for ai in way if ai in by_ai)


def _escape(value: str) -> str:
    return "".join(sign if sign in _UNRESERVED else f"%{ord(sign):02X}" for sign in value)


def read(text: str, *, year: int) -> Link | None:
    """What a link says, or None for a web address without a GS1 key. Refused with every fault; pairing is not judged."""
    address = _SCHEME.sub("", text, count=1).partition("#")[0]
    address, _, query = address.partition("?")
    segments = address.rstrip("/").split("/")[1:]
    place = _key_at(segments)
    if place is None:
        if _looks_broken(segments):
            raise Refused([Fault(field="link", rule=PATH, came=text, accepted="/01/00312345678906/10/AB12")])
        return None
    found: list[Fault] = []
    pairs = list(zip(segments[place::2], segments[place + 1 :: 2], strict=True))
    found += _order_faults(pairs)
    fields, beside = _query(query, found)
    made = tuple(
        one for ai, written in (*pairs, *fields) if (one := _element(ai, written, year=year, found=found)) is not None
    )
    for count, one in enumerate(made):
        if one.ai in {before.ai for before in made[:count]}:
            found.append(Fault(field=one.identifier.field, rule=TWICE, came=str(one), accepted="each field once"))
    if found:
        raise Refused(found)
    return Link(made, beside)


def _key_at(segments: list[str]) -> int | None:
    """Where the key stands: the last identifier that may lead, counted in pairs from the end."""
    for place in range(len(segments) - 2, -1, -2):
        identifier = dictionary().identifiers.get(segments[place])
        if identifier is not None and identifier.qualifiers is not None:
            return place
    return None


def _looks_broken(segments: list[str]) -> bool:
    """A GTIN's identifier and digits that stand out of step: not somebody's own address, but a link cut short."""
    return any(one == "01" and digits_only(other) and len(other) >= 8 for one, other in pairwise(segments))


def _order_faults(pairs: list[tuple[str, str]]) -> list[Fault]:
    """The fault of qualifiers that the key does not take, or not in this order."""
    key = dictionary().identifiers[pairs[0][0]]
    ways = key.qualifiers or ((),)
    there = [ai for ai, _ in pairs[1:]]
    if any([ai for ai in way if ai in there] == there for way in ways):
        return []
    accepted = " or ".join("".join(f"/{ai}/..." for ai in (key.ai, *way)) for way in ways)
    return [Fault(field="link", rule=PATH, came="/".join(ai for ai, _ in pairs), accepted=accepted)]


def _query(query: str, found: list[Fault]) -> tuple[list[tuple[str, str]], tuple[str, ...]]:
    """GS1 fields of the query as written, and the names of the others. A name of digits is always meant for GS1."""
    fields: list[tuple[str, str]] = []
    beside: list[str] = []
    for piece in filter(None, re.split("[&;]", query)):
        name, _, value = piece.partition("=")
        identifier = dictionary().identifiers.get(name)
        if identifier is not None and identifier.attribute:
            fields.append((name, value))
        elif identifier is not None:
            found.append(Fault(field=identifier.field, rule=QUERY, came=piece, accepted="its place in the path"))
        elif digits_only(name):
            found.append(unknown(name))
        else:
            beside.append(name)
    return fields, tuple(beside)


def _element(ai: str, written: str, *, year: int, found: list[Fault]) -> Element | None:
    """The element of an identifier and its escaped value, or None with the fault kept."""
    identifier = dictionary().identifiers.get(ai)
    if identifier is None:
        found.append(unknown(ai))
        return None
    value = _ESCAPED.sub(lambda hit: chr(int(hit[1], 16)), written)
    if "%" in _ESCAPED.sub("", written):
        found.append(Fault(field=identifier.field, rule=ESCAPE, came=written, accepted="%2F for a slash"))
        return None
    one = Element(identifier, _of_full_width(identifier, value))
    found += faults(one, year=year)
    return one


def _of_full_width(identifier: Identifier, value: str) -> str:
    """A GTIN of 8, 12 or 13 digits with its zeros before it; any other value as it is."""
    return value.zfill(14) if identifier.ai == "01" and digits_only(value) and len(value) in {8, 12, 13} else value
