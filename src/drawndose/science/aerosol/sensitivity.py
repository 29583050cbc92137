"""Which input matters most: what share of an answer's spread would go if one input were known. One card."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from drawndose.science.budget import Values
from drawndose.science.ranges import Range, Valid, hold

VALID: Final[Valid] = {
    "trials": Range(1000.0, 1e8, "", "number of trials"),
    "parts": Range(5.0, 500.0, "", "number of parts"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One input by its name, and its share of the variance of an answer [1]."""

    name: str
    share: float


def shares_of_spread(
    inputs: Mapping[str, Values], answers: Mapping[str, Values], parts: int = 50
) -> dict[str, tuple[Share, ...]]:
    """What each input explains of each answer's variance by itself, the largest first [1].

    Equation:  S = Var(E(y | x)) / Var(y), the means taken in parts of equal count along x
    Symbols:   x   one input over the trials     y   an answer over the same trials     parts   how many parts [1]; ranges
               in VALID. Where an answer does not vary there is no share
    Beware:    inputs that go together share what they explain, so the shares may add to more than 1; where inputs act only
               together they add to less. Trials alone give an input that does nothing about parts / trials.
    Source:    first-order variance-based sensitivity, as the correlation ratio (from memory); the tests hold it to cases that
               can be worked by hand.
    Example:   of y = 3 a + b, with a and b alike, a explains 90 %.

    >>> chance = np.random.default_rng(1)
    >>> a, b = chance.random(100_000), chance.random(100_000)
    >>> [(one.name, round(one.share, 2)) for one in shares_of_spread({"b": b, "a": a}, {"y": 3 * a + b})["y"]]
    [('a', 0.9), ('b', 0.1)]
    """
    vary = {name: values for name, values in answers.items() if np.ptp(values) > 1e-12 * np.max(np.abs(values))}
    found: dict[str, list[Share]] = {name: [] for name in answers}
    for given, values in inputs.items():
        hold(VALID, trials=len(values), parts=parts)
        along = np.argsort(values)[: len(values) // parts * parts]
        for name, answer in vary.items():
            means = answer[along].reshape(parts, -1).mean(axis=1)
            found[name].append(Share(name=given, share=float(np.var(means) / np.var(answer))))
    return {name: tuple(sorted(one, key=lambda each: (-each.share, each.name))) for name, one in found.items()}
