"""GS1 element strings: identifiers and values one after the other, with ASCII 29 behind a value of no predefined length.

Where a scanner drops the separator, a value swallows the field behind it, and the rule of the standard still reads it without
a complaint. So a value that could end earlier is read in every way that the dictionary allows, and the ways are shown;
none is chosen. Only a separator that came through, or a scanner known to send it, proves the plain reading.

Sources: GS1 Barcode Syntax Dictionary, read; GS1 General Specifications 5 and 7.8 (separator), secondary.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from drawndose.quantities import Fault
from drawndose.reference.codes.dictionary import Identifier, dictionary
from drawndose.reference.codes.elements import (
    LENGTH,
    SEPARATOR,
    TWICE,
    Element,
    Elements,
    faults,
    unknown,
)

MOST_STEPS = 1000
"""How many fields are tried before the search for other readings is broken off; then it is asked, not answered."""

MOST_SEARCHED = 400
"""Longer data are not searched for other readings."""


@dataclass(frozen=True, slots=True)
class Found:
    """What the data can mean, pairing not yet judged.

    plain: the reading by the rule of the standard, or None when that has faults. others: every other reading. faults: those
    of the plain reading. broken_off: there may be more readings than were looked for.
    """

    plain: Elements | None
    others: tuple[Elements, ...]
    faults: tuple[Fault, ...]
    broken_off: bool = False


def write(elements: Elements) -> str:
    """The element string of elements in their order: no separator behind a predefined length, and none at the end."""
    return "".join(
        f"{one.ai}{one.value}{'' if one.identifier.fixed or last else SEPARATOR}"
        for one, last in zip(elements, [False] * (len(elements) - 1) + [True], strict=True)
    )


def read(data: str, *, year: int, separators_sent: bool = False) -> Found:
    """Read the data of a symbol that carries element strings. year: the current year, for two-digit years.

    separators_sent: this scanner is known to send separators. A separator between two fields of the data says so too.
    """
    plain, wrong = _plain(data, year)
    if plain is not None and (separators_sent or SEPARATOR in data.rstrip(SEPARATOR)):
        return Found(plain, (), ())
    search = _Search(data, year)
    others = tuple(one for one in search if one != plain)
    return Found(plain, others, wrong, search.broken_off)


def _plain(data: str, year: int) -> tuple[Elements | None, tuple[Fault, ...]]:
    """The reading by the rule of the standard with its faults; after an unknown identifier nothing more can be read."""
    made: list[Element] = []
    found: list[Fault] = []
    place = 0
    while place < len(data):
        identifier = dictionary().at(data, place)
        if identifier is None:
            found.append(unknown(data[place : place + 12]))
            break
        start = place + len(identifier.ai)
        end = data.find(SEPARATOR, start)
        end = len(data) if end < 0 else end
        if identifier.fixed:
            end = min(end, start + identifier.lengths[0])
        one = Element(identifier, data[start:end])
        found += faults(one, year=year)
        if one.ai in {before.ai for before in made}:
            found.append(Fault(field=identifier.field, rule=TWICE, came=str(one), accepted="each field once in a code"))
        made.append(one)
        place = end + data.startswith(SEPARATOR, end)
    if not data:
        found.append(Fault(field="code", rule=LENGTH, came="nothing", accepted="an identifier and its value"))
    return (None if found else tuple(made)), tuple(found)


class _Search:
    """Every reading of the data in which values may also end without a separator, the longest values first."""

    def __init__(self, data: str, year: int) -> None:
        self.data = data
        self.year = year
        self.broken_off = len(data) > MOST_SEARCHED

    def __iter__(self) -> Iterator[Elements]:
        if self.broken_off:
            return
        steps = self._steps()
        waiting: list[tuple[int, Elements]] = [(0, ())]
        for _ in range(MOST_STEPS):
            if not waiting:
                return
            place, made = waiting.pop()
            if place == len(self.data):
                yield made
            elif place in steps:
                waiting += [(stop, (*made, one)) for stop, one in steps[place] if one.ai not in {x.ai for x in made}]
        self.broken_off = bool(waiting)

    def _steps(self) -> dict[int, list[tuple[int, Element]]]:
        """From each place where an identifier stands: right elements, shortest first, behind which the rest can be read too."""
        steps: dict[int, list[tuple[int, Element]]] = {}
        for place in range(len(self.data) - 1, -1, -1):
            identifier = dictionary().at(self.data, place)
            if identifier is not None and (found := self._ends(place, identifier, steps)):
                steps[place] = found
        return steps

    def _ends(
        self, place: int, identifier: Identifier, steps: dict[int, list[tuple[int, Element]]]
    ) -> list[tuple[int, Element]]:
        start = place + len(identifier.ai)
        end = self.data.find(SEPARATOR, start)
        end = len(self.data) if end < 0 else end
        found = []
        for length in identifier.lengths:
            stop = start + length
            if stop > end:
                break
            following = stop + self.data.startswith(SEPARATOR, stop)
            if following in steps or following == len(self.data):
                one = Element(identifier, self.data[start:stop])
                if not faults(one, year=self.year):
                    found.append((following, one))
        return found
