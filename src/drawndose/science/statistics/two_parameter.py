"""How able is a learner, where tasks differ in how sharply they tell people apart too: the two-parameter model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np

from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import NotEstimable, refused
from drawndose.science.statistics.rasch import ALL_RIGHT, ALL_WRONG, MOST_STEPS, NEAR, SMALLEST

VALID: Final[Valid] = {
    "sharpness": Range(0.05, 10.0, "", "discrimination of a task"),
    "difficulty": Range(-10.0, 10.0, "logit", "difficulty of a task"),
    "start": Range(-10.0, 10.0, "logit", "ability to start from"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The ability, its standard error, and the values on the way to it."""

    value: float
    se: float
    steps: tuple[float, ...]


def ability(
    right: Sequence[bool], sharpness: Sequence[float], difficulties: Sequence[float], start: float = 0.0
) -> Found | NotEstimable:
    """The ability under which these answers are most likely.

    Equation:  theta += sum a (u - P) / sum a^2 P (1 - P), at most 1 a step; P = 1 / (1 + exp(-a (theta - b))); SE = 1 / sqrt(sum a^2 P (1 - P))
    Symbols:   a   discrimination [1]     b   difficulty [logit]     u   1 right, 0 wrong; ranges in VALID
    Source:    F. B. Baker, The Basics of Item Response Theory (from memory; its example prints 0.3249 and 1.23).

    >>> found = ability([True, False, True], [1.0, 1.2, 0.8], [-1.0, 0.0, 1.0], start=1.0)
    >>> round(found.value, 4), round(found.se, 2)
    (0.3248, 1.23)
    >>> print(ability([True], [1.0], [0.0]))
    not estimable: every answer is right, and the ability has no upper end
    """
    from scipy.special import expit

    if not len(right) or not len(right) == len(sharpness) == len(difficulties):
        came = f"{len(right)}, {len(sharpness)} and {len(difficulties)}"
        raise refused(
            "answers", "one answer, one discrimination and one difficulty for each task", came, "as many of each"
        )
    hold(VALID, start=start)
    for one, other in zip(sharpness, difficulties, strict=True):
        hold(VALID, sharpness=one, difficulty=other)
    if all(right) or not any(right):
        return NotEstimable(ALL_RIGHT if all(right) else ALL_WRONG)
    a, b, u = (np.asarray(part, dtype=np.float64) for part in (sharpness, difficulties, right))
    theta, step = start, 1.0
    way: list[float] = []
    while abs(step) > NEAR and len(way) < MOST_STEPS:
        p = expit(a * (theta - b))
        step = min(1.0, max(-1.0, float(a @ (u - p)) / max(float(a**2 @ (p * (1.0 - p))), SMALLEST)))
        theta += step
        way.append(theta)
    p = expit(a * (theta - b))
    return Found(value=theta, se=1.0 / sqrt(max(float(a**2 @ (p * (1.0 - p))), SMALLEST)), steps=tuple(way))
