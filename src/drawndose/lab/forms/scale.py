"""How a step is marked: a closed list of scales, each with its points from best to worst.

What the points count as a share is ours; that such scales are used is read (checklists for ampoules and vials: done or not
with a separate critical column; 2, 1, 0; 3, 2, 1; and exam objectives marked 0 to 4).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Point:
    """One point of a scale: its word, what share of the step's weight it earns, and whether a critical step fails by it."""

    word: str
    share: Fraction
    fails: bool


def _points(*points: tuple[str, int, int, bool]) -> tuple[Point, ...]:
    return tuple(Point(word, Fraction(top, bottom), fails) for word, top, bottom, fails in points)


class Scale(Enum):
    """A scale by its name. `points` go from best to worst."""

    DONE = "done or not"
    DEGREES = "2 1 0"
    HELP = "3 2 1"
    OBJECTIVE = "4 to 0"

    @property
    def points(self) -> tuple[Point, ...]:
        """Its points, best first."""
        return _POINTS[self]

    def point(self, word: str) -> Point | None:
        """The point of this word, or None where the scale has no such word."""
        return next((one for one in self.points if one.word == word), None)


_POINTS = {
    Scale.DONE: _points(("done", 1, 1, False), ("not done", 0, 1, True)),
    Scale.DEGREES: _points(("2", 1, 1, False), ("1", 1, 2, False), ("0", 0, 1, True)),
    Scale.HELP: _points(("3", 1, 1, False), ("2", 1, 2, False), ("1", 0, 1, True)),
    Scale.OBJECTIVE: _points(
        ("4", 1, 1, False), ("3", 3, 4, False), ("2", 1, 2, False), ("1", 1, 4, True), ("0", 0, 1, True)
    ),
}
"""HELP: confident, needs some help, must be shown again. Which points fail a critical step is a setting of the house."""
