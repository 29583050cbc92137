"""Expected answers of check cases: read by the same grammar as everything else, and compared exactly.

A text is a quantity ("227/2 g"), a bare number with or without its word ("3/14", "0.3 fraction"), a day or a moment, or
plain words. No amount is below 0; a correlation may be, so a number with a sign or an exponent ("-0.12", "3.6e-9") is read too. Quantities compare across units of one dimension (1,000 mL is 1 L), whatever they are an amount of, because
a case is about one drug; things that are counted (doses, puffs, tablets, vials) compare as counts, and so many parts are a bare number.
"""

import re
from datetime import date, datetime
from fractions import Fraction

from drawndose.bench.sums.readers import COUNTED
from drawndose.bench.sums.shape import Answer
from drawndose.quantities import Quantity, Refused, read_number, read_quantity, unit

Expected = Quantity | Fraction | date | str
"""What an expected text turns out to be; a text that is neither a number, a quantity nor a day stays a text."""

_BARE_WORDS = {"", "fraction", "ratio", "factor", "times"}
_BARE = re.compile(r"(?P<n>[0-9][0-9.,]*(?:/[0-9]+)?)\s*(?P<word>[a-z ]*)", re.IGNORECASE)
_RATIO = re.compile(r"1\s*:\s*(?P<n>[0-9][0-9.,]*(?:/[0-9]+)?)")
_SIGNED = re.compile(r"-[0-9]+(?:\.[0-9]+)?|-?[0-9]+(?:\.[0-9]+)?e[-+]?[0-9]{1,2}")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?:[ T][0-9]{2}:[0-9]{2}(?::[0-9]{2})?)?")
_COUNTS = {"doses", "puffs", "containers", "breaths"}


def read_expected(text: str) -> tuple[Expected, ...]:
    """What the text can mean: one reading, or two where kg may be a patient's or a substance's."""
    plain = " ".join(text.split())
    if _DAY.fullmatch(plain):
        try:
            moment = datetime.fromisoformat(plain)
        except ValueError:
            return (plain,)
        return (moment,) if len(plain) > 10 else (moment.date(),)
    if _SIGNED.fullmatch(plain):
        return (Fraction(plain),)
    if ratio := _RATIO.fullmatch(plain):
        return (Quantity(read_number(ratio["n"]), unit("part")),)
    bare = _BARE.fullmatch(plain)
    if bare and bare["word"].lower() in _BARE_WORDS:
        return (Quantity(read_number(bare["n"]), unit("")),)
    if bare and bare["word"].lower() in COUNTED:
        return (Quantity(read_number(bare["n"]), unit("dose")),)
    found: list[Quantity] = []
    for kg in ("kg", "kilogram"):
        try:
            found.append(read_quantity(plain, of="the drug", kg=kg))
        except Refused:
            return (plain,)
    return tuple(found)


def alike(expected: Expected, answer: Answer | Fraction | str) -> bool:
    """True when the two can be compared at all: two quantities of one dimension, two numbers, two days, two texts."""
    if isinstance(expected, Fraction) or isinstance(answer, Fraction):
        return _number(expected) is not None and _number(answer) is not None
    if isinstance(expected, Quantity) and isinstance(answer, Quantity):
        return _dimension(expected) == _dimension(answer)
    if isinstance(expected, date) and isinstance(answer, date):
        return isinstance(expected, datetime) == isinstance(answer, datetime)
    return isinstance(expected, str) and isinstance(answer, str)


def _number(value: Expected) -> Fraction | None:
    """The value of a bare number, with or without a sign."""
    if isinstance(value, Quantity):
        return value.base if not _dimension(value) else None
    return value if isinstance(value, Fraction) else None


def _dimension(value: Quantity) -> tuple[tuple[str, int], ...]:
    if len(value.dimension) == 1 and value.dimension[0][1] == 1 and value.dimension[0][0] in _COUNTS:
        return (("a count", 1),)
    if value.dimension == (("parts", 1),):
        return ()
    return value.dimension


def meets(expected: Expected, answer: Answer | Fraction | str, tolerance: Fraction, relative: Fraction) -> bool:
    """True when the answer is the expected one, within an absolute tolerance in the expected unit or a share of it."""
    if not alike(expected, answer):
        return False
    wanted, came = _number(expected), _number(answer)
    if wanted is not None and came is not None:
        return abs(wanted - came) <= max(tolerance, relative * abs(wanted))
    if isinstance(expected, Quantity) and isinstance(answer, Quantity):
        off = abs(expected.base - answer.base)
        return off <= max(tolerance * expected.unit.factor, relative * expected.base)
    return expected == answer


_PRINTED = re.compile(r"-?(?P<n>[0-9][0-9,]*(?:\.(?P<decimals>[0-9]+))?)\b.*", re.DOTALL)


def print_holds(printed: str, answer: Answer | Fraction, how: str) -> bool:
    """True when the printed text stands to the answer as `how` says: exact, rounded (half a unit of the last place), or cut.

    For every other word the print is compared as if it were rounded.
    """
    readings = read_expected(printed)
    for reading in readings:
        if not alike(reading, answer):
            continue
        if isinstance(reading, date | str) or isinstance(answer, date) or how == "exact":
            return meets(reading, answer, Fraction(0), Fraction(0))
        place = _last_place(printed)
        off = _base(answer) / (reading.unit.factor if isinstance(reading, Quantity) else 1) - _value(reading)
        if how == "cut":
            return 0 <= off < place
        return abs(off) <= place / 2
    return False


def _base(answer: Quantity | Fraction) -> Fraction:
    return answer.base if isinstance(answer, Quantity) else answer


def _value(reading: Quantity | Fraction) -> Fraction:
    return reading.value if isinstance(reading, Quantity) else reading


def _last_place(printed: str) -> Fraction:
    """The worth of the last printed figure: 0.01 for 0.25, 1 for 288."""
    found = _PRINTED.match(printed.strip())
    decimals = found["decimals"] if found and found["decimals"] else ""
    return Fraction(1, 10 ** len(decimals))
