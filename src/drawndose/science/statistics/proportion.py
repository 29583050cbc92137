"""How surely a share is known: Wilson's score interval, the exact one, and how many successes in a row a claim needs.

In a class of ten, ten passes still leave room for a true share of seven in ten; so no share is told without its interval.
"""

from __future__ import annotations

from math import ceil, hypot, log, sqrt
from typing import Final

from drawndose.science.quantiles import t_quantile
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import TINY, Between, Estimate, Interval, NotEstimable, divided, refused

VALID: Final[Valid] = {
    "successes": Range(0.0, 1e9, "", "number of successes"),
    "trials": Range(0.0, 1e9, "", "number of trials"),
    "level_percent": Range(50.0, 99.99, "%", "level of confidence"),
    "share": Range(0.01, 0.9999, "", "share to be shown"),
}

NO_TRIALS: Final = "nobody tried"
NO_SPREAD: Final = "all trials came out alike, and this interval would have no width"


def share(successes: float, trials: float) -> Estimate:
    """The share of successes [1].

    >>> share(18, 20)
    0.9
    """
    _counts(successes, trials)
    return divided(successes, trials, NO_TRIALS)


def wilson(successes: float, trials: float, level_percent: float = 95.0) -> Between:
    """The score interval of a share: near its level for small groups too.

    Equation:  (2 n p + z^2 ± z sqrt(z^2 + 4 n p (1 - p))) / (2 (n + z^2))
    Symbols:   n   trials [1]     p   share of successes [1]     z   normal quantile of the level [1]; ranges in VALID
    Source:    E. B. Wilson 1927; as method 3 of R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872.
    Example:   81 of 263: 0.2553 to 0.3662 (Newcombe, table I).

    >>> [round(end, 4) for end in wilson(81, 263)]
    [0.2553, 0.3662]
    """
    _counts(successes, trials, level_percent)
    if not trials:
        return NotEstimable(NO_TRIALS)
    z = _z(level_percent)
    middle, spread = successes + z * z / 2.0, z * sqrt(z * z / 4.0 + successes * (trials - successes) / trials)
    low = 0.0 if not successes else (middle - spread) / (trials + z * z)
    return Interval(low, 1.0 if successes == trials else (middle + spread) / (trials + z * z))


def exact(successes: float, trials: float, level_percent: float = 95.0) -> Between:
    """The exact interval of a share: never below its level, and so wider.

    Equation:  low = B(a / 2; x, n - x + 1), high = B(1 - a / 2; x + 1, n - x), 0 where x = 0 and 1 where x = n
    Symbols:   B   quantile of the beta distribution     a = 1 - level     x, n   successes and trials [1]; ranges in VALID
    Source:    C. J. Clopper, E. S. Pearson 1934; as method 5 of Newcombe 1998. The beta quantile is scipy's.
    Example:   10 of 10: from 0.6915.

    >>> [round(end, 4) for end in exact(10, 10)]
    [0.6915, 1.0]
    """
    _counts(successes, trials, level_percent)
    if not trials:
        return NotEstimable(NO_TRIALS)
    outside = 50.0 - level_percent / 2.0
    low = exact_lower(successes, trials, 100.0 - outside)
    return Interval(low, 1.0 - exact_lower(trials - successes, trials, 100.0 - outside))


def exact_lower(successes: float, trials: float, level_percent: float = 95.0) -> float:
    """The exact one-sided lower bound of a share: 0 where nothing succeeded.

    Equation:  B(1 - level; x, n - x + 1), as `exact`
    Example:   3 of 3: with 95 % the true share may be as low as 0.368.

    >>> round(exact_lower(3, 3), 3)
    0.368
    """
    from scipy.special import betaincinv

    _counts(successes, trials, level_percent)
    if not successes:
        return 0.0
    return float(betaincinv(successes, trials - successes + 1.0, 1.0 - level_percent / 100.0))


def wald(successes: float, trials: float, level_percent: float = 95.0) -> Between:
    """The plain interval, as older papers print it. Not for small groups, nor near 0 and 1: `wilson` is.

    Equation:  p ± z sqrt(p (1 - p) / n)
    Example:   58 of 1180: 3.7 to 6.1 %.

    >>> [round(100 * end, 2) for end in wald(58, 1180)]
    [3.68, 6.15]
    """
    _counts(successes, trials, level_percent)
    if not trials:
        return NotEstimable(NO_TRIALS)
    if successes in (0, trials):
        return NotEstimable(NO_SPREAD)
    p = successes / trials
    reach = _z(level_percent) * sqrt(p * (1.0 - p) / trials)
    return Interval(p - reach, p + reach)


def difference(first: tuple[float, float], second: tuple[float, float], level_percent: float = 95.0) -> Between:
    """The interval of the difference of two shares, first less second, each as (successes, trials).

    Equation:  d - sqrt((p1 - l1)^2 + (u2 - p2)^2) to d + sqrt((u1 - p1)^2 + (p2 - l2)^2), l and u by `wilson`
    Source:    R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890, method 10 (from memory).
    Example:   56 of 70 against 48 of 80: 0.0524 to 0.3339.

    >>> [round(end, 4) for end in difference((56, 70), (48, 80))]
    [0.0524, 0.3339]
    """
    one, other = wilson(*first, level_percent), wilson(*second, level_percent)
    if isinstance(one, NotEstimable) or isinstance(other, NotEstimable):
        return NotEstimable(NO_TRIALS)
    p, q = first[0] / first[1], second[0] / second[1]
    low, high = hypot(p - one.low, other.high - q), hypot(one.high - p, q - other.low)
    return Interval(p - q - low, p - q + high)


def successes_needed(claim: float, level_percent: float) -> int:
    """How many successes in a row, without one failure, show a share of at least the claim.

    Equation:  n = ceil(ln(1 - C) / ln R)
    Symbols:   R   share to be shown [1]     C   level [1]; ranges in VALID
    Source:    the binomial with no failure: R^n <= 1 - C. Textbook.
    Example:   90 % shown with 95 %: 29 in a row.

    >>> successes_needed(0.9, 95.0), successes_needed(0.8, 90.0)
    (29, 11)
    """
    hold(VALID, share=claim, level_percent=level_percent)
    count = log(1.0 - level_percent / 100.0) / log(claim)
    return ceil(count - TINY * count)


def _z(level_percent: float) -> float:
    return t_quantile(0.5 + level_percent / 200.0)


def _counts(successes: float, trials: float, level_percent: float = 95.0) -> None:
    hold(VALID, successes=successes, trials=trials, level_percent=level_percent)
    if successes > trials or successes != int(successes) or trials != int(trials):
        raise refused("successes", "they are counted, and no more than the trials", successes, f"0 to {trials:g}")
