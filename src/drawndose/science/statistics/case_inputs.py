"""What a check case of statistics gives, as numbers, lists and tables; and what comes out, as answers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from drawndose.bench.verification import Found, Unsupported
from drawndose.quantities import Quantity
from drawndose.reference.cases import Held
from drawndose.science.statistics.estimable import NotEstimable, refused

Result = Mapping[str, "float | int | Fraction | NotEstimable"]
"""Answers of a kind by name."""

_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?(?:e[-+]?[0-9]{1,2})?")

NAMED_ONLY = ("rows", "columns")
"""Inputs that only say what the rows and columns of a table are; they change nothing."""


class Given:
    """The inputs of one case by name. Every name that is asked for is checked to be there by the solver first."""

    def __init__(self, given: Mapping[str, Held]) -> None:
        self._given = given

    def __contains__(self, name: str) -> bool:
        return name in self._given

    def number(self, name: str) -> float:
        """One number."""
        return float(self.exact(name))

    def exact(self, name: str) -> Fraction:
        """One number, exact."""
        found = _read(self._given[name], name)
        if not isinstance(found, Fraction):
            raise Unsupported(f"{name} as a list")
        return found

    def whole(self, name: str) -> int:
        """One whole number."""
        value = self.exact(name)
        if value.denominator != 1:
            raise Unsupported(f"{name} that is not whole")
        return int(value)

    def word(self, name: str, words: tuple[str, ...]) -> str:
        """One word of a closed list; the first where it is not given."""
        value = self._given.get(name, words[0])
        if value not in words:
            raise Unsupported(f"{name} {value}: one of {', '.join(words)}")
        return str(value)

    def numbers(self, name: str) -> list[Fraction]:
        """A list of numbers, exact."""
        found = _read(self._given[name], name)
        if not isinstance(found, list) or any(isinstance(one, list) for one in found):
            raise Unsupported(f"{name} that is no list of numbers")
        return found

    def floats(self, name: str) -> list[float]:
        """A list of numbers."""
        return [float(one) for one in self.numbers(name)]

    def exact_table(self, name: str) -> list[list[Fraction]]:
        """Lists of numbers, exact."""
        found = _read(self._given[name], name)
        if not isinstance(found, list) or not all(isinstance(row, list) for row in found):
            raise Unsupported(f"{name} that is no table of numbers")
        return found

    def table(self, name: str) -> list[list[float | None]]:
        """Lists of numbers; what equals the input "missing" is missing."""
        gone = self.exact("missing") if "missing" in self else None
        return [[None if one == gone else float(one) for one in row] for row in self.exact_table(name)]


def _read(value: Held, name: str) -> Any:
    if isinstance(value, str | int):
        if not _NUMBER.fullmatch(str(value)):
            raise refused(name, "a number is wanted", value, "0.5, -1, 2e-3")
        return Fraction(value)
    if isinstance(value, tuple):
        return [_read(one, name) for one in value]
    raise Unsupported(f"{name} by name")


def answers(found: Result) -> Found:
    """A float with the digits that Python writes for it; what is not estimable in words, without and with its reason."""
    return {
        name: (("not estimable", str(one)) if isinstance(one, NotEstimable) else (_bare(one),))
        for name, one in found.items()
    }


def _bare(value: float | Fraction) -> Quantity | Fraction:
    """A quantity is never below 0; such a number stays bare."""
    made = value if isinstance(value, Fraction) else Fraction(repr(float(value)))
    return made if made < 0 else Quantity.of_text(made, "")


def ends(between: object, low: str, high: str, scale: float = 1.0) -> Result:
    """Both ends of an interval by name, or twice the reason why there is none."""
    if isinstance(between, NotEstimable):
        return {low: between, high: between}
    assert isinstance(between, tuple)
    return {low: scale * between[0], high: scale * between[1]}
