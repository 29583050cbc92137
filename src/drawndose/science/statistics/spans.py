"""How wide a handful of normal readings spreads from least to most: the constants that turn a mean range into a standard deviation."""

from __future__ import annotations

from functools import cache
from math import pi, sqrt
from typing import Final

import numpy as np

from drawndose.science.ranges import Range, Valid, hold

VALID: Final[Valid] = {"size": Range(2.0, 200.0, "", "number of readings in a group")}

_REACH: Final = 9.0  # so many standard deviations to each side hold everything that a double can see
_STEPS: Final = 3601


@cache
def mean_span(size: int) -> float:
    """The mean range of so many standard normal readings, d2 [1].

    Equation:  d2 = integral of 1 - F^n - (1 - F)^n over the line, F the normal distribution
    Symbols:   n   readings in a group [1], range in VALID
    Source:    L. H. C. Tippett 1925; agrees with the printed tables of d2.
    Example:   five readings: 2.326.

    >>> [round(mean_span(size), 3) for size in (2, 3, 5, 10)]
    [1.128, 1.693, 2.326, 3.078]
    """
    from scipy.special import ndtr

    hold(VALID, size=size)
    x = np.linspace(-_REACH, _REACH, _STEPS)
    below = ndtr(x)
    return float(np.trapezoid(1.0 - below**size - (1.0 - below) ** size, x))


@cache
def square_span(size: int) -> float:
    """The root of the mean squared range of so many standard normal readings, d2* for one group [1].

    Equation:  E[R^2] = integral of 2 r P(R > r) from 0, P(R <= r) = n integral of f(x) (F(x + r) - F(x))^(n - 1)
    Source:    A. J. Duncan 1955; agrees with the printed constants K2 and K3 of the average-range method (1 / d2*).
    Example:   two readings: sqrt(2).

    >>> [round(1.0 / square_span(size), 4) for size in (2, 3, 10)]
    [0.7071, 0.5231, 0.3146]
    """
    from scipy.special import ndtr

    hold(VALID, size=size)
    x = np.linspace(-_REACH, _REACH, 721)
    r = np.linspace(0.0, 2.0 * _REACH, 721)
    density = np.exp(-(x**2) / 2.0) / sqrt(2.0 * pi)
    inside = ndtr(x[None, :] + r[:, None]) - ndtr(x)[None, :]
    below = size * np.trapezoid(density * inside ** (size - 1), x, axis=1)
    return float(np.sqrt(np.trapezoid(2.0 * r * (1.0 - below), r)))
