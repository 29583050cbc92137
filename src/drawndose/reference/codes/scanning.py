"""Any text that a scanner or a person gives: which standard it is, what it says, and what it leaves open.

Three outcomes. One reading: the answer. Several, or one that needs a separator to have been lost: a question with the
readings. None: refused, with the faults of the plain reading. A symbol that is not GS1's is said to be so and never parsed as if it were.

Codes on one item are read together: a GTIN in one of them is what the lot in another belongs to.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from itertools import islice, product

from drawndose.quantities import Fault, Refused
from drawndose.reference.codes import brackets, digital_link, element_strings, framing, ndc
from drawndose.reference.codes.check_digits import check_digit, digits_only, holds
from drawndose.reference.codes.dictionary import dictionary
from drawndose.reference.codes.elements import (
    CHECK_DIGIT,
    CONFLICT,
    LENGTH,
    Element,
    Elements,
    element,
    pairing,
    printable,
)
from drawndose.reference.codes.framing import Carries, Frame, Symbology
from drawndose.reference.codes.ndc import Ndc

MOST_READINGS = 8
"""How many readings a question shows; that there are more is said."""

MOST_TOGETHER = 4000
"""How many combinations of the readings of several codes are looked at."""

NOT_A_CODE = "it is no code that is known here"
ADD_ON = "an add-on code says nothing about the product"
ZERO_FIRST = "eight digits that begin with 0 may be a shortened UPC"
_GTIN_LENGTHS = (8, 12, 13, 14)


class Kind(Enum):
    """What a code turned out to be."""

    ELEMENT_STRINGS = "GS1 element strings"
    LINK = "GS1 Digital Link"
    GTIN = "GTIN"
    NDC = "NDC"
    PLAIN = "not GS1"


class Question(Enum):
    """Why a scan is asked and not answered."""

    SEPARATOR = "A separator may have been lost, so a field may hold the one behind it"
    HYPHENS = "Ten digits do not say where the hyphens of an NDC stand"
    STANDARDS = "The digits are right by more than one standard"


@dataclass(frozen=True, slots=True)
class Reading:
    """One thing that the codes of an item can mean. plain: by the rules alone, with no separator taken for lost."""

    elements: Elements
    ndc: Ndc | None
    plain: bool

    def value(self, ai: str) -> str | None:
        """The value of an identifier, or None where it does not stand in the code."""
        return next((one.value for one in self.elements if one.ai == ai), None)

    @property
    def gtin(self) -> str | None:
        """The GTIN of the item, fourteen digits."""
        return self.value("01")

    def __str__(self) -> str:
        """(01)00312345678906 (10)AB12, in the order of the code; or the NDC with its hyphens."""
        return " ".join([*(str(one) for one in self.elements), *([str(self.ndc)] if self.ndc else [])])


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One code of an item: the text as it came, its symbology identifier, what it is, and link fields that are not GS1's."""

    came: str
    symbology: Symbology | None
    kind: Kind
    beside: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Scan:
    """What the codes of one item say. readings: best first, the plain one before the others. more: not all are listed."""

    parts: tuple[Part, ...]
    readings: tuple[Reading, ...]
    question: Question | None
    more: bool

    @property
    def answer(self) -> Reading | None:
        """The one reading, or None while there is a question, or nothing of GS1's or an NDC."""
        return self.readings[0] if self.question is None and self.readings else None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Heard:
    """One code with every reading it allows, pairing not yet judged, and the faults that count when none is left."""

    part: Part
    readings: tuple[Reading, ...]
    faults: tuple[Fault, ...] = ()
    question: Question = Question.SEPARATOR
    broken_off: bool = False


def scan(texts: Sequence[str], *, year: int, separators_sent: bool = False) -> Scan:
    """Read the codes of one item. Refused with every fault when they can mean nothing.

    year: the current year, for two-digit years. separators_sent: this scanner is known to send separators.

    >>> str(scan(["]d2010031234567890617270200" + "10AB12"], year=2026).answer)
    '(01)00312345678906 (17)270200 (10)AB12'
    """
    if not texts:
        raise Refused([Fault(field="code", rule=framing.NOTHING, came="no code", accepted="one code or several")])
    heard: list[_Heard] = []
    faults: list[Fault] = []
    for text in texts:
        try:
            heard.append(_hear(text, year=year, separators_sent=separators_sent))
        except Refused as refused:
            faults += refused.faults
    faults += [fault for one in heard if not one.readings for fault in one.faults]
    if faults:
        raise Refused(faults)
    parts = tuple(one.part for one in heard)
    telling = [one for one in heard if one.readings]
    if not telling:
        return Scan(parts=parts, readings=(), question=None, more=False)
    return _together(parts, telling)


def _together(parts: tuple[Part, ...], heard: list[_Heard]) -> Scan:
    """Every combination of the readings that agrees with itself; the first is the plain one, when each has one."""
    broken_off = any(one.broken_off for one in heard)
    kept: list[Reading] = []
    wrong: tuple[Fault, ...] = ()
    combinations = product(*(one.readings for one in heard))
    for chosen in islice(combinations, MOST_TOGETHER):
        merged, faults = _merged(chosen)
        if not faults:
            kept.append(merged)
        wrong = wrong or faults
        if len(kept) > MOST_READINGS:
            break
    broken_off = broken_off or next(combinations, None) is not None
    if not kept:
        raise Refused([fault for one in heard for fault in one.faults] or wrong)
    asked = broken_off or len(kept) > 1 or not kept[0].plain
    question = next((one.question for one in heard if len(one.readings) > 1), Question.SEPARATOR)
    more = broken_off or len(kept) > MOST_READINGS
    return Scan(parts=parts, readings=tuple(kept[:MOST_READINGS]), question=question if asked else None, more=more)


def _merged(chosen: Iterable[Reading]) -> tuple[Reading, tuple[Fault, ...]]:
    """Readings of several codes as one, with the faults of standing together."""
    made: list[Element] = []
    found: list[Fault] = []
    ndcs: list[Ndc] = []
    plain = True
    for reading in chosen:
        plain = plain and reading.plain
        ndcs += [reading.ndc] if reading.ndc else []
        for one in reading.elements:
            before = next((other for other in made if other.ai == one.ai), None)
            if before is None:
                made.append(one)
            elif before != one:
                came = f"{before} and {one}"
                found.append(
                    Fault(field=one.identifier.field, rule=CONFLICT, came=came, accepted="the codes of one item")
                )
    merged = Reading(tuple(made), ndcs[0] if ndcs else None, plain)
    told = [*dict.fromkeys(str(one) for one in ndcs)]
    told += [f"(01){gtin}" for gtin in [merged.gtin] if gtin and not all(ndc.agrees(one, gtin) for one in ndcs)]
    if len(told) > 1:
        found.append(Fault(field="ndc", rule=CONFLICT, came=" and ".join(told), accepted="the codes of one item"))
    return merged, (*found, *pairing(merged.elements))


def _hear(text: str, *, year: int, separators_sent: bool) -> _Heard:
    """One code by its frame."""
    frame = framing.read(text)
    carries = frame.symbology.carries if frame.symbology else None
    if carries is Carries.ADD_ON:
        assert frame.symbology is not None
        came = printable(text)
        raise Refused([Fault(field="code", rule=ADD_ON, came=came, accepted="the code beside it, without the add-on")])
    if carries is Carries.GTIN:
        assert frame.symbology is not None
        return _gtin(text, frame, frame.symbology.digits, year=year)
    if digital_link.begins(frame.data) and carries is not Carries.ELEMENT_STRINGS:
        return _link(text, frame, year=year)
    if carries is Carries.PLAIN:
        return _Heard(part=_part(text, frame, Kind.PLAIN), readings=())
    if carries is None and not frame.marked:
        return _bare(text, frame, year=year, separators_sent=separators_sent)
    return _element_string(text, frame, year=year, separators_sent=separators_sent)


def _part(text: str, frame: Frame, kind: Kind, beside: tuple[str, ...] = ()) -> Part:
    return Part(came=text, symbology=frame.symbology, kind=kind, beside=beside)


def _element_string(text: str, frame: Frame, *, year: int, separators_sent: bool) -> _Heard:
    found = element_strings.read(frame.data, year=year, separators_sent=separators_sent)
    plain = [Reading(found.plain, None, plain=True)] if found.plain is not None else []
    return _Heard(
        part=_part(text, frame, Kind.ELEMENT_STRINGS),
        readings=(*plain, *(Reading(one, None, plain=False) for one in found.others)),
        faults=found.faults,
        broken_off=found.broken_off,
    )


def _link(text: str, frame: Frame, *, year: int) -> _Heard:
    link = digital_link.read(frame.data, year=year)
    if link is None:
        return _Heard(part=_part(text, frame, Kind.PLAIN), readings=())
    part = _part(text, frame, Kind.LINK, link.beside)
    return _Heard(part=part, readings=(Reading(link.elements, None, plain=True),))


def _gtin(text: str, frame: Frame, lengths: tuple[int, ...], *, year: int) -> _Heard:
    """Digits that the symbology says are a GTIN. Refused when they are not."""
    digits = frame.data
    if not digits_only(digits) or len(digits) not in lengths:
        accepted = f"{' or '.join(map(str, lengths))} digits; a shortened UPC has to be sent at full length"
        raise Refused([Fault(field="gtin", rule=LENGTH, came=printable(digits), accepted=accepted)])
    if not holds(digits):
        raise Refused([_bad_digit(digits)])
    return _Heard(part=_part(text, frame, Kind.GTIN), readings=(_of_gtin(digits, year),))


def _bad_digit(digits: str) -> Fault:
    accepted = f"{digits[:-1]}{check_digit(digits[:-1])}, if the other digits are right"
    return Fault(field="gtin", rule=CHECK_DIGIT, came=digits, accepted=accepted)


def _of_gtin(digits: str, year: int) -> Reading:
    return Reading((element("01", digits.zfill(14), year=year),), None, plain=True)


def _bare(text: str, frame: Frame, *, year: int, separators_sent: bool) -> _Heard:
    """A text without a symbology identifier: brackets, an NDC, a GTIN, or element strings; digits may be several of them."""
    data = frame.data
    if brackets.begins(data):
        part = _part(text, frame, Kind.ELEMENT_STRINGS)
        return _Heard(part=part, readings=(Reading(brackets.read(data, year=year), None, plain=True),))
    if "-" in data and digits_only(data.replace("-", "")) and data.count("-") == 2:
        part = _part(text, frame, Kind.NDC)
        return _Heard(part=part, readings=tuple(Reading((), one, plain=True) for one in ndc.read(data)))
    if dictionary().at(data, 0) is None and not digits_only(data):
        accepted = "what a scanner sends, (01) and a value, a web address, or an NDC with hyphens"
        raise Refused([Fault(field="code", rule=NOT_A_CODE, came=printable(text), accepted=accepted)])
    as_strings = _element_string(text, frame, year=year, separators_sent=separators_sent)
    if not digits_only(data):
        return as_strings
    others = tuple(_of_digits(data, year=year))
    if not others:
        return replace(as_strings, faults=tuple(_digit_faults(data)) or as_strings.faults)
    kind = Kind.GTIN if others[0].elements else Kind.NDC
    readings = (*others, *as_strings.readings)
    question = Question.HYPHENS if kind is Kind.NDC and not as_strings.readings else Question.STANDARDS
    return _Heard(part=_part(text, frame, kind), readings=readings, question=question, broken_off=as_strings.broken_off)


def _of_digits(data: str, *, year: int) -> Iterator[Reading]:
    """Bare digits as a GTIN when their check digit holds, and as an NDC by their length.

    Twelve digits are taken for an NDC only from the year in which such codes begin.
    """
    if len(data) in _GTIN_LENGTHS and holds(data) and not _may_be_shortened(data):
        yield _of_gtin(data, year)
    if len(data) in {10, 11} or (len(data) == 12 and year >= ndc.TWELVE_FROM):
        yield from (Reading((), one, plain=True) for one in ndc.read(data))


def _may_be_shortened(data: str) -> bool:
    return len(data) == 8 and data.startswith("0")


def _digit_faults(data: str) -> list[Fault]:
    """Why digits of the length of a GTIN are none."""
    if _may_be_shortened(data):
        accepted = "the twelve digits of the full UPC, or ]E4 before a true EAN-8"
        return [Fault(field="gtin", rule=ZERO_FIRST, came=data, accepted=accepted)]
    return [_bad_digit(data)] if len(data) in _GTIN_LENGTHS else []
