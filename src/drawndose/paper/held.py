"""Where a line may not end: inside an amount, a moment, an identifier."""

from __future__ import annotations

import re

_UNITS = r"(?:mL|mg|mcg|g|kg|L|h|min|units?|million|mOsm|mm|hours?|days?|weeks?|months?)\b|%"
_MONTHS = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
_HELD = re.compile(
    rf"(?<=\d) (?={_UNITS})"  # a number and its unit
    rf"|(?<=\d) (?=(?:{_MONTHS})\b)|(?<={'|'.join(f' {one}' for one in _MONTHS.split('|'))}) (?=\d)"  # a day
    r"|(?<=\d) (?=\d)"  # a day and its time, an identifier in groups
    r"|(?<=\bno\.) (?=\S)"
    r"|(?<=\bin) (?=\d)|(?<=\w) (?=in \d)"  # an amount in its volume
)


def held(text: str) -> str:
    """The text with no-break spaces where a line may not end: in an amount, a moment, an identifier.

    >>> held("born 05 Nov 1961, no. 204 118: 2.5 mg").replace(chr(160), "_")
    'born 05_Nov_1961, no._204_118: 2.5_mg'
    """
    return _HELD.sub("\u00a0", text)
