"""When to practise again: days between sums, by how well the last one went. Exact, since it is a rule and no measurement.

It was made for the recall of facts, not for a skill of the hands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Final

from drawndose.science.ranges import Range, Valid, hold

VALID: Final[Valid] = {"quality": Range(0.0, 5.0, "", "how well it went")}

START: Final = Fraction(5, 2)
FLOOR: Final = Fraction(13, 10)
FIRST_DAYS: Final = (1, 6)
AGAIN_UNDER: Final = 3
SAME_DAY_UNDER: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """days until the next practice, the easiness after this one, and whether it is repeated today too."""

    days: int
    easiness: Fraction
    today: bool


def change(quality: int) -> Fraction:
    """What an answer adds to the easiness.

    Equation:  0.1 - (5 - q) (0.08 + (5 - q) 0.02)
    Symbols:   q   5 at once and right, 3 right with trouble, 0 nothing known; range in VALID
    Source:    SM-2, P. A. Wozniak 1987-1990.

    >>> [float(change(quality)) for quality in range(6)]
    [-0.8, -0.54, -0.32, -0.14, 0.0, 0.1]
    """
    hold(VALID, quality=quality)
    short = 5 - quality
    return Fraction(1, 10) - short * (Fraction(8, 100) + short * Fraction(2, 100))


def schedule(qualities: Sequence[int]) -> tuple[Next, ...]:
    """What follows each practice in turn. The easiness is changed first, and the days are worked with it.

    Equation:  1 day, 6 days, then the days before times the easiness, rounded up; under 3 it begins again and the easiness stays; at least 1.3
    Source:    as `change`. Its text leaves open whether the easiness is changed before; here it is.
    Example:   always 4: 1, 6, 15, 38, 95 days.

    >>> [one.days for one in schedule([4, 4, 4, 4, 4])], [one.days for one in schedule([5, 5, 5, 5, 2, 5])]
    ([1, 6, 15, 38, 95], [1, 6, 17, 50, 1, 6])
    """
    easiness, days, done, made = START, 0, 0, []
    for quality in qualities:
        moved = change(quality)
        if quality < AGAIN_UNDER:
            done, days = 1, FIRST_DAYS[0]
        else:
            easiness = max(FLOOR, easiness + moved)
            done += 1
            days = FIRST_DAYS[done - 1] if done <= len(FIRST_DAYS) else ceil(days * easiness)
        made.append(Next(days=days, easiness=easiness, today=quality < SAME_DAY_UNDER))
    return tuple(made)
