"""A straight line through points, with what its coefficients and its height somewhere are worth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import copysign, sqrt
from typing import Final

from drawndose.science.statistics.estimable import Estimate, NotEstimable, refused

TOO_FEW: Final = "a line needs two points of unlike x"
NO_ERROR: Final = "three points at least show how far they lie off the line"
ON_LINE: Final = "every point lies on the line, and a spread cannot be seen"
FLAT: Final = "y never varies"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """y = intercept + slope x. residual_sd with count - 2 degrees of freedom; r_squared: the part of y's spread that the line tells."""

    count: int
    slope: float
    intercept: float
    r_squared: Estimate
    residual_sd: Estimate
    mean_x: float
    squares_x: float

    def at(self, x: float) -> float:
        """The height of the line at x, in the unit of y."""
        return self.intercept + self.slope * x

    def correlation(self) -> Estimate:
        """Pearson's correlation of x and y: the root of r_squared with the sign of the slope."""
        return (
            self.r_squared if isinstance(self.r_squared, NotEstimable) else copysign(sqrt(self.r_squared), self.slope)
        )

    def se_at(self, x: float) -> Estimate:
        """The standard error of the height at x: s sqrt(1 / n + (x - mean)^2 / S_xx)."""
        return self._error(sqrt(1.0 / self.count + (x - self.mean_x) ** 2 / self.squares_x))

    def se_slope(self) -> Estimate:
        """The standard error of the slope: s / sqrt(S_xx)."""
        return self._error(1.0 / sqrt(self.squares_x))

    def _error(self, share: float) -> Estimate:
        if isinstance(self.residual_sd, NotEstimable):
            return self.residual_sd
        return self.residual_sd * share if self.residual_sd else NotEstimable(ON_LINE)


def line(x: Sequence[float | Fraction], y: Sequence[float | Fraction]) -> Line | NotEstimable:
    """The least-squares line of y on x. Sums are exact fractions; Refused where the lists have unlike lengths.

    Equation:  slope = S_xy / S_xx; intercept = mean y - slope mean x; s^2 = (S_yy - slope S_xy) / (n - 2)
    Symbols:   S   sums of products of differences from the means
    Source:    textbook; held against the certified values of NIST StRD, linear regression (Norris).
    Example:   points (0, 1), (1, 3), (2, 5): y = 1 + 2 x.

    >>> found = line([0, 1, 2], [1, 3, 5])
    >>> found.slope, found.intercept, found.at(5), found.r_squared
    (2.0, 1.0, 11.0, 1.0)
    >>> print(line([1, 1], [2, 3]))
    not estimable: a line needs two points of unlike x
    """
    if len(x) != len(y):
        raise refused("y", "one for each x", len(y), str(len(x)))
    xs, ys, count = [Fraction(one) for one in x], [Fraction(one) for one in y], len(x)
    if len(set(xs)) < 2:
        return NotEstimable(TOO_FEW)
    mean_x, mean_y = sum(xs, Fraction(0)) / count, sum(ys, Fraction(0)) / count
    xx = sum(((one - mean_x) ** 2 for one in xs), Fraction(0))
    yy = sum(((one - mean_y) ** 2 for one in ys), Fraction(0))
    xy = sum(((one - mean_x) * (other - mean_y) for one, other in zip(xs, ys, strict=True)), Fraction(0))
    slope = xy / xx
    rest = yy - slope * xy
    return Line(
        count=count,
        slope=float(slope),
        intercept=float(mean_y - slope * mean_x),
        r_squared=float(slope * xy / yy) if yy else NotEstimable(FLAT),
        residual_sd=sqrt(rest / (count - 2)) if count > 2 else NotEstimable(NO_ERROR),
        mean_x=float(mean_x),
        squares_x=float(xx),
    )
