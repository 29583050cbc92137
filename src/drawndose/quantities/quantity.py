"""One exact quantity: a value, a unit, and what it is an amount of.

`of` names the moiety (base, salt, units of a substance) with its power, so that an amount of albuterol sulfate never
adds to an amount of albuterol, a strength divided into a dose gives a bare volume only when both count the same moiety,
and the stated ratio between two moieties is itself a quantity that converts one into the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import total_ordering

from drawndose.quantities.numbers import exact, show_number
from drawndose.quantities.units import BASES, NONE, Parts, Unit, unit

ARBITRARY = {"units", "USP units"}


class Unlike(TypeError):
    """Two quantities that do not add, compare or convert: other dimension, or another moiety."""


@total_ordering
@dataclass(frozen=True, slots=True, eq=False)
class Quantity:
    """An exact amount, volume, rate, time or strength.

    value: int or Fraction, in `unit`, not negative. unit: see `units`. of: moieties with powers, none for a bare volume.
    TypeError for a float, a bool or text; ValueError for a negative value, or for arbitrary units without a substance.

    >>> Quantity.of_text(5, "mg/mL") * Quantity.of_text(Fraction(1, 2), "mL") == Quantity.of_text(2500, "mcg")
    True
    """

    value: Fraction
    unit: Unit
    of: Parts = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "value", exact(self.value, "the value of a quantity"))
        if not isinstance(self.unit, Unit):
            raise TypeError(f"the unit of a quantity must be a Unit (got {self.unit!r})")
        object.__setattr__(self, "of", _summed((), self.of, 1))
        if not self.of and any(name in ARBITRARY for name, _ in self.unit.dimension):
            raise ValueError("units belong to a substance: say units of what")

    @classmethod
    def of_text(cls, value: int | Fraction, spelling: str, of: str | None = None) -> Quantity:
        """A quantity from an exact value, a unit's data spelling and, for an amount of something, its moiety."""
        return cls(exact(value, "the value of a quantity"), unit(spelling), ((of, 1),) if of else ())

    @property
    def dimension(self) -> Parts:
        """The dimensions of the unit with their powers."""
        return self.unit.dimension

    @property
    def base(self) -> Fraction:
        """The value in the dimensions' own units (g, L, s, units, ...)."""
        return self.value * self.unit.factor

    def like(self, other: Quantity) -> bool:
        """True when the two add and compare: the same dimension of the same moiety."""
        return self.dimension == other.dimension and self.of == other.of

    def _same(self, other: object, verb: str) -> Quantity:
        if not isinstance(other, Quantity):
            raise TypeError(f"a quantity does not {verb} a {type(other).__name__}")
        if self.like(other):
            return other
        raise Unlike(f"{_told(self)} does not {verb} {_told(other)}")

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Quantity):
            return NotImplemented
        return self.like(other) and self.base == other.base

    def __hash__(self) -> int:
        return hash((self.base, self.dimension, self.of))

    def __lt__(self, other: Quantity) -> bool:
        return self.base < self._same(other, "compare with").base

    def __add__(self, other: Quantity) -> Quantity:
        total = self.base + self._same(other, "add to").base
        return Quantity(total / self.unit.factor, self.unit, self.of)

    def __sub__(self, other: Quantity) -> Quantity:
        """ValueError when the result would be negative: nothing here goes below nothing."""
        left = self.base - self._same(other, "take from").base
        if left < 0:
            raise ValueError(f"{_told(other)} is more than {_told(self)}")
        return Quantity(left / self.unit.factor, self.unit, self.of)

    def __mul__(self, other: Quantity | Fraction | int) -> Quantity:
        return self._times(other, 1)

    __rmul__ = __mul__

    def __truediv__(self, other: Quantity | Fraction | int) -> Quantity:
        return self._times(other, -1)

    def _times(self, other: Quantity | Fraction | int, power: int) -> Quantity:
        if not isinstance(other, Quantity):
            other = Quantity(exact(other, "a factor"), NONE)
        if power < 0 and other.value == 0:
            raise ZeroDivisionError(f"{_told(self)} divided by nothing")
        parts, factor = _merged(self.unit.parts, other.unit.parts, power)
        value = self.value * other.value**power * factor
        return Quantity(value, Unit(parts), _summed(self.of, other.of, power))

    def to(self, spelling: str) -> Quantity:
        """The same quantity in another unit of the same dimension. Unlike when the dimension differs."""
        wanted = unit(spelling)
        if wanted.dimension != self.dimension:
            raise Unlike(f"{_told(self)} does not convert to {spelling}")
        return Quantity(self.base / wanted.factor, wanted, self.of)

    def over(self, other: Quantity) -> Fraction:
        """How many times the other: a bare exact ratio of two like quantities."""
        divisor = self._same(other, "divide by").base
        if divisor == 0:
            raise ZeroDivisionError(f"{_told(self)} divided by nothing")
        return self.base / divisor

    def __repr__(self) -> str:
        return f"Quantity({_told(self)})"


def _told(quantity: Quantity) -> str:
    of = " and ".join(f"{name}" if power == 1 else f"{name}^{power}" for name, power in quantity.of)
    return f"{show_number(quantity.value)} {quantity.unit}".strip() + (f" of {of}" if of else "")


def _summed(left: Parts, right: Parts, sign: int) -> Parts:
    total = dict(left)
    for name, power in right:
        total[name] = total.get(name, 0) + sign * power
    return tuple(sorted((name, power) for name, power in total.items() if power))


def _merged(left: Parts, right: Parts, sign: int) -> tuple[Parts, Fraction]:
    """Parts of a product, one symbol for each dimension (the left one's), and the factor that this costs."""
    symbols: dict[str, str] = {}
    powers: dict[str, int] = {}
    factor = Fraction(1)
    for symbol, power in (*left, *((symbol, sign * power) for symbol, power in right)):
        dimension = BASES[symbol].dimension
        kept = symbols.setdefault(dimension, symbol)
        if kept != symbol:
            factor *= (BASES[symbol].factor / BASES[kept].factor) ** power
        powers[dimension] = powers.get(dimension, 0) + power
    for dimension, symbol in symbols.items():
        if powers[dimension] and dimension == "share":
            factor *= BASES[symbol].factor ** powers[dimension]
            powers[dimension] = 0
    return tuple((symbols[name], power) for name, power in powers.items() if power), factor
