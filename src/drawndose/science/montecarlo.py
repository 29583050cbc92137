"""The same budget by trying it many times (in the manner of JCGM 101): for intervals where k u misleads, and for chances.

Everything is drawn in arrays from one seeded generator, so the same seed gives the same answer. The trial is cut into batches,
and the scatter between them is the answer's own numerical error.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isinf, sqrt
from typing import Final

import numpy as np

from drawndose.science.budget import Model, Shape, Term, Values
from drawndose.science.ranges import Range, Valid, hold

BATCHES: Final = 20
TRIALS: Final = 200_000
SEED: Final = 101
"""Any whole number does; a caller who wants another trial names another."""

VALID: Final[Valid] = {
    "level_percent": Range(50.0, 99.9, "%", "level of confidence"),
    "trials": Range(1000.0 * BATCHES, 1e8, "", "number of trials"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A number found by trial, with its numerical error (one standard deviation)."""

    value: float
    error: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What many trials gave. low and high hold the level with equal chances outside; shortest is the narrowest such interval."""

    mean: float
    sd: float
    level_percent: float
    low: Estimate
    high: Estimate
    shortest: tuple[float, float]
    trials: int
    seed: int


def sample(terms: tuple[Term, ...], trials: int, seed: int) -> dict[str, Values]:
    """Values of every term, by name, so many of each. A spread found by experiment is drawn from Student's t (6.4.9)."""
    chance = np.random.default_rng(seed)
    return {term.name: term.centre + _spread(term, trials, chance) for term in terms}


def _spread(term: Term, trials: int, chance: np.random.Generator) -> Values:
    if term.shape is Shape.RECTANGULAR:
        return chance.uniform(-term.spread, term.spread, trials)
    if term.shape is Shape.TRIANGULAR:
        return term.spread * (chance.random(trials) - chance.random(trials))
    if isinf(term.nu):
        return term.spread * chance.standard_normal(trials)
    return term.spread * chance.standard_t(term.nu, trials)


def simulate(model: Model, *, level_percent: float = 95.0, trials: int = TRIALS, seed: int = SEED) -> Trial:
    """Try the model's answer many times.

    Source: JCGM 101:2008, clauses 5 to 7 (from memory).

    >>> from drawndose.science.budget import Model, Shape, Term
    >>> half = Term(name="x", group="x", shape=Shape.RECTANGULAR, spread=1.0)
    >>> found = simulate(Model(terms=(half,), answer=lambda values: values["x"]))
    >>> round(found.high.value, 2), found.high.error < 0.005
    (0.95, True)
    """
    return summarize(answers(model, trials=trials, seed=seed), level_percent=level_percent, seed=seed)


def answers(model: Model, *, trials: int = TRIALS, seed: int = SEED) -> Values:
    """The answers themselves, in the order of the trials."""
    hold(VALID, trials=trials)
    values: Mapping[str, Values] = sample(model.terms, trials, seed)
    return np.broadcast_to(model.answer(values), (trials,)).astype(np.float64)


def summarize(found: Values, *, level_percent: float, seed: int) -> Trial:
    """Mean, standard deviation and intervals of many answers."""
    hold(VALID, level_percent=level_percent, trials=len(found))
    outside = (1.0 - level_percent / 100.0) / 2.0
    ends = np.quantile(found, (outside, 1.0 - outside))
    batched = np.array([np.quantile(part, (outside, 1.0 - outside)) for part in np.array_split(found, BATCHES)])
    errors = batched.std(axis=0, ddof=1) / sqrt(BATCHES)
    return Trial(
        mean=float(found.mean()),
        sd=float(found.std(ddof=1)),
        level_percent=level_percent,
        low=Estimate(value=float(ends[0]), error=float(errors[0])),
        high=Estimate(value=float(ends[1]), error=float(errors[1])),
        shortest=_shortest(found, level_percent),
        trials=len(found),
        seed=seed,
    )


def _shortest(found: Values, level_percent: float) -> tuple[float, float]:
    ordered = np.sort(found)
    count = round(len(ordered) * level_percent / 100.0)
    widths = ordered[count:] - ordered[: len(ordered) - count]
    place = int(np.argmin(widths))
    return float(ordered[place]), float(ordered[place + count])


def chance_beyond(found: Values, *, about: float, by: float) -> Estimate:
    """How often the answer lies further than `by` from `about`, with its numerical error. Where it never did, the error
    is three in the number of trials, below which the chance lies with 95 %.

    >>> import numpy as np
    >>> chance_beyond(np.linspace(-1.0, 1.0, 100_001), about=0.0, by=0.75).value.__round__(3)
    0.25
    """
    hold(VALID, trials=len(found))
    count = int(np.count_nonzero(np.abs(found - about) > by))
    share = count / len(found)
    error = sqrt(share * (1.0 - share) / len(found)) if 0 < count < len(found) else 3.0 / len(found)
    return Estimate(value=share, error=error)
