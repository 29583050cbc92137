"""When the last dose was given, out of an order or a field: a day and a time of 24 h, by the clock of the place."""

from __future__ import annotations

import re
from datetime import datetime

from drawndose.bench.order.phrases import CASELESS
from drawndose.quantities import Fault, Refused

ACCEPTED = "2026-11-25 10:00"
MOMENT = r"(?P<day>[0-9]{4}-[0-9]{2}-[0-9]{2})[ T]{1,3}(?P<clock>[0-9]{2}:[0-9]{2})(?![0-9:])"
LAST_DOSE = re.compile(
    rf"\blast\s{{1,3}}(?:dose|one|treatment)\s{{0,3}}(?:was\s{{1,3}})?(?:given\s{{0,3}})?(?:at\s{{1,3}}|on\s{{1,3}}|:\s{{0,3}})?{MOMENT}",
    CASELESS,
)
_ALONE = re.compile(MOMENT, CASELESS)


def read_last_dose(match: re.Match[str]) -> datetime:
    """The moment of a match. Refused for a day or a time that the calendar and the clock do not have."""
    try:
        return datetime.fromisoformat(f"{match['day']}T{match['clock']}")
    except ValueError:
        raise Refused([_fault(match[0])]) from None


def last_dose_in(text: str) -> datetime:
    """The moment of a field or an option. Refused when it is none."""
    match = _ALONE.fullmatch(text.strip()) or LAST_DOSE.fullmatch(text.strip())
    if match is None:
        raise Refused([_fault(text)])
    return read_last_dose(match)


def _fault(came: str) -> Fault:
    return Fault(field="last_dose", rule="a time is a day and a time of 24 h", came=came, accepted=ACCEPTED)
