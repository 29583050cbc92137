"""What a field of a code means, in a sentence for people; and until when what it stands on may be used."""

from collections.abc import Iterator
from datetime import date, datetime
from fractions import Fraction

from drawndose.quantities import Refused
from drawndose.quantities.numbers import show_number
from drawndose.reference.codes import dates, ndc
from drawndose.reference.codes.dates import told
from drawndose.reference.codes.dictionary import dictionary
from drawndose.reference.codes.elements import Element, Elements

EXACTLY = "compare exactly: capitals and leading zeros count"
_LEVELS = {"0": "unit of sale or of use", "9": "measure that varies"}
_SAID = {"17": "expires", "15": "best before", "16": "sell by", "11": "made", "13": "packed"}


def says(one: Element, *, year: int) -> str:
    """What an element means; an empty text where the value says it all. year: the current year."""
    ai, value, rules = one.ai, one.value, one.identifier.rules
    if ai in {"01", "02", "03"}:
        return _gtin(value)
    if ai in {"10", "21"}:
        return EXACTLY
    if ai == "30":
        return f"{show_number(Fraction(int(value)))} {_items(value)}: a count, never a dose or a volume"
    if ai == "7003":
        return f"expires {told(dates.read_moment(value, year=year))}"
    if ai == "715":
        return _national(value)
    if one.identifier.measure:
        return f"{show_number(Fraction(int(value), 10 ** int(ai[-1])))} {one.identifier.measure}"
    if rules & {"yymmd0", "yymmdd", "yyyymmdd"}:
        return f"{_SAID.get(ai, '')} {_days(one, year)}".strip()
    unheld = [dictionary().unheld[rule] for rule in sorted(rules & dictionary().unheld.keys())]
    return f"not checked against {unheld[0]}" if unheld else ""


def _items(value: str) -> str:
    return "item" if int(value) == 1 else "items"


def _gtin(value: str) -> str:
    level = _LEVELS.get(value[0], f"packaging level {value[0]}")
    try:
        ten = ndc.in_gtin(value)
    except Refused:
        return level
    return f"{level}; NDC digits {ten}, hyphens not known"


def _national(value: str) -> str:
    try:
        found = ndc.read(value, field="715")
    except Refused:
        return "not in a known layout of an NDC"
    return " or ".join(f"NDC {one}" for one in found)


def _days(one: Element, year: int) -> str:
    """The date of an element, with its time or its second date where it has one."""
    value = one.value
    if "yyyymmdd" in one.identifier.rules:
        first, rest = value[:8], value[8:]
    else:
        first, rest = value[:6], value[6:]
    day = str(dates.read(first, year=year))
    if one.ai == "7007" and rest:
        return f"{day} to {dates.read(rest, year=year)}"
    clock = ":".join(rest[place : place + 2] for place in range(0, len(rest), 2))
    return f"{day} {clock}" if clock else day


def expiries(elements: Elements, *, year: int) -> Iterator[date]:
    """Every expiry that the elements state: a day, usable to its end, or a moment."""
    for one in elements:
        if one.ai == "17":
            yield dates.read(one.value, year=year).date
        elif one.ai == "7003":
            yield dates.read_moment(one.value, year=year)


def last_use(elements: Elements, *, year: int) -> date | None:
    """The earliest expiry, or None where the code states none and the label has to be read."""
    found = list(expiries(elements, year=year))
    return min(found, key=lambda one: (_day(one), not isinstance(one, datetime)), default=None)


def _day(one: date) -> date:
    return one.date() if isinstance(one, datetime) else one


def is_past(expiry: date, moment: date) -> bool:
    """True when the expiry has passed. A day lasts to its end; a bare day as the moment means any hour of it."""
    if isinstance(expiry, datetime) and isinstance(moment, datetime):
        return moment >= expiry
    return _day(moment) > _day(expiry)
