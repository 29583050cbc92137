"""Does it last: the same learners later. Of those who could do it, how many still can; and whether the change is more than chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import Between, Estimate, NotEstimable, refused
from drawndose.science.statistics.proportion import share, wilson
from drawndose.science.statistics.readings import Summary, summary

VALID: Final[Valid] = {"level_percent": Range(50.0, 99.9, "%", "level of confidence")}

NOBODY_COULD: Final = "nobody who was tested again could do it at first"
NOBODY_AGAIN: Final = "nobody was tested again"
NO_CHANGE: Final = "nobody changed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """both, lost, gained, neither: learners by what they could do at first and later. missing: who was not tested twice.

    kept: of those who could, the share that still can. change: share that can later, less share that could. chance: of so one-sided a change,
    or more so, where losing and gaining are as likely.
    """

    both: int
    lost: int
    gained: int
    neither: int
    missing: int
    kept: Estimate
    interval: Between
    change: Estimate
    chance: Estimate


def retention(before: Sequence[bool | None], later: Sequence[bool | None], level_percent: float = 95.0) -> Kept:
    """The same learners twice, in one order; None where somebody was not tested.

    Equation:  kept = both / (both + lost), Wilson's interval; chance = 2 P(X >= max(lost, gained)), X binomial of lost + gained with 1/2
    Source:    Q. McNemar 1947, exact form: textbook.
    Example:   of ten who could, seven still can, and nobody gained.

    >>> found = retention([True] * 10, [True] * 7 + [False] * 3)
    >>> found.kept, found.lost, found.chance, [round(end, 2) for end in found.interval]
    (0.7, 3, 0.25, [0.4, 0.89])
    >>> print(retention([True], [True]).chance)
    not estimable: nobody changed
    """
    from scipy.special import bdtrc

    hold(VALID, level_percent=level_percent)
    if len(before) != len(later):
        raise refused("later", "the same learners, in one order", f"{len(later)} results", str(len(before)))
    pairs = [(one, other) for one, other in zip(before, later, strict=True) if one is not None and other is not None]
    both, lost, gained = (pairs.count(kind) for kind in ((True, True), (True, False), (False, True)))
    moved = lost + gained
    chance: Estimate = NotEstimable(NO_CHANGE if pairs else NOBODY_AGAIN)
    if moved:
        chance = min(1.0, 2.0 * float(bdtrc(max(lost, gained) - 1.0, moved, 0.5)))
    nobody = NotEstimable(NOBODY_COULD)
    return Kept(
        both=both,
        lost=lost,
        gained=gained,
        neither=len(pairs) - both - moved,
        missing=len(before) - len(pairs),
        kept=share(both, both + lost) if both + lost else nobody,
        interval=wilson(both, both + lost, level_percent) if both + lost else nobody,
        change=(gained - lost) / len(pairs) if pairs else NotEstimable(NOBODY_AGAIN),
        chance=chance,
    )


def change_in_points(
    before: Sequence[float | None], later: Sequence[float | None], level_percent: float = 95.0
) -> Summary:
    """Later less before, learner by learner, with the mean's interval by Student's t. Who was not tested twice is left out.

    >>> found = change_in_points([90, 80, 85, None], [85, 70, 85, 60])
    >>> found.mean, found.count
    (-5.0, 3)
    """
    if len(before) != len(later):
        raise refused("later", "the same learners, in one order", f"{len(later)} results", str(len(before)))
    pairs = zip(before, later, strict=True)
    return summary([other - one for one, other in pairs if one is not None and other is not None], level_percent)
