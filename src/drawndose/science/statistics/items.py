"""Steps of a checklist as items: how often each is done, whether it tells good learners from weak ones, and which fails most.

A hundred learners or more are often asked for before an item is judged; a class of twenty gives hints, and the intervals say so.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from math import floor, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import TINY, Between, Estimate, NotEstimable, divided, refused
from drawndose.science.statistics.proportion import difference, share, wilson
from drawndose.science.statistics.tables import Matrix, Rows, complete, matrix

VALID: Final[Valid] = {
    "group_share": Range(0.05, 0.5, "", "share of the learners in the upper and in the lower group"),
    "level_percent": Range(50.0, 99.9, "%", "level of confidence"),
}

NOBODY: Final = "nobody has an answer on every step"
ONE_LEARNER: Final = "the class has one learner with every answer"
ALL_DID: Final = "everybody did this step"
NONE_DID: Final = "nobody did this step"
SAME_TOTAL: Final = "every learner has the same total"
SAME_REST: Final = "every learner has the same total on the other steps"
NO_ANSWER: Final = "nobody has an answer on this step"
KELLEY: Final = 0.27
HALVES: Final = 0.5


class Missing(Enum):
    """What a missing answer means. Totals need one of these; a share counts only answers that are there, or all by AS_FAIL."""

    LEFT_OUT = "a learner with a missing answer is left out of all that needs a total"
    AS_FAIL = "a missing answer counts as not done"


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One step. difficulty: share who did it (large is easy), with Wilson's interval. upper, lower: how many of each group did it;
    discrimination: difference of their shares, with its interval. plain: correlation with the total; corrected: with the total of the others.
    """

    place: int
    answered: int
    did: int
    difficulty: Estimate
    interval: Between
    upper: int
    lower: int
    discrimination: Estimate
    discrimination_interval: Between
    plain: Estimate
    corrected: Estimate

    @property
    def failed(self) -> int:
        """How many did not do it."""
        return self.answered - self.did


@dataclass(frozen=True, slots=True, kw_only=True)
class Items:
    """All steps. learners: how many have a total; left_out: how many have none; group: size of the upper and of the lower group."""

    items: tuple[Item, ...]
    learners: int
    left_out: int
    group: int
    missing: Missing

    @property
    def fails_most(self) -> tuple[Item, ...]:
        """The steps that fail most often, by share: one, or several alike; none where nobody failed anything."""
        shares = {item.place: item.failed / item.answered for item in self.items if item.failed}
        most = max(shares.values(), default=0.0)
        return tuple(item for item in self.items if shares.get(item.place, -1.0) >= most > 0.0)


def item_analysis(
    responses: Rows, group_share: float = HALVES, missing: Missing = Missing.LEFT_OUT, level_percent: float = 95.0
) -> Items:
    """Analysis of steps. responses: a row for each learner, a column for each step: 1 done, 0 not done, None missing.

    Equation:  p = did / answered; D = U / g - L / g; r = Pearson's correlation of the step with the total, plain and without the step
    Symbols:   U, L   how many of the upper and lower group did it     g   learners in a group: group_share of all, rounded, at least 1
    Source:    textbook; halves and Kelley's 27 % are both in use. Of equal totals, the earlier row stands higher.
    Example:   three learners, two steps.

    >>> found = item_analysis([[1, 1], [1, 0], [0, 0]])
    >>> [(round(item.difficulty, 4), item.discrimination, round(item.corrected, 4)) for item in found.items]
    [(0.6667, 1.0, 0.5), (0.3333, 1.0, 0.5)]
    >>> [item.place for item in found.fails_most], str(item_analysis([[1, 0], [1, 1]]).items[0].plain)
    ([2], 'not estimable: everybody did this step')
    """
    hold(VALID, group_share=group_share, level_percent=level_percent)
    table, whole = _answers(responses, missing)
    order = np.argsort(-whole.sum(axis=1), kind="stable")
    size = _group(len(whole), group_share)
    return _analysed(table, whole, (order[:size], order[len(whole) - size :]), missing, level_percent)


def by_groups(responses: Rows, upper: list[int], lower: list[int], level_percent: float = 95.0) -> Items:
    """The same, where it is already known who is in the upper and in the lower group: places of rows, from 0.

    >>> by_groups([[1, 1], [1, 0], [0, 0]], upper=[0], lower=[1, 2]).items[1].discrimination
    1.0
    """
    table, whole = _answers(responses, Missing.AS_FAIL)
    strange = [one for one in (*upper, *lower) if not 0 <= one < len(whole)]
    if strange or set(upper) & set(lower):
        raise refused(
            "groups", "each learner stands in one group, by place", strange or "one in both", f"1 to {len(whole)}"
        )
    groups = np.array(upper, dtype=np.intp), np.array(lower, dtype=np.intp)
    return _analysed(table, whole, groups, Missing.AS_FAIL, level_percent)


def _answers(responses: Rows, missing: Missing) -> tuple[Matrix, Matrix]:
    """The table, and its rows that have a total."""
    table = matrix(responses, "responses")
    if not np.isin(table[~np.isnan(table)], (0.0, 1.0)).all():
        raise refused("responses", "a step is done or not", "another number", "1, 0, or missing")
    if missing is Missing.AS_FAIL:
        table = np.nan_to_num(table, nan=0.0)
    return table, complete(table)


def _group(learners: int, group_share: float) -> int:
    return min(max(floor(learners * group_share + 0.5 - TINY), 1), learners // 2)


def _analysed(
    table: Matrix, whole: Matrix, groups: tuple[NDArray[np.intp], NDArray[np.intp]], missing: Missing, level: float
) -> Items:
    answered, did = (~np.isnan(table)).sum(axis=0), np.nansum(table, axis=0)
    sizes = tuple(len(group) for group in groups)
    upper, lower = (whole[group].sum(axis=0) for group in groups)
    plain, corrected = item_total(whole)
    no_group = NotEstimable(ONE_LEARNER if len(whole) else NOBODY)
    items = []
    for place in range(table.shape[1]):
        count, done = int(answered[place]), int(did[place])
        high, low = (int(upper[place]), sizes[0]), (int(lower[place]), sizes[1])
        items.append(
            Item(
                place=place + 1,
                answered=count,
                did=done,
                difficulty=share(done, count) if count else NotEstimable(NO_ANSWER),
                interval=wilson(done, count, level) if count else NotEstimable(NO_ANSWER),
                upper=high[0],
                lower=low[0],
                discrimination=high[0] / high[1] - low[0] / low[1] if all(sizes) else no_group,
                discrimination_interval=difference(high, low, level) if all(sizes) else no_group,
                plain=plain[place],
                corrected=corrected[place],
            )
        )
    left_out = len(table) - len(whole)
    return Items(items=tuple(items), learners=len(whole), left_out=left_out, group=sizes[0], missing=missing)


def item_total(whole: Matrix) -> tuple[tuple[Estimate, ...], tuple[Estimate, ...]]:
    """For each column its correlation with the row totals, and with the totals without it. For points too, not only 0 and 1.

    Equation:  from the covariances C: r = sum_j C_ij / sqrt(C_ii sum C); without i: (sum_j C_ij - C_ii) / sqrt(C_ii (sum C - 2 sum_j C_ij + C_ii))

    >>> [[round(one, 4) for one in kind] for kind in item_total(np.array([[1.0, 1.0], [1.0, 0.0], [0.0, 0.0]]))]
    [[0.866, 0.866], [0.5, 0.5]]
    """
    count, steps = whole.shape
    if count < 2:
        none: tuple[Estimate, ...] = (NotEstimable(ONE_LEARNER if count else NOBODY),) * steps
        return none, none
    centred = whole - whole.mean(axis=0)
    spread = centred.T @ centred / count
    with_total, own, total = spread.sum(axis=1), np.diagonal(spread), float(spread.sum())
    scale = float(own.sum())
    plain: list[Estimate] = []
    corrected: list[Estimate] = []
    for place in range(steps):
        variance, along = float(own[place]), float(with_total[place])
        if variance <= TINY * (1.0 + scale):
            same = NotEstimable(ALL_DID if whole[0, place] else NONE_DID)
            plain.append(same)
            corrected.append(same)
            continue
        rest = total - 2.0 * along + variance
        plain.append(_correlation(along, variance, total, scale, SAME_TOTAL))
        corrected.append(_correlation(along - variance, variance, rest, scale, SAME_REST))
    return tuple(plain), tuple(corrected)


def _correlation(along: float, variance: float, other: float, scale: float, because: str) -> Estimate:
    if other <= TINY * scale:
        return NotEstimable(because)
    return divided(along, sqrt(variance * other), because)
