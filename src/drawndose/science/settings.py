"""The settings of a judgement as people type them: read for both doors, every fault at once.

Each box may stay empty, and then its default holds. What only makes sense with another box is refused without it.
"""

from __future__ import annotations

from fractions import Fraction
from math import inf

from drawndose.quantities import Fault, Manner, Refused, gather, read_number, read_quantity
from drawndose.science.drawing import VALID, Conditions, Operator, Reading

AWAY = Conditions().away_degC


def read_conditions(
    *,
    half_line: bool = False,
    two_marks: bool = False,
    spread: str = "",
    draws: str = "",
    holds_reading: bool = False,
    away: str = "",
) -> Conditions:
    """The settings out of their boxes. Refused with every fault, each at its own box.

    spread: of a person's draws, as a share ("3 %"). draws: how many weighed draws it was found from, which gives it one less
    degrees of freedom; empty where it is a setting. holds_reading: those draws were read on such a scale, so the reading is
    in their spread. away: how far the liquid may be from 20 degC.

    >>> read_conditions(spread="3 %", draws="10").operator
    Operator(cv=0.03, nu=9.0, holds_reading=False)
    >>> read_conditions(draws="1", away="40")
    Traceback (most recent call last):
    drawndose.quantities.faults.Refused: draws: weighed draws are counted from 2 to 10,001. Came: "1". Accepted: 10.
    spread: weighed draws are told with their spread. Came: "nothing". Accepted: 3 %.
    away: the distance from 20 degC lies outside the range. Came: "40". Accepted: 0 to 15 degC.
    """
    faults: list[Fault] = []
    cv = _spread(spread, faults) if spread.strip() else None
    nu = _draws(draws, faults) - 1.0 if draws.strip() else inf
    if cv is None and not spread.strip() and (draws.strip() or holds_reading):
        faults.append(_fault("spread", "weighed draws are told with their spread", "", "3 %"))
    degrees = _away(away, faults) if away.strip() else AWAY
    gather(faults)
    return Conditions(
        reading=Reading.HALF_LINE if half_line else Reading.NEAREST_LINE,
        readings=2 if two_marks else 1,
        away_degC=degrees,
        operator=Operator(cv=cv, nu=nu, holds_reading=holds_reading) if cv is not None else None,
    )


def _fault(field: str, rule: str, came: str, accepted: str) -> Fault:
    return Fault(field=field, rule=rule, came=came.strip()[:40] or "nothing", accepted=accepted)


def _spread(text: str, faults: list[Fault]) -> float:
    try:
        share = read_quantity(text, field="spread", manner=Manner.READING)
    except Refused:
        share = None
    if share is None or share.dimension or not 0 < share.base <= Fraction(VALID["cv"].high):
        rule = "the spread of a person's draws is a share of the volume, over 0 and at most 50 %"
        faults.append(_fault("spread", rule, text, "3 %"))
        return 0.0
    return float(share.base)


def _draws(text: str, faults: list[Fault]) -> int:
    typed = text.strip()
    if typed.isascii() and typed.isdecimal() and len(typed) <= 5 and 2 <= int(typed) <= 10_001:
        return int(typed)
    faults.append(_fault("draws", "weighed draws are counted from 2 to 10,001", text, "10"))
    return 2


def _away(text: str, faults: list[Fault]) -> float:
    typed, allowed = text.strip().removesuffix("degC").strip(), VALID["away_degC"]
    try:
        degrees = float(read_number(typed, field="away", manner=Manner.READING))
    except Refused as refused:
        faults += (_fault("away", fault.rule, text, str(allowed)) for fault in refused.faults)
        return AWAY
    if degrees not in allowed:
        faults.append(_fault("away", f"the {allowed.what} lies outside the range", text, str(allowed)))
    return degrees
