"""Would a process keep inside its limits: spread against tolerance, within groups and overall. Needs 20 to 25 groups to say much."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np

from drawndose.science.statistics.estimable import Estimate, NotEstimable, refused
from drawndose.science.statistics.spans import mean_span
from drawndose.science.statistics.tables import Rows, matrix

TOO_FEW: Final = "two readings at least"
NO_SPREAD: Final = "the readings do not vary"
NO_LIMIT: Final = "this limit is not set"
NO_TARGET: Final = "no target is set"
ENOUGH: Final = 25
"""From so many groups (or single readings) on, capability is usually told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Capability:
    """cp, cpk, cpm by the spread within groups (sigma); pp, ppk by the spread of all readings. groups: how many there were."""

    groups: int
    mean: float
    mean_range: Estimate
    sigma: Estimate
    sd: Estimate
    cp: Estimate
    cpk: Estimate
    cpm: Estimate
    pp: Estimate
    ppk: Estimate

    @property
    def few(self) -> bool:
        """True where there are fewer groups than are usually asked for."""
        return self.groups < ENOUGH


def capability(
    groups: Rows | Sequence[float], low: float | None, high: float | None, target: float | None = None
) -> Capability:
    """Capability of readings in groups of one size, or of single readings in their order.

    Equation:  sigma = mean range / d2 (for single readings: of neighbours, d2 of 2); Cp = (U - L) / (6 sigma);
               Cpk = min(U - mean, mean - L) / (3 sigma); Cpm = (U - L) / (6 sqrt(sigma^2 + (mean - target)^2)); Pp, Ppk with s for sigma
    Symbols:   L, U   limits, in the unit of the readings
    Source:    D. C. Montgomery, Introduction to Statistical Quality Control; standard definitions.
    Example:   see the check case of the piston rings.

    >>> found = capability([[9.9, 10.1], [10.0, 10.2]], 9.0, 11.0)
    >>> round(found.cp, 3), round(found.cpk, 3)
    (1.881, 1.787)
    >>> print(capability([[1, 1]], 0, 2).cp, capability([[9.9, 10.1]], None, 11.0).cp, sep="; ")
    not estimable: the readings do not vary; not estimable: this limit is not set
    """
    if low is not None and high is not None and not low < high:
        raise refused("limits", "the lower limit lies below the upper one", f"{low} and {high}", "0.475 and 0.525")
    single = not isinstance(groups, np.ndarray) and len(groups) > 0 and not isinstance(groups[0], Sequence)
    table = matrix([groups] if single else groups, "groups")  # type: ignore[list-item, arg-type]
    if np.isnan(table).any():
        raise refused("groups", "no reading is missing", "a missing reading", "groups of one size")
    spans = np.abs(np.diff(table[0])) if table.shape[0] == 1 and single else np.ptp(table, axis=1)
    size = 2 if single else table.shape[1]
    mean = float(table.mean())
    mean_range: Estimate = float(spans.mean()) if spans.size and size > 1 else NotEstimable(TOO_FEW)
    sigma = mean_range if isinstance(mean_range, NotEstimable) else _spread(mean_range / mean_span(size))
    sd: Estimate = _spread(float(table.std(ddof=1))) if table.size > 1 else NotEstimable(TOO_FEW)
    return Capability(
        groups=table.size if single else len(table),
        mean=mean,
        mean_range=mean_range,
        sigma=sigma,
        sd=sd,
        cp=_wide(sigma, low, high),
        cpk=_nearest(sigma, mean, low, high),
        cpm=_to_target(sigma, mean, target, low, high),
        pp=_wide(sd, low, high),
        ppk=_nearest(sd, mean, low, high),
    )


def _spread(value: float) -> Estimate:
    return value if value > 0 else NotEstimable(NO_SPREAD)


def _wide(spread: Estimate, low: float | None, high: float | None) -> Estimate:
    if isinstance(spread, NotEstimable):
        return spread
    return NotEstimable(NO_LIMIT) if low is None or high is None else (high - low) / (6.0 * spread)


def _nearest(spread: Estimate, mean: float, low: float | None, high: float | None) -> Estimate:
    if isinstance(spread, NotEstimable):
        return spread
    rooms = [
        room
        for room in (None if high is None else high - mean, None if low is None else mean - low)
        if room is not None
    ]
    return min(rooms) / (3.0 * spread) if rooms else NotEstimable(NO_LIMIT)


def _to_target(spread: Estimate, mean: float, target: float | None, low: float | None, high: float | None) -> Estimate:
    if target is None:
        return NotEstimable(NO_TARGET)
    return spread if isinstance(spread, NotEstimable) else _wide(sqrt(spread**2 + (mean - target) ** 2), low, high)
