"""The same budget by trying it many times (in the manner of JCGM 101): for intervals where k u misleads, and for chances.

One seeded generator draws everything, so the same seed gives the same answer. The answer tells its own numerical error, by the
order of the trials: the number of trials below a quantile is binomial, which needs no guess at the shape of the distribution.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import isinf, sqrt
from typing import Final

import numpy as np

from drawndose.science.budget import Model, Shape, Term, Values
from drawndose.science.ranges import Range, Valid, hold

TRIALS: Final = 200_000
SEED: Final = 101
"""Any whole number does; a caller who wants another trial names another."""

BLOCK: Final = 10_000
"""Trials worked at a time: few enough to stay in the processor's own memory, which makes the whole a third faster."""

VALID: Final[Valid] = {
    "level_percent": Range(50.0, 99.9, "%", "level of confidence"),
    "trials": Range(20_000.0, 1e8, "", "number of trials"),
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


def answers_together(models: Iterable[Model], *, trials: int = TRIALS, seed: int = SEED) -> tuple[Values, ...]:
    """The answers of several models, in the order of the trials. A term that two models name is drawn once, for both.

    >>> from drawndose.science.budget import Model, Shape, Term
    >>> one = Model(terms=(Term(name="x", group="x", shape=Shape.NORMAL, spread=1.0),), answer=lambda values: values["x"])
    >>> first, second = answers_together([one, one])
    >>> bool((first == second).all())
    True
    """
    hold(VALID, trials=trials)
    asked = tuple(models)
    terms = {term.name: term for model in asked for term in model.terms}
    chance = np.random.default_rng(seed)
    found = tuple(np.empty(trials) for _ in asked)
    for start in range(0, trials, BLOCK):
        count = min(BLOCK, trials - start)
        values = {name: _drawn(term, count, chance) for name, term in terms.items()}
        for model, into in zip(asked, found, strict=True):
            into[start : start + count] = model.answer(values)
    return found


def _drawn(term: Term, count: int, chance: np.random.Generator) -> Values:
    """Values of one term. A spread found by experiment is drawn from Student's t (JCGM 101, 6.4.9, from memory)."""
    if term.shape is Shape.RECTANGULAR:
        return chance.uniform(term.centre - term.spread, term.centre + term.spread, count)
    if term.shape is Shape.TRIANGULAR:
        return term.centre + term.spread * (chance.random(count) - chance.random(count))
    if isinf(term.nu):
        return chance.normal(term.centre, term.spread, count)
    return term.centre + term.spread * chance.standard_t(term.nu, count)


def answers(model: Model, *, trials: int = TRIALS, seed: int = SEED) -> Values:
    """The answers of one model, in the order of the trials."""
    return answers_together([model], trials=trials, seed=seed)[0]


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


def summarize(found: Values, *, level_percent: float, seed: int) -> Trial:
    """Mean, standard deviation and intervals of many answers."""
    hold(VALID, level_percent=level_percent, trials=len(found))
    ordered = np.sort(found)
    outside = (1.0 - level_percent / 100.0) / 2.0
    return Trial(
        mean=float(found.mean()),
        sd=float(found.std(ddof=1)),
        level_percent=level_percent,
        low=_quantile(ordered, outside),
        high=_quantile(ordered, 1.0 - outside),
        shortest=_shortest(ordered, level_percent),
        trials=len(found),
        seed=seed,
    )


def _quantile(ordered: Values, share: float) -> Estimate:
    """The value below which so large a share of the trials lies; its error by the places one standard deviation away."""
    last = len(ordered) - 1
    place, away = share * last, sqrt(share * (1.0 - share) * len(ordered))
    below, value, above = (float(ordered[round(one)]) for one in (place - away, place, place + away))
    return Estimate(value=value, error=(above - below) / 2.0)


def _shortest(ordered: Values, level_percent: float) -> tuple[float, float]:
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
    count = int(np.count_nonzero(found < about - by)) + int(np.count_nonzero(found > about + by))
    share = count / len(found)
    error = sqrt(share * (1.0 - share) / len(found)) if 0 < count < len(found) else 3.0 / len(found)
    return Estimate(value=share, error=error)
