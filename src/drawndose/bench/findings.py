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


class Waiver(Enum):
    """Who may go on in spite of a finding. A reason is kept in every case but the last."""

    NOBODY = "nobody; a fact must change"
    PRESCRIBER = "only the prescriber, by a changed order"
    SECOND = "a second person with the preparer, with a reason"
    PREPARER = "the preparer, with a reason"
    UNASKED = "no answer is needed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One finding: id of the rule, level, what is wrong with both numbers, what to do now, where it is from, who may go on."""

    rule: str
    level: Level
    says: str
    do: str
    origin: Origin
    waiver: Waiver


HOUSE = Origin(source="common-practice", at="-", how=How.PRACTICE)
"""The origin of a rule of the trade for which no published source was read."""
