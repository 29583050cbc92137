"""How one evaluator's scores lie among all scores of the same tries, if it were pure chance who gave which.

A sign test would not do: where most learners do a step, a fair evaluator's own slips all point down, and the others' slips all make
this one look high. Under exchange each score of a try is as likely to be this evaluator's as any other's, whatever the step is like.
"""

from __future__ import annotations

from math import erfc, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.science.statistics.estimable import TINY

EXACT_UP_TO: Final = 400
"""Up to so many tries on which scores differ the chance is exact; beyond, by the normal curve with the same mean and spread."""


def sides(scores: NDArray[np.float64], who: int) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.float64]]:
    """On each try where scores differ: whether this one lies above (1), at (0) or below (-1) the mean of all, and the chances of 1 and of -1.

    scores: evaluators, tries; NaN where somebody did not score.

    >>> [part.tolist() for part in sides(np.array([[1.0, 1.0], [0.0, 1.0], [0.0, 1.0], [0.0, 1.0]]), 0)]
    [[1], [0.25], [0.75]]
    """
    there = ~np.isnan(scores)
    count = there.sum(axis=0)
    mean = np.where(there, scores, 0.0).sum(axis=0) / np.maximum(count, 1)
    above = (there & (scores > mean + TINY)).astype(np.int64)
    below = (there & (scores < mean - TINY)).astype(np.int64)
    use = there[who] & (above.sum(axis=0) > 0)
    return (above[who] - below[who])[use], above.sum(axis=0)[use] / count[use], below.sum(axis=0)[use] / count[use]


def exchange_chance(scores: NDArray[np.float64], who: int) -> float:
    """The chance of a sum of sides as far out as this one, or farther, on the side where it lies; twice that, at most 1.

    Equation:  S = sum of sides; P(S = s) by adding one try after another (1, 0, -1 with their chances); 2 min(P(S <= s), P(S >= s))
    Source:    a permutation test within tries, textbook; with two answers only it is Cochran's Q, conditional, for one evaluator.
    Example:   three tries on which this one alone of four says yes: 2 / 64.

    >>> exchange_chance(np.array([[1.0] * 3, [0.0] * 3, [0.0] * 3, [0.0] * 3]), 0)
    0.03125
    >>> exchange_chance(np.array([[1.0, 0.0], [1.0, 0.0]]), 0)
    1.0
    """
    side, up, down = sides(scores, who)
    total, count = int(side.sum()), len(side)
    if count > EXACT_UP_TO:
        mean, variance = float((up - down).sum()), float((up + down - (up - down) ** 2).sum())
        return min(1.0, erfc(max(abs(total - mean) - 0.5, 0.0) / sqrt(2.0 * variance)))
    chances = np.zeros(2 * count + 1)
    chances[count] = 1.0
    for one, other in zip(up, down, strict=True):
        after = (1.0 - one - other) * chances
        after[1:] += one * chances[:-1]
        after[:-1] += other * chances[1:]
        chances = after
    at = count + total
    return min(1.0, 2.0 * min(float(chances[: at + 1].sum()), float(chances[at:].sum())))
