"""One element (an identifier with its value), whether it is as its standard says, and whether elements go together.

Source: GS1 Barcode Syntax Dictionary with its linter routines, read. Pairing is judged over all codes on one item together.
"""

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass

from drawndose.quantities import Fault, Refused
from drawndose.reference.codes import dates
from drawndose.reference.codes.check_digits import check_digit, check_pair, holds, pair_holds
from drawndose.reference.codes.dictionary import SETS, Identifier, dictionary, matches

LENGTH = "the length is not what the standard allows"
NOT_DIGITS = "only digits stand here"
CHARACTER = "a character stands here that the standard does not use"
CHECK_DIGIT = "the check digit does not hold"
CONTENT = "the content is not what the standard allows"
UNKNOWN = "no application identifier begins so"
TWICE = "the same field stands twice"
CONFLICT = "two codes on one item do not say the same"
NEEDS = "it does not stand without another field"
EXCLUDES = "the two do not stand together"

SEPARATOR = "\x1d"
"""The separator between fields (FNC1 in the symbol) as a scanner sends it: ASCII 29."""


@dataclass(frozen=True, slots=True, repr=False)
class Element:
    """An application identifier with its value, as it stands in the code: letters and leading zeros count."""

    identifier: Identifier
    value: str

    @property
    def ai(self) -> str:
        """The digits of the identifier."""
        return self.identifier.ai

    def __str__(self) -> str:
        """(10)AB12."""
        return f"({self.ai}){self.value}"

    __repr__ = __str__


Elements = tuple[Element, ...]


def element(ai: str, value: str, *, year: int) -> Element:
    """One element, checked on its own. Refused with every fault of it.

    >>> str(element("10", "AB12", year=2026))
    '(10)AB12'
    """
    identifier = dictionary().identifiers.get(ai)
    if identifier is None:
        raise Refused([unknown(ai)])
    made = Element(identifier, value)
    if found := faults(made, year=year):
        raise Refused(found)
    return made


def unknown(came: str) -> Fault:
    """The fault of data that begin with no identifier."""
    return Fault(
        field="identifier", rule=UNKNOWN, came=printable(came), accepted="one of the GS1 dictionary: 01, 10, 17"
    )


def printable(text: str) -> str:
    """The text with each control character written out, the separator as {GS}."""
    return "".join(_written(character) for character in text)


def _written(character: str) -> str:
    if character == SEPARATOR:
        return "{GS}"
    return character if character.isprintable() else f"\\x{ord(character):02x}"


def faults(one: Element, *, year: int) -> tuple[Fault, ...]:
    """What is wrong with an element on its own: length, characters, check digit, date. None when it is right."""
    identifier, value = one.identifier, one.value

    def fault(rule: str, accepted: str, came: str = value) -> Fault:
        return Fault(field=identifier.field, rule=rule, came=printable(came), accepted=accepted)

    found = []
    if len(value) not in identifier.lengths:
        found.append(fault(LENGTH, identifier.format, f"{value} ({len(value)} characters)" if value else "nothing"))
    if identifier.parts[-1].set == identifier.parts[0].set and (
        strange := set(value) - SETS[identifier.parts[0].set][0]
    ):
        found.append(_strange(identifier.parts[0].set, strange, fault))
    if found:
        return tuple(found)
    for set_, rules, piece in _pieces(identifier, value):
        if strange := set(piece) - SETS[set_][0]:
            return (_strange(set_, strange, fault),)
        for rule in rules:
            if wrong := _content(rule, piece, year):
                return (fault(*wrong),)
    return ()


def _strange(set_: str, strange: Collection[str], fault: Callable[[str, str], Fault]) -> Fault:
    if set_ == "N":
        return fault(NOT_DIGITS, "digits 0 to 9")
    named = ", ".join(sorted(printable(character) for character in strange))
    return fault(CHARACTER, f"without {named}; a scanner that sends it for the separator has to send ASCII 29")


def _pieces(identifier: Identifier, value: str) -> Iterable[tuple[str, tuple[str, ...], str]]:
    """The value part by part: character set, rules, and what stands there. Its length is already known to fit."""
    place = 0
    for part in identifier.parts:
        piece = value[place : place + part.most]
        if piece or not part.optional:
            yield part.set, part.rules, piece
        place += part.most


Wrong = tuple[str, str]
"""A rule that is broken, and what is accepted."""


def _content(rule: str, piece: str, year: int) -> Wrong | None:
    """What a piece breaks of one rule of the dictionary; nothing for the rules that are not held."""
    if rule in _WORKED:
        return _WORKED[rule](piece, year)
    content = dictionary().contents.get(rule)
    return None if content is None or content.pattern.fullmatch(piece) else (CONTENT, content.accepts)


def _digit(piece: str, _: int) -> Wrong | None:
    return (
        None if holds(piece) else (CHECK_DIGIT, f"{piece[:-1]}{check_digit(piece[:-1])}, if the other digits are right")
    )


def _pair(piece: str, _: int) -> Wrong | None:
    if len(piece) < 3:
        return (CONTENT, "a key with two check characters")
    return None if pair_holds(piece) else (CHECK_DIGIT, f"{piece[:-2]}{check_pair(piece[:-2])}, if the rest is right")


def _day(day_00: bool) -> Callable[[str, int], Wrong | None]:
    def check(piece: str, year: int) -> Wrong | None:
        try:
            dates.read(piece, year=year, day_00=day_00)
        except Refused as refused:
            return refused.faults[0].rule, refused.faults[0].accepted
        return None

    return check


def _piece_of_total(piece: str, _: int) -> Wrong | None:
    number, total = int(piece[: len(piece) // 2]), int(piece[len(piece) // 2 :])
    return None if 1 <= number <= total else (CONTENT, "a piece number from 1 to the total, then the total")


def _place_in_sequence(piece: str, _: int) -> Wrong | None:
    found = re.fullmatch(r"([1-9][0-9]*)/([1-9][0-9]*)", piece, re.ASCII)
    return None if found and int(found[1]) <= int(found[2]) else (CONTENT, "a place and the end: 1/2")


_WORKED: Mapping[str, Callable[[str, int], Wrong | None]] = {
    "csum": _digit,
    "csumalpha": _pair,
    "yymmd0": _day(True),
    "yymmdd": _day(False),
    "yyyymmdd": _day(False),
    "pieceoftotal": _piece_of_total,
    "posinseqslash": _place_in_sequence,
}


def pairing(elements: Elements) -> tuple[Fault, ...]:
    """What is wrong with elements beside one another: a field that needs another, or does not go with one that is there."""
    there = [one.ai for one in elements]
    found = []
    for one in elements:
        for demand in one.identifier.needs:
            if not any(all(_there(pattern, there) for pattern in group) for group in demand):
                found.append(Fault(field=one.identifier.field, rule=NEEDS, came=_list(there), accepted=_needed(demand)))
        for pattern in one.identifier.excludes:
            beside = [ai for ai in there if ai != one.ai and matches(ai, pattern)]
            found += [
                Fault(field=one.identifier.field, rule=EXCLUDES, came=f"({ai})", accepted="one of the two")
                for ai in beside
            ]
    return tuple(found)


def _there(pattern: str, there: Iterable[str]) -> bool:
    return any(matches(ai, pattern) for ai in there)


def _list(there: Iterable[str]) -> str:
    return " ".join(f"({ai})" for ai in there)


def _needed(demand: Iterable[tuple[str, ...]]) -> str:
    """A GTIN beside it: (01), or (02); what it needs in words where that is a product number."""
    groups = [" with ".join(f"({pattern})" for pattern in group) for group in demand]
    words = "a GTIN beside it: " if "(01)" in groups else "beside it: "
    return words + ", ".join(groups)
