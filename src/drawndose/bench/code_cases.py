"""Solves check cases of the area "codes": check digits, dates in codes, scanned text, and the layouts of an NDC.

A kind is a function of the case's text and the current year. What is asked, because several readings are possible, answers
"ask" and "ambiguous", and besides those the reading by the rule of the standard alone, which is shown first and not taken. What
is refused answers "error" with the word for each fault.
"""

import re
from collections.abc import Callable, Iterable, Mapping

from drawndose.bench.sums import Answer
from drawndose.bench.verification import Found, Unsupported
from drawndose.quantities import Fault, Refused
from drawndose.reference.cases import Case
from drawndose.reference.codes import dates, framing, ndc, scan
from drawndose.reference.codes.check_digits import check_digit, holds
from drawndose.reference.codes.dictionary import dictionary
from drawndose.reference.codes.elements import (
    CHARACTER,
    CHECK_DIGIT,
    CONTENT,
    EXCLUDES,
    LENGTH,
    NEEDS,
    NOT_DIGITS,
    TWICE,
    UNKNOWN,
    element,
)
from drawndose.reference.codes.scanning import Reading

DEFAULT_YEAR = 2026
"""The current year of a case that names none."""

Forms = tuple[Answer | str, ...]

WORDS: Mapping[str, tuple[str, ...]] = {
    LENGTH: ("length",),
    NOT_DIGITS: ("not numeric",),
    CHARACTER: ("character",),
    CHECK_DIGIT: ("check digit",),
    CONTENT: ("content",),
    dates.NO_SUCH_DAY: ("date",),
    dates.DAY_00: ("date", "day 00"),
    UNKNOWN: ("unknown identifier",),
    TWICE: ("twice",),
    EXCLUDES: ("excludes",),
    framing.UNKNOWN_SYMBOLOGY: ("symbology",),
}
"""Rules of faults with the words that a case expects after "error"."""


def solve(case: Case) -> Found:
    """The answer of a case. Unsupported names a kind or an input that is not known; Refused what is not valid."""
    unknown = [name for name in case.given if name not in {"text", "current_year"}]
    if unknown:
        raise Unsupported(f"the input {', '.join(unknown)} of {case.kind}")
    text, year = case.given.get("text"), case.given.get("current_year", DEFAULT_YEAR)
    if not isinstance(text, str) or not re.fullmatch("[1-8][0-9]{3}", str(year)):
        accepted = "text, and current_year as a year of four digits"
        raise Refused([Fault(field=case.kind, rule="an input is missing", came=f"{text}, {year}", accepted=accepted)])
    return {"answer": _kind(case)(framing.spelled_out(text), int(str(year)))}


def _kind(case: Case) -> Callable[[str, int], Forms]:
    """The function of a kind; date_ and an identifier, and _indicator and a digit, make many kinds of one."""
    if case.name in KINDS:
        return KINDS[case.name]
    if (found := re.fullmatch("date_([0-9]{2,4})", case.name)) and found[1] in dictionary().identifiers:
        ai = found[1]
        return lambda text, year: _date(ai, text, year)
    if found := re.fullmatch("ndc10_to_gtin14_indicator([0-9])", case.name):
        indicator = int(found[1])
        return lambda text, year: (ndc.gtin14(_ten(text), indicator),)
    raise Unsupported(f"the kind {case.kind}")


def _date(ai: str, text: str, year: int) -> Forms:
    """The day of an identifier's value, and its time where it has one."""
    value = element(ai, text, year=year).value
    if len(value) == 10:
        moment = dates.read_moment(value, year=year)
        return moment, moment.date()
    return (dates.read(value, year=year).date,)


def _parse(text: str, year: int) -> Forms:
    """The elements in the order of their identifiers, and in the order of the code."""
    try:
        found = scan([text], year=year)
    except Refused as refused:
        words = [word for fault in refused.faults for word in _words(fault)]
        return (*(f"error {word}" for word in words), "error", "invalid")
    if not found.readings:
        return ("not_gs1",)
    plain = [form for one in found.readings[:1] if one.plain for form in _told(one)]
    return tuple(plain) if found.question is None else ("ask", "ambiguous", *plain)


def _told(reading: Reading) -> Iterable[str]:
    elements = sorted(reading.elements, key=lambda one: one.ai)
    yield " ".join(str(one) for one in elements) if elements else str(reading)
    yield str(reading)


def _words(fault: Fault) -> tuple[str, ...]:
    if fault.rule == NEEDS:
        return ("needs GTIN",) if "GTIN" in fault.accepted else (f"needs {fault.accepted.removeprefix('beside it: ')}",)
    return WORDS.get(fault.rule, ())


def _ten(text: str) -> str:
    """The digits of a ten-digit NDC, hyphens or none."""
    found = ndc.read(text)[0]
    if found.layout not in ndc.OF_TEN:
        raise Refused(
            [Fault(field="ndc", rule="ten digits are wanted", came=text, accepted="1234567890, 12345-678-90")]
        )
    return found.digits


def _to_eleven(text: str, _: int) -> Forms:
    _ten(text)
    found = [ndc.widened(one, ndc.OF_ELEVEN) for one in ndc.read(text)]
    return ("ambiguous", "ask") if len(found) > 1 else (found[0].digits, str(found[0]))


def _to_ten(text: str, _: int) -> Forms:
    (given,) = _of_layout(text, ndc.OF_ELEVEN)
    found = ndc.narrowed(given)
    return ("ambiguous", "ask") if len(found) > 1 else (str(found[0]), found[0].digits)


def _of_layout(text: str, layout: ndc.Layout) -> tuple[ndc.Ndc, ...]:
    found = tuple(one for one in ndc.read(text) if one.layout == layout)
    if not found:
        told = "-".join(map(str, layout))
        raise Refused([Fault(field="ndc", rule=f"an NDC of {told} is wanted", came=text, accepted=told)])
    return found


def _shape(text: str, _: int) -> Forms:
    _of_layout(text, ndc.OF_TWELVE)
    return ("valid 6-4-2",)


KINDS: Mapping[str, Callable[[str, int], Forms]] = {
    "check_digit": lambda text, _: (check_digit(text),),
    "valid": lambda text, _: (str(holds(text)).lower(),),
    "parse": _parse,
    "ndc10_to_gtin14": lambda text, _: (ndc.gtin14(_ten(text)),),
    "ndc10_to_gtin12": lambda text, _: (ndc.gtin12(_ten(text)),),
    "ndc10_to_ndc11": _to_eleven,
    "gtin14_to_ndc10": lambda text, _: (ndc.in_gtin(text),),
    "ndc11_to_ndc10": _to_ten,
    "ndc12_shape": _shape,
}
"""Kinds by their name."""
