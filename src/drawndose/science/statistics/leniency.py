"""Who is lenient, and on which step: each evaluator against the others who watched the same tries.

Only tries that two or more evaluators scored say anything: alone, a lenient evaluator and a good class look the same. With many evaluators and
steps some differences are large by chance; so one is only named when the exchange test, made stricter for the number of comparisons, finds
it. One lenient evaluator makes all the others look severe; so who is named is set aside, and the others are compared among themselves.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.science.quantiles import t_quantile
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import TINY, Between, Estimate, NotEstimable, around, refused
from drawndose.science.statistics.exchange import exchange_chance

VALID: Final[Valid] = {"level_percent": Range(50.0, 99.9, "%", "level of confidence of all comparisons together")}

NO_OTHER: Final = "nobody else scored the same tries, or only who was named already"
ONE_TRY: Final = "one try that others scored too shows no spread"
SAME_GAP: Final = "the difference is the same on every try, and a spread cannot be seen"
FINEST: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """An evaluator on a step (None: over all steps): mean of own score less the others' mean, and its interval; without who is named.

    above, below: on how many tries the own score was higher, or lower, than the others' mean. chance: of scores that lie so far to one side, or
    farther, if the evaluator were as the others with whom it was compared last (`exchange`). named: True where that is too small to be chance
    among all comparisons. Of two evaluators both are named: the data do not say which of them is right.
    """

    evaluator: int
    step: int | None
    tries: int
    above: int
    below: int
    difference: Estimate
    interval: Between
    chance: Estimate
    named: bool

    @property
    def lenient(self) -> bool:
        """Named, and higher than the others."""
        return self.named and not self.severe

    @property
    def severe(self) -> bool:
        """Named, and lower than the others."""
        return self.named and isinstance(self.difference, float) and self.difference < 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Leniency:
    """Each evaluator over all steps, and on each step; both in the order of the evaluators. comparisons: for how many they are widened."""

    overall: tuple[Gap, ...]
    by_step: tuple[Gap, ...]
    comparisons: int

    @property
    def named(self) -> tuple[Gap, ...]:
        """Lenient or severe on a step, the least likely by chance first."""
        return tuple(sorted((gap for gap in self.by_step if gap.named), key=_chance))


def leniency(scores: NDArray[np.floating], level_percent: float = 95.0) -> Leniency:
    """Each evaluator against the others. scores: evaluators, tries, steps; NaN where somebody did not score.

    Equation:  d = own score less the mean of the others' on the same try and step; mean d ± t s / sqrt(n), n tries;
               t of 1 - (1 - level) / (2 comparisons) (Bonferroni); over all steps: d is the try's mean over its steps;
               named where `exchange_chance` is at most (1 - level) / comparisons, the least likely first, then without that one
    Symbols:   scores in points, 1 done and 0 not; level in VALID
    Source:    Student's t of paired differences, permutation within tries, and Bonferroni's inequality: textbook.
    Example:   the first evaluator says yes where two others say no.

    >>> scores = np.array([[[1.0], [1.0], [1.0], [0.0]], [[0.0], [0.0], [1.0], [0.0]], [[0.0], [0.0], [1.0], [0.0]]])
    >>> found = leniency(scores)
    >>> found.overall[0].difference, found.overall[1].difference
    (0.5, -0.25)
    """
    hold(VALID, level_percent=level_percent)
    table = np.asarray(scores, dtype=np.float64)
    if table.ndim != 3 or not table.size or np.isinf(table).any():
        raise refused("scores", "evaluators, tries and steps", table.shape, "an array of three axes")
    evaluators, _, steps = table.shape
    comparisons = evaluators * steps
    by_step = [_gaps(table[:, :, at : at + 1], at + 1, comparisons, level_percent) for at in range(steps)]
    return Leniency(
        overall=_gaps(table, None, evaluators, level_percent),
        by_step=tuple(by_step[step][who] for who in range(evaluators) for step in range(steps)),
        comparisons=comparisons,
    )


def _apart(scores: NDArray[np.float64]) -> NDArray[np.float64]:
    """Own score less the mean of the others', for each evaluator and try: the mean over the steps; NaN where nobody else scored."""
    there = ~np.isnan(scores)
    filled = np.where(there, scores, 0.0)
    others = there.sum(axis=0)[None] - there
    mean = (filled.sum(axis=0)[None] - filled) / np.maximum(others, 1)
    return _over_steps(np.where(there & (others > 0), filled - mean, np.nan))


def _over_steps(apart: NDArray[np.float64]) -> NDArray[np.float64]:
    """The mean over the steps of each try; NaN where it has none."""
    there = ~np.isnan(apart)
    count = there.sum(axis=2)
    made: NDArray[np.float64] = np.where(count > 0, np.nansum(apart, axis=2) / np.maximum(count, 1), np.nan)
    return made


def _gaps(scores: NDArray[np.float64], step: int | None, comparisons: int, level: float) -> tuple[Gap, ...]:
    """Every evaluator on one step, or over all. scores: evaluators, tries, steps.

    Who is named is set aside before the others are compared again; each keeps the comparison in which it was named, or the last.
    """
    allowed = (1.0 - level / 100.0) / comparisons
    rest = scores.copy()
    gaps: dict[int, Gap] = {}
    while True:
        apart, whole = _apart(rest), _over_steps(rest)
        left = [who for who in range(len(scores)) if who not in gaps]
        made = {who: _gap(who, step, apart[who], whole, allowed) for who in left}
        least = min((_chance(gap) for gap in made.values() if gap.named), default=None)
        if least is None:
            gaps |= made
            return tuple(gaps[who] for who in range(len(scores)))
        strange = {who: gap for who, gap in made.items() if gap.named and _chance(gap) <= least * (1.0 + TINY)}
        gaps |= strange
        rest[list(strange)] = np.nan


def _gap(who: int, step: int | None, apart: NDArray[np.float64], scores: NDArray[np.float64], allowed: float) -> Gap:
    values = apart[~np.isnan(apart)]
    middle: Estimate = float(values.mean()) if len(values) else NotEstimable(NO_OTHER)
    chance: Estimate = exchange_chance(scores, who) if len(values) else NotEstimable(NO_OTHER)
    return Gap(
        evaluator=who + 1,
        step=step,
        tries=len(values),
        above=int((values > TINY).sum()),
        below=int((values < -TINY).sum()),
        difference=middle,
        interval=around(middle, _reach(values, max(allowed / 2.0, FINEST))),
        chance=chance,
        named=isinstance(chance, float) and chance <= allowed,
    )


def _reach(values: NDArray[np.float64], outside: float) -> Estimate:
    if len(values) < 2:
        return NotEstimable(ONE_TRY)
    if float(np.ptp(values)) <= TINY:
        return NotEstimable(SAME_GAP)
    return t_quantile(1.0 - outside, len(values) - 1.0) * float(values.std(ddof=1)) / sqrt(len(values))


def _chance(gap: Gap) -> float:
    return gap.chance if isinstance(gap.chance, float) else 1.0
