"""Is a way of measuring good enough: several people measure the same things several times (gauge repeatability and reproducibility).

Two published ways that legitimately differ: by analysis of variance, and by average and range. A component that comes out below 0 is
counted as 0, as both ways do, and is named in `cut`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.anova import f_above, two_way
from drawndose.science.statistics.estimable import Estimate, NotEstimable, divided, refused
from drawndose.science.statistics.spans import mean_span, square_span

VALID: Final[Valid] = {
    "pooled_from": Range(0.0, 1.0, "", "chance from which the interaction is pooled"),
    "tolerance": Range(1e-9, 1e9, "", "tolerance"),
}

TOO_FEW: Final = "two things, two people and two repeats at least"
NO_SPREAD: Final = "the measurements do not vary"
NO_REPEAT_SPREAD: Final = "repeats never differ"
NO_GAUGE_SPREAD: Final = "measuring adds no spread"
POOLED_FROM: Final = 0.05
DISTINCT: Final = 1.41


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Standard deviations: of repeats, between people, of measuring (both), between things, of everything. distinct: categories told apart."""

    repeat: float
    people: float
    measuring: float
    things: float
    everything: float
    distinct: Estimate
    cut: tuple[str, ...]

    def percent(self, of: float) -> float:
        """A standard deviation as percent of the study's whole variation."""
        return 100.0 * of / self.everything

    def contribution(self, of: float) -> float:
        """A variance as percent of the whole variance."""
        return 100.0 * (of / self.everything) ** 2

    def of_tolerance(self, tolerance: float) -> float:
        """Six standard deviations of measuring as percent of a tolerance (its full width, in the unit of the measurements)."""
        hold(VALID, tolerance=tolerance)
        return 600.0 * self.measuring / tolerance


@dataclass(frozen=True, slots=True, kw_only=True)
class ByAnova:
    """Sums of squares of things, people, their interaction and repeats; F and chances; whether the interaction was pooled; the spread."""

    squares: tuple[float, float, float, float]
    f_things: Estimate
    f_people: Estimate
    f_interaction: Estimate
    chance_interaction: Estimate
    pooled: bool
    interaction: float
    spread: Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class ByRange:
    """Mean range of repeats, range of the people's means, range of the things' means, and the spread they give."""

    mean_range: float
    people_range: float
    things_range: float
    spread: Spread


Cells = NDArray[np.float64]


def by_anova(values: Cells, pooled_from: float = POOLED_FROM) -> ByAnova | NotEstimable:
    """Crossed study by analysis of variance. values: things, people, repeats.

    Equation:  F of things and people over the interaction, F of the interaction over repeats; where its chance is pooled_from or more, the
               interaction is pooled with repeats. Variances: repeat = MS_e; people = (MS_o - MS_i) / (p r); interaction = (MS_i - MS_e) / r;
               things = (MS_p - MS_i) / (o r), with MS_e in the place of MS_i where pooled; distinct = floor(1.41 things / measuring)
    Symbols:   p, o, r   things, people, repeats [1]; ranges in VALID
    Source:    Measurement Systems Analysis reference manual, 4th edition (results as printed by a statistics package).

    >>> values = np.array([[[1.0, 1.1], [1.2, 1.1]], [[2.0, 2.1], [2.1, 2.2]], [[3.0, 2.9], [3.1, 3.2]]])
    >>> found = by_anova(values)
    >>> found.pooled, round(found.spread.repeat, 4), found.spread.distinct
    (True, 0.0677, 12.0)
    >>> print(by_anova(values[:, :1, :]))
    not estimable: two things, two people and two repeats at least
    """
    hold(VALID, pooled_from=pooled_from)
    cells = _cells(values)
    if isinstance(cells, NotEstimable):
        return cells
    made = two_way(cells)
    things, people, repeats = cells.shape
    of_things, of_people, both, repeat = (
        total / degrees
        for total, degrees in zip((made.rows, made.columns, made.interaction, made.repeat), made.df, strict=True)
    )
    f = divided(both, repeat, NO_REPEAT_SPREAD, both)
    chance = f if isinstance(f, NotEstimable) else f_above(f, made.df[2], made.df[3])
    pooled = not isinstance(chance, NotEstimable) and chance >= pooled_from
    error = (made.interaction + made.repeat) / (made.df[2] + made.df[3]) if pooled else repeat
    beside = error if pooled else both
    found = {
        "people": (of_people - beside) / (things * repeats),
        "interaction": 0.0 if pooled else (both - error) / repeats,
        "things": (of_things - beside) / (people * repeats),
    }
    kept = {name: max(variance, 0.0) for name, variance in found.items()}
    cut = tuple(name for name, variance in found.items() if variance < 0)
    spread = _spread(sqrt(error), sqrt(kept["people"] + kept["interaction"]), sqrt(kept["things"]), cut)
    if isinstance(spread, NotEstimable):
        return spread
    return ByAnova(
        squares=(made.rows, made.columns, made.interaction, made.repeat),
        f_things=divided(of_things, both, NO_REPEAT_SPREAD, of_things),
        f_people=divided(of_people, both, NO_REPEAT_SPREAD, of_people),
        f_interaction=f,
        chance_interaction=chance,
        pooled=pooled,
        interaction=sqrt(kept["interaction"]),
        spread=spread,
    )


def by_range(values: Cells) -> ByRange | NotEstimable:
    """Crossed study by average and range. values: things, people, repeats.

    Equation:  EV = mean range K1; AV = sqrt((range of people's means K2)^2 - EV^2 / (p r)); PV = range of things' means K3
    Symbols:   K1 = 1 / d2 of r repeats, K2 = 1 / d2* of o people, K3 = 1 / d2* of p things, with four decimals as the manual prints them
    Source:    Measurement Systems Analysis reference manual, 4th edition; constants read, results from memory.

    >>> values = np.array([[[1.0, 1.1], [1.2, 1.1]], [[2.0, 2.1], [2.1, 2.2]], [[3.0, 2.9], [3.1, 3.2]]])
    >>> found = by_range(values)
    >>> round(found.mean_range, 3), round(found.spread.repeat, 4)
    (0.1, 0.0886)
    """
    cells = _cells(values)
    if isinstance(cells, NotEstimable):
        return cells
    things, people, repeats = cells.shape
    mean_range = float(np.ptp(cells, axis=2).mean())
    people_range = float(np.ptp(cells.mean(axis=(0, 2))))
    things_range = float(np.ptp(cells.mean(axis=(1, 2))))
    repeat = mean_range * round(1.0 / mean_span(repeats), 4)
    square = (people_range * round(1.0 / square_span(people), 4)) ** 2 - repeat**2 / (things * repeats)
    between = things_range * round(1.0 / square_span(things), 4)
    spread = _spread(repeat, sqrt(max(square, 0.0)), between, ("people",) if square < 0 else ())
    if isinstance(spread, NotEstimable):
        return spread
    return ByRange(mean_range=mean_range, people_range=people_range, things_range=things_range, spread=spread)


def _cells(values: Cells) -> Cells | NotEstimable:
    cells = np.asarray(values, dtype=np.float64)
    if cells.ndim != 3 or not np.isfinite(cells).all():
        raise refused(
            "values", "things, people and repeats, none missing", cells.shape, "10 things, 3 people, 3 repeats"
        )
    return cells if min(cells.shape) > 1 else NotEstimable(TOO_FEW)


def _spread(repeat: float, people: float, things: float, cut: tuple[str, ...]) -> Spread | NotEstimable:
    measuring = sqrt(repeat**2 + people**2)
    everything = sqrt(measuring**2 + things**2)
    if not everything:
        return NotEstimable(NO_SPREAD)
    ratio = divided(DISTINCT * things, measuring, NO_GAUGE_SPREAD, things)
    return Spread(
        repeat=repeat,
        people=people,
        measuring=measuring,
        things=things,
        everything=everything,
        distinct=ratio if isinstance(ratio, NotEstimable) else float(floor(ratio)),
        cut=cut,
    )
