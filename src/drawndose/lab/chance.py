"""Chance out of a seed: the same seed gives the same draws on every machine and under every version of Python.

The numbers are SHA-256 of the seed, a path of names and a counter, so that one task can be drawn anew without drawing those
before it, and no generator of a library has to stay as it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256
from math import cos, log, pi, sqrt
from typing import TypeVar

One = TypeVar("One")
BITS = 64


class Chance:
    """A stream of chance for one purpose.

    >>> Chance("lab 7", "bottle", 3).pick(["a", "b", "c"]) == Chance("lab 7", "bottle", 3).pick(["a", "b", "c"])
    True
    """

    def __init__(self, seed: str, *path: object) -> None:
        self._name = "\x1f".join((seed, *map(str, path)))
        self._count = 0

    def _next(self) -> int:
        self._count += 1
        return int.from_bytes(sha256(f"{self._name}\x1f{self._count}".encode()).digest()[: BITS // 8], "big")

    def below(self, count: int) -> int:
        """A whole number from 0 to count - 1, each as likely. ValueError for a count below 1."""
        if count < 1:
            raise ValueError(f"there is nothing to choose from (got {count})")
        limit = 2**BITS - 2**BITS % count
        drawn = self._next()
        return drawn % count if drawn < limit else self.below(count)  # the rest would make some numbers likelier

    def pick(self, several: Sequence[One]) -> One:
        """One of several."""
        return several[self.below(len(several))]

    def shuffled(self, several: Sequence[One]) -> list[One]:
        """All of them in another order."""
        left = list(several)
        return [left.pop(self.below(len(left))) for _ in several]

    def share(self) -> float:
        """A number from 0 up to, not reaching, 1."""
        return self.below(2**53) / 2**53

    def happens(self, chance: float) -> bool:
        """True with this chance."""
        return self.share() < chance

    def normal(self, mean: float, sd: float) -> float:
        """A number from a normal distribution (Box and Muller 1958)."""
        return mean + sd * sqrt(-2.0 * log(1.0 - self.share())) * cos(2.0 * pi * self.share())
