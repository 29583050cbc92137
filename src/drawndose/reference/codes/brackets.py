"""Element strings as people write them: each identifier in round brackets before its value, (01)00312345678906(10)AB12.

A bracket that belongs to a value is written with a backslash before it, because the 82 characters hold brackets too. Blanks
between elements are the printer's and fall away; a blank inside a value is a fault of that value.
"""

import re

from drawndose.quantities import Fault, Refused
from drawndose.reference.codes.dictionary import dictionary
from drawndose.reference.codes.elements import TWICE, Element, Elements, faults, unknown

_BEGINS = re.compile(r"\(([0-9]{2,4})\)", re.ASCII)


def write(elements: Elements) -> str:
    """The elements in brackets, in their order.

    >>> from drawndose.reference.codes.elements import element
    >>> write((element("01", "00312345678906", year=2026), element("10", "A(1)", year=2026)))
    '(01)00312345678906(10)A\\\\(1)'
    """
    return "".join(f"({one.ai}){one.value.replace('(', chr(92) + '(')}" for one in elements)


def read(text: str, *, year: int) -> Elements:
    """The elements of a text in brackets, pairing not judged. Refused with every fault."""
    pieces = re.split(r"(?<!\\)\(([0-9]{2,4})\)", text.strip(" "), flags=re.ASCII)
    found: list[Fault] = []
    made: list[Element] = []
    if pieces[0] or len(pieces) < 2:
        found.append(unknown(pieces[0] or text))
    for ai, written in zip(pieces[1::2], pieces[2::2], strict=True):
        identifier = dictionary().identifiers.get(ai)
        if identifier is None:
            found.append(unknown(f"({ai})"))
            continue
        one = Element(identifier, written.strip(" ").replace("\\(", "("))
        found += faults(one, year=year)
        if one.ai in {before.ai for before in made}:
            found.append(Fault(field=identifier.field, rule=TWICE, came=str(one), accepted="each field once in a code"))
        made.append(one)
    if found:
        raise Refused(found)
    return tuple(made)


def begins(text: str) -> bool:
    """True when the text begins as an identifier in brackets does."""
    return _BEGINS.match(text.lstrip(" ")) is not None
