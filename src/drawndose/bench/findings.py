"""What is understood and unwise: a stop, a caution or a note, with the numbers, what to do, and where the rule is from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from drawndose.reference import How, Origin


class Level(Enum):
    """STOP holds the plan back; CAUTION wants an answer; NOTE is read or not. (Our words, not those of ANSI Z535.)"""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One finding: id of the rule, level, what is wrong with both numbers, what to do now, and where the rule is from."""

    rule: str
    level: Level
    says: str
    do: str
    origin: Origin


HOUSE = Origin(source="common-practice", at="-", how=How.PRACTICE)
"""The origin of a rule of the trade for which no published source was read."""
