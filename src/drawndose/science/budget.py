"""The budget: what an uncertain result owes to each of its inputs, combined, with its coverage factor.

First order, as JCGM 100 (the GUM) does it: u_c^2 is the sum of the squared contributions |c| u (clause 5.1.2), degrees of
freedom by Welch and Satterthwaite (G.4.1), k by Student's t, U = k u_c (6.2). Clause numbers are from memory. Where that
misleads (one rectangle that outweighs the rest), the budget says so, and `montecarlo` answers instead.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from math import inf, isinf, sqrt
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drawndose.science.quantiles import coverage_factor

Values = NDArray[np.float64]
"""Many values of one input, or of the answer."""

DOMINANT: Final = 0.3
"""A rectangle outweighs the rest when all the others together come to no more than this share of it (EA-4/02, from memory)."""


class Shape(Enum):
    """How an input is spread: anywhere between limits, rather in the middle of limits, or about a mean."""

    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"
    NORMAL = "normal"


DIVISOR: Final = {Shape.RECTANGULAR: sqrt(3.0), Shape.TRIANGULAR: sqrt(6.0), Shape.NORMAL: 1.0}
"""Half-width to standard uncertainty: JCGM 100, 4.3.7 and 4.3.9 (clause numbers from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One input that is not exactly known.

    spread: half-width of the limits, or the standard deviation of a NORMAL one. nu: degrees of freedom of a spread that
    was found by experiment. group: terms of one group (the readings of several fills) are told as one contribution.
    """

    name: str
    group: str
    shape: Shape
    spread: float
    centre: float = 0.0
    nu: float = inf

    @property
    def u(self) -> float:
        """Standard uncertainty."""
        return self.spread / DIVISOR[self.shape]

    @property
    def limit(self) -> float:
        """How far off it can be at most; infinite for a NORMAL one."""
        return inf if self.shape is Shape.NORMAL and self.spread else self.spread


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """An answer as a function of uncertain terms: it takes the terms' values by name and works on whole arrays."""

    terms: tuple[Term, ...]
    answer: Callable[[Mapping[str, Values]], Values]


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """What the answer owes to one input, in the answer's unit: standard uncertainty, limit, degrees of freedom."""

    name: str
    shape: Shape
    u: float
    limit: float = inf
    nu: float = inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """A value with its contributions, the largest first. u: combined standard uncertainty; nu: its degrees of freedom."""

    value: float
    contributions: tuple[Contribution, ...]
    level_percent: float
    u: float
    nu: float
    k: float

    @property
    def expanded(self) -> float:
        """The expanded uncertainty U = k u."""
        return self.k * self.u

    @property
    def limit(self) -> float:
        """The arithmetic sum of the limits: the answer cannot be further off. Infinite where an input has none."""
        return sum(one.limit for one in self.contributions)

    @property
    def half_width(self) -> float:
        """The expanded uncertainty, or the sum of the limits where that is smaller."""
        return min(self.expanded, self.limit)

    @property
    def dominant(self) -> Contribution | None:
        """The largest contribution; None where there is none."""
        return self.contributions[0] if self.contributions else None

    def share(self, one: Contribution) -> float:
        """A contribution's share of the variance."""
        return (one.u / self.u) ** 2 if self.u else 0.0

    @property
    def misleads(self) -> str:
        """Why k u is not to be taken for an interval here; empty where it may."""
        first = self.dominant
        if first is None:
            return ""
        if self.expanded > self.limit:
            return "k times u is wider than all the limits added up"
        rest = sqrt(max(self.u**2 - first.u**2, 0.0))
        if first.shape is Shape.RECTANGULAR and rest <= DOMINANT * first.u:
            return f"one rectangular term ({first.name}) outweighs the rest"
        return ""


def effective_degrees(contributions: Iterable[Contribution]) -> float:
    """Effective degrees of freedom [1].

    Equation:  nu_eff = u_c^4 / sum(u_i^4 / nu_i)
    Symbols:   u_i   contributions, in one unit     nu_i   their degrees of freedom [1]
    Source:    Welch-Satterthwaite, JCGM 100:2008, G.4.1 (from memory).

    >>> one = Contribution(name="a", shape=Shape.NORMAL, u=1.0, nu=9)
    >>> other = Contribution(name="b", shape=Shape.NORMAL, u=1.0, nu=9)
    >>> effective_degrees([one, other]), effective_degrees([])
    (18.0, inf)
    """
    parts = tuple(contributions)
    total = sum(one.u**2 for one in parts)
    below = sum(one.u**4 / one.nu for one in parts if not isinf(one.nu))
    return total**2 / below if below else inf


def combine(value: float, contributions: Iterable[Contribution], level_percent: float = 95.0) -> Budget:
    """The budget of a value with these contributions.

    >>> parts = [Contribution(name="a", shape=Shape.NORMAL, u=0.3), Contribution(name="b", shape=Shape.NORMAL, u=0.4)]
    >>> found = combine(10.0, parts)
    >>> found.u, found.dominant.name, round(found.expanded, 3)
    (0.5, 'b', 0.98)
    """
    parts = tuple(sorted((one for one in contributions if one.u), key=lambda one: (-one.u, one.name)))
    nu = effective_degrees(parts)
    return Budget(
        value=value,
        contributions=parts,
        level_percent=level_percent,
        u=sqrt(sum(one.u**2 for one in parts)),
        nu=nu,
        k=coverage_factor(level_percent, nu),
    )


def budget(model: Model, level_percent: float = 95.0) -> Budget:
    """The budget of a model's answer; sensitivities by stepping each term one standard uncertainty to both sides."""
    places = {term.name: place for place, term in enumerate(model.terms)}
    steps = np.zeros((len(places), 2 * len(places) + 1))
    for place, term in enumerate(model.terms):
        steps[place, :] = term.centre
        steps[place, 1 + 2 * place] += term.u
        steps[place, 2 + 2 * place] -= term.u
    found = model.answer({name: steps[place] for name, place in places.items()})
    found = np.broadcast_to(found, (steps.shape[1],))
    groups: dict[str, list[tuple[Term, float]]] = {}
    for place, term in enumerate(model.terms):
        moved = abs(float(found[1 + 2 * place] - found[2 + 2 * place])) / 2.0
        groups.setdefault(term.group, []).append((term, moved))
    return combine(float(found[0]), (_together(name, parts) for name, parts in groups.items()), level_percent)


def _together(name: str, parts: list[tuple[Term, float]]) -> Contribution:
    """The terms of one group, which are independent and share one estimate of their spread."""
    limit = sum(moved * DIVISOR[term.shape] if not isinf(term.limit) else inf for term, moved in parts if moved)
    shape = parts[0][0].shape if len(parts) == 1 else Shape.NORMAL
    u = sqrt(sum(moved**2 for _, moved in parts))
    return Contribution(name=name, shape=shape, u=u, limit=limit, nu=min(term.nu for term, _ in parts))
