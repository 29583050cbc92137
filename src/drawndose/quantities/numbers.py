"""Numbers as people write them, and as the house shows them.

The same mark is safe in one place and dangerous in another, so the reader is told the manner of the text:

* ORDER: a clinical order. ".5" and "1.0" are questioned, because a lost point turns them into 5 and 10.
* READING: a box in which a person types what the instrument shows. Both are accepted, and echoed as 0.5 and 1.
* DATA: imported or packaged data. Both are tolerated, and a fraction ("227/2") is accepted.

Sources: ISMP List of Error-Prone Abbreviations, Symbols, and Dose Designations (naked decimal, trailing zero, commas
from 1,000), read in secondary tables.
"""

import re
from collections.abc import Callable
from enum import Enum
from fractions import Fraction

from drawndose.quantities.faults import Fault, Refused, gather

MOST_DIGITS = 15
"""A longer number is refused: no dose needs it, and a pasted key or barcode must not become one."""

NUMBER = r"(?:[0-9][0-9,]*(?:\.[0-9]+)?|\.[0-9]+)"
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?")
_COMMA = re.compile(r"([0-9]+),([0-9]+)")
_FRACTION = re.compile(rf"(0|[1-9][0-9]{{0,{MOST_DIGITS - 1}}})/(0|[1-9][0-9]{{0,{MOST_DIGITS - 1}}})")


class Manner(Enum):
    """Where a text comes from, and so which spellings are safe in it."""

    ORDER = "order"
    READING = "reading"
    DATA = "data"


def exact(value: object, what: str) -> Fraction:
    """The value as a Fraction. TypeError for anything but int or Fraction (nor is a bool a number); ValueError below 0."""
    if isinstance(value, bool) or not isinstance(value, int | Fraction):
        raise TypeError(f"{what} must be an int or a Fraction (got {value!r}, a {type(value).__name__})")
    if value < 0:
        raise ValueError(f"{what} must not be negative (got {value})")
    return Fraction(value)


def read_number(text: str, *, field: str = "number", manner: Manner = Manner.DATA) -> Fraction:
    """Read one number that stands alone. Raises Refused with every fault.

    >>> read_number("1,000")
    Fraction(1000, 1)
    >>> read_number("1,5")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    drawndose.quantities.faults.Refused: number: a comma must part thousands, and 1,5 could be 1.5 or 15. Came: "1,5"...
    """
    token = text.strip()
    if manner is Manner.DATA and (parts := _FRACTION.fullmatch(token)):
        if int(parts[2]) == 0:
            raise Refused([Fault(field=field, rule="a fraction cannot be over 0", came=token, accepted="1/2")])
        return Fraction(int(parts[1]), int(parts[2]))
    gather(_number_faults(token, field, manner))
    return _fraction(token)


def _fraction(token: str) -> Fraction:
    return Fraction(f"0{token.replace(',', '')}")


def _number_faults(token: str, field: str, manner: Manner) -> list[Fault]:
    """Every fault of a number token. One whose digits cannot be told apart is not looked at further."""

    def fault(rule: str, accepted: str) -> Fault:
        return Fault(field=field, rule=rule, came=token, accepted=accepted)

    if not re.fullmatch(NUMBER, token):
        return [fault("a number is digits with at most one point", "0.5, 2.5, 1,000")]
    if sum(character.isdigit() for character in token) > MOST_DIGITS:
        return [fault(f"a number has at most {MOST_DIGITS} digits", "a shorter number")]
    if "," in token and not _GROUPED.fullmatch(token):
        return [_comma_fault(token, fault)]
    whole, _, decimals = token.replace(",", "").partition(".")
    meant = show_number(_fraction(token))
    faults = []
    if manner is Manner.ORDER and not whole:
        faults.append(fault("a point without a digit before it is read as ten times more", meant))
    if manner is Manner.ORDER and decimals.endswith("0"):
        faults.append(fault("a zero at the end of a decimal is read as ten times more", meant))
    if len(whole) > 1 and whole.startswith("0"):
        lost_point = "" if decimals else _either(show_number(Fraction(f"{whole[0]}.{whole[1:]}")), meant)
        faults.append(fault("a number does not start with 0 and another digit", lost_point or meant))
    return faults


def _comma_fault(token: str, fault: Callable[[str, str], Fault]) -> Fault:
    pair = _COMMA.fullmatch(token)
    if pair is None:
        return fault("commas must part thousands in groups of three", "1,000 or 1000")
    point, group = show_number(Fraction(f"{pair[1]}.{pair[2]}")), show_number(Fraction(f"{pair[1]}{pair[2]}"))
    rule = f"a comma must part thousands, and {token} could be {point} or {group}"
    return fault(rule, _either(point, group))


def _either(one: str, other: str) -> str:
    return one if one == other else f"{one}, or {other}"


def is_decimal(value: Fraction) -> bool:
    """True when the value has a finite decimal expansion."""
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    return rest == 1


def show_number(value: Fraction) -> str:
    """The exact value: leading zero, no trailing zero, comma from 1,000; a fraction where no decimal is exact.

    >>> show_number(Fraction(1, 2)), show_number(Fraction(1000)), show_number(Fraction(25, 12))
    ('0.5', '1,000', '25/12')
    """
    if not is_decimal(value):
        return f"{value.numerator}/{value.denominator}"
    places = 0
    scaled = value
    while scaled.denominator != 1:
        scaled *= 10
        places += 1
    digits = str(scaled.numerator).rjust(places + 1, "0")
    whole, decimals = digits[: len(digits) - places], digits[len(digits) - places :]
    grouped = f"{int(whole):,}"
    return f"{grouped}.{decimals}" if decimals else grouped
