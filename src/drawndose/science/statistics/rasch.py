"""How able is a learner, from which tasks were right, where each task has one difficulty: the Rasch model.

A class cannot calibrate difficulties; they come from an order that experts gave, and move slowly. So an ability here chooses the next
practice, and no more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import log, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import Estimate, NotEstimable, refused

VALID: Final[Valid] = {
    "ability": Range(-20.0, 20.0, "logit", "ability"),
    "difficulty": Range(-10.0, 10.0, "logit", "difficulty of a task"),
}

ALL_RIGHT: Final = "every answer is right, and the ability has no upper end"
ALL_WRONG: Final = "every answer is wrong, and the ability has no lower end"
HALF: Final = 0.5
MOST_STEPS, NEAR, SMALLEST = 500, 1e-12, 1e-200
"""A search ends when a step is this small, or, where rounding keeps it larger, after so many; information is at least the last."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ability:
    """An ability [logit] and its standard error. moved: the score was 0 or full, and half a point was taken for it."""

    value: float
    se: float
    moved: bool = False


def probability(ability: float, difficulty: float) -> float:
    """The chance of a right answer [1].

    Equation:  P = 1 / (1 + exp(-(theta - b)))
    Symbols:   theta   ability [logit]     b   difficulty [logit]; ranges in VALID
    Source:    G. Rasch 1960.

    >>> round(probability(0.0, -0.3), 6)
    0.574443
    """
    hold(VALID, ability=ability, difficulty=difficulty)
    return float(1.0 / (1.0 + np.exp(difficulty - ability)))


def most_likely(score: int, difficulties: Sequence[float]) -> Ability:
    """The ability under which the score is most likely.

    Equation:  theta += (R - sum P) / sum P (1 - P), at most 1 a step, from mean(b) + ln(R / W); SE = 1 / sqrt(sum P (1 - P))
    Symbols:   R, W   right and wrong answers [1]; 0 and all are taken as half a point from the end
    Source:    B. D. Wright, G. Douglas, Rasch Measurement Transactions 10:2 (1996) 499.

    >>> found = most_likely(1, [-1, -0.5, 0, 0.5, 1])
    >>> round(found.value, 4), round(found.se, 4)
    (-1.532, 1.1596)
    """
    from scipy.special import expit

    b = _tasks(score, difficulties)
    right = min(max(float(score), HALF), len(b) - HALF)
    theta = float(b.mean()) + log(right / (len(b) - right))
    step, taken = 1.0, 0
    while abs(step) > NEAR and taken < MOST_STEPS:
        p = expit(theta - b)
        step = min(1.0, max(-1.0, (right - float(p.sum())) / max(float(p @ (1.0 - p)), SMALLEST)))
        theta, taken = theta + step, taken + 1
    p = expit(theta - b)
    return Ability(value=theta, se=1.0 / sqrt(max(float(p @ (1.0 - p)), SMALLEST)), moved=right != score)


def expected(score: int, difficulties: Sequence[float]) -> Ability:
    """The mean and standard deviation of the ability, where abilities are held to be standard normal before the answers are seen.

    Equation:  mean of theta under exp(R theta) phi(theta) / prod(1 + exp(theta - b)), phi the standard normal density,
               for theta from -6 to 6
    Source:    R. D. Bock, R. J. Mislevy 1982 (EAP).

    >>> found = expected(1, [-1, -0.5, 0, 0.5, 1])
    >>> round(found.value, 4), round(found.se, 4)
    (-0.7512, 0.7183)
    """
    b = _tasks(score, difficulties)
    theta = np.linspace(-6.0, 6.0, 2401)
    height = score * theta - theta**2 / 2.0 - np.logaddexp(0.0, theta[:, None] - b).sum(axis=1)
    weights = np.exp(height - height.max())
    mean = float(weights @ theta / weights.sum())
    return Ability(value=mean, se=sqrt(float(weights @ (theta - mean) ** 2 / weights.sum())))


def quick(score: int, difficulties: Sequence[float]) -> tuple[Estimate, Estimate]:
    """Ability and error by a formula for the back of an envelope, for tasks of much the same difficulty.

    Equation:  B = mean(b) + ln(R / W), S = sqrt(L / (R W))
    Symbols:   L   tasks [1]
    Source:    B. D. Wright, Rasch Measurement Transactions 2:2 (1988) 24.

    >>> [round(one, 4) for one in quick(1, [-1, -0.5, 0, 0.5, 1])], str(quick(5, [0.0] * 5)[0])
    ([-1.3863, 1.118], 'not estimable: every answer is right, and the ability has no upper end')
    """
    b = _tasks(score, difficulties)
    wrong = len(b) - score
    if not score or not wrong:
        none = NotEstimable(ALL_WRONG if not score else ALL_RIGHT)
        return none, none
    return float(b.mean()) + log(score / wrong), sqrt(len(b) / (score * wrong))


def _tasks(score: int, difficulties: Sequence[float]) -> NDArray[np.float64]:
    if not difficulties or not 0 <= score <= len(difficulties):
        raise refused("score", "right answers among the tasks", score, f"0 to {len(difficulties)}, of one task or more")
    for one in difficulties:
        hold(VALID, difficulty=one)
    return np.asarray(difficulties, dtype=np.float64)
