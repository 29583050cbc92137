"""Rounding, always asked for: to what step, which way, and how much it changed."""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from drawndose.quantities.quantity import Quantity


class Way(Enum):
    """Which way to round. NEAREST sends a tie up, and says so."""

    DOWN = "down"
    UP = "up"
    NEAREST = "nearest, a tie goes up"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounded:
    """A rounding that can be read back: what it was, what it became, by which step and way."""

    exact: Quantity
    value: Quantity
    step: Quantity
    way: Way

    @property
    def changed(self) -> bool:
        """True when the rounding moved the value."""
        return self.exact != self.value

    @property
    def share(self) -> Fraction:
        """Signed change as a share of the exact value: 1/100 is one percent more. 0 where the exact value is 0."""
        if self.exact.base == 0:
            return Fraction(0)
        return (self.value.base - self.exact.base) / self.exact.base


def neighbours(exact: Quantity, step: Quantity) -> tuple[Quantity, Quantity]:
    """The multiples of `step` at or below and at or above `exact`; the same one twice when it is on a multiple."""
    steps = exact.over(step)
    below = steps.numerator // steps.denominator
    above = below if steps.denominator == 1 else below + 1
    return Quantity(step.value * below, step.unit, step.of), Quantity(step.value * above, step.unit, step.of)


def rounded(exact: Quantity, step: Quantity, way: Way) -> Rounded:
    """Round to a multiple of `step`, in the step's unit. Unlike when the two are not alike."""
    below, above = neighbours(exact, step)
    if way is Way.DOWN or below == above:
        value = below
    elif way is Way.UP:
        value = above
    else:
        value = below if exact.base - below.base < above.base - exact.base else above
    return Rounded(exact=exact, value=value, step=step, way=way)
