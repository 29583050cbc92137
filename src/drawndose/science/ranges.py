"""The range in which a formula holds: one datum, enforced at the formula's door. Outside it there is an error, never a number."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from math import isfinite
from numbers import Real

from drawndose.quantities import Fault, Refused


@dataclass(frozen=True, slots=True)
class Range:
    """From low to high, both included, in a unit. what: what it is the range of, for people."""

    low: float
    high: float
    unit: str
    what: str

    def __contains__(self, value: float) -> bool:
        return self.low <= value <= self.high

    def __str__(self) -> str:
        return f"{self.low:g} to {self.high:g} {self.unit}".strip()


class OutOfRange(Refused):
    """An input outside the range in which a formula holds. `faults` names every such input with its range.

    >>> from drawndose.science.water import water_density
    >>> water_density(t_degC=72.0)
    Traceback (most recent call last):
    drawndose.science.ranges.OutOfRange: t_degC: the water temperature lies outside the range. Came: "72 degC". Accepted: 0 to 40 degC.
    """

    def __init__(self, faults: Iterable[Fault]) -> None:
        super().__init__(faults)

    def __reduce__(self) -> tuple[type[OutOfRange], tuple[tuple[Fault, ...]]]:
        return (OutOfRange, (self.faults,))


Valid = Mapping[str, Range]
"""The ranges of a formula's inputs by their names."""


def hold(valid: Valid, **values: float) -> None:
    """Raise OutOfRange with every value that lies outside its range; TypeError for what is not a number at all.

    A value that is not a number of any size (NaN, infinity) is outside every range.
    """
    faults: list[Fault] = []
    for name, value in values.items():
        if isinstance(value, bool) or not isinstance(value, Real):
            raise TypeError(f"{name} must be a number (got {value!r}, a {type(value).__name__})")
        allowed = valid[name]
        if not isfinite(value) or value not in allowed:
            rule = f"the {allowed.what} lies outside the range"
            faults.append(Fault(field=name, rule=rule, came=f"{value:g} {allowed.unit}".strip(), accepted=str(allowed)))
    if faults:
        raise OutOfRange(faults)


def slope(formula: Callable[[float], float], at: float, inside: Range, step: float) -> float:
    """The slope of a formula at a point, by its values a step away on each side, without leaving its range.

    >>> round(slope(lambda x: x * x, 3.0, Range(0.0, 10.0, "", "x"), 0.01), 6)
    6.0
    """
    low, high = max(at - step, inside.low), min(at + step, inside.high)
    return (formula(high) - formula(low)) / (high - low)
