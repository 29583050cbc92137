"""What a pass proves: the chance that a rule lets somebody pass, by exact recursion over the steps and the tries.

A rule asks for every critical step, for a percentage of the points, and for a measured volume inside its tolerance; and it allows so many
tries. Each try more is a chance more for the learner who cannot do it. What goes in are chances, so what comes out is worth what they are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from math import ceil, lcm
from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from drawndose.quantities import Fault, Refused
from drawndose.science.ranges import Range, Valid, hold
from drawndose.science.statistics.estimable import refused

VALID: Final[Valid] = {
    "chance": Range(0.0, 1.0, "", "chance"),
    "attempts": Range(1.0, 100.0, "", "number of tries"),
    "percent_floor": Range(0.0, 100.0, "%", "least share of the points"),
}

_One = TypeVar("_One")

UNITS: Final = 2000
"""The finest division of all points that is worked through."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A step of the form: the chance that it is done, its points, and whether a pass asks for it."""

    chance: float
    critical: bool = False
    weight: Fraction | int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class PassRule:
    """What a try must show, and how many tries there are. percent_floor: of all points, the critical steps' among them.

    second_on_last: two evaluators watch the last try, and both must find it passed.
    """

    attempts: int
    percent_floor: Fraction | int = 0
    all_critical: bool = True
    second_on_last: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Eye:
    """How an evaluator sees: the chance of missing a step that was done, and of seeing one that was not."""

    misses: float = 0.0
    invents: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Passes:
    """each: the chance to pass each try by itself; by_attempt: to have passed by then."""

    each: tuple[float, ...]
    by_attempt: tuple[float, ...]

    @property
    def passes(self) -> float:
        """The chance to pass within the tries that are allowed."""
        return self.by_attempt[-1]

    @property
    def fails(self) -> float:
        """The chance to fail them all."""
        return 1.0 - self.passes


SEES_ALL: Final = Eye()


def one_try(
    steps: Sequence[Step], rule: PassRule, inside: float = 1.0, eye: Eye = SEES_ALL, evaluators: int = 1
) -> float:
    """The chance that one try is passed; with two evaluators, that both find it passed.

    Equation:  sum of P(points = x) over x >= percent_floor of all points, where a critical step that is not seen ends it; times P(inside)
               P(points) step by step: P'(x) = (1 - s) P(x) + s P(x - w)
    Symbols:   s   chance that the step is seen done [1]: chance (1 - misses) + (1 - chance) invents     w   its points
               inside   chance that the measured volume lies inside the tolerance [1]: a balance sees it, no eye; ranges in VALID
    Source:    the distribution of a sum of independent steps (Poisson binomial) by recursion: textbook. Steps are held to be independent.
    Example:   two steps of one half each, all of it asked for: one quarter.

    >>> half = Step(chance=0.5)
    >>> one_try([half, half], PassRule(attempts=1, percent_floor=100))
    0.25
    >>> one_try([half, Step(chance=0.5, critical=True)], PassRule(attempts=1, percent_floor=50))
    0.5
    """
    if evaluators not in (1, 2):
        raise refused("evaluators", "one watches a try, or two", evaluators, "1, 2")
    weights = _points(steps, rule)
    hold(VALID, chance=inside)
    hold(VALID, chance=eye.misses)
    hold(VALID, chance=eye.invents)
    wanted = ceil(sum(weights) * Fraction(rule.percent_floor) / 100)
    found = np.zeros((sum(weights) + 1,) * evaluators)
    found[(0,) * evaluators] = 1.0
    for step, weight in zip(steps, weights, strict=True):
        found = _after(found, step, weight, eye, must=step.critical and rule.all_critical)
    enough = found[(slice(wanted, None),) * evaluators]
    return inside * min(1.0, float(enough.sum()))


def operating_characteristic(
    tries: Sequence[Sequence[Step]], rule: PassRule, inside: Sequence[float] = (), eye: Eye = SEES_ALL
) -> Passes:
    """The chance to pass, try by try. tries: the steps' chances on each try, so that practice between tries can be told; one for all
    where nothing is learned. inside: likewise the chance of a volume inside; empty where no volume is measured.

    Equation:  P(passed by n) = 1 - product of (1 - p_i), i up to n
    Source:    tries are held to be independent of each other, given the learner.
    Example:   a learner who passes one try in two passes within three in seven cases of eight.

    >>> operating_characteristic([[Step(chance=0.5, critical=True)]], PassRule(attempts=3)).by_attempt
    (0.5, 0.75, 0.875)
    """
    hold(VALID, attempts=rule.attempts, percent_floor=float(rule.percent_floor))
    each_steps, each_inside = _for_each(tries, rule, "tries"), _for_each(inside or (1.0,), rule, "inside")
    worked: dict[tuple[int, float, int], float] = {}
    each = []
    for place, (steps, chance) in enumerate(zip(each_steps, each_inside, strict=True), start=1):
        evaluators = 2 if rule.second_on_last and place == rule.attempts else 1
        key = (id(steps), chance, evaluators)
        if key not in worked:
            worked[key] = one_try(steps, rule, chance, eye, evaluators)
        each.append(worked[key])
    failing = accumulate((1.0 - one for one in each), lambda so_far, one: so_far * one)
    return Passes(each=tuple(each), by_attempt=tuple(1.0 - one for one in failing))


def curve(
    critical: int, other: int, rule: PassRule, chances: Sequence[float], inside: float = 1.0
) -> tuple[tuple[float, float], ...]:
    """The chance to pass in all tries, by one chance that is the same for every step: the rule's operating characteristic as points.

    >>> [(at, round(passes, 3)) for at, passes in curve(6, 13, PassRule(attempts=3, percent_floor=80), [0.7, 0.9, 0.99])]
    [(0.7, 0.141), (0.9, 0.885), (0.99, 1.0)]
    """
    made = []
    for chance in chances:
        steps = [Step(chance=chance, critical=place < critical) for place in range(critical + other)]
        made.append((chance, operating_characteristic([steps], rule, [inside]).passes))
    return tuple(made)


def _after(found: NDArray[np.float64], step: Step, weight: int, eye: Eye, *, must: bool) -> NDArray[np.float64]:
    """The distribution of the points (of one evaluator, or of two) after one step more."""
    done, sees, invents = step.chance, 1.0 - eye.misses, eye.invents
    if found.ndim == 1:
        seen = done * sees + (1.0 - done) * invents
        added = seen * _higher(found, weight, 0)
        return added if must else added + (1.0 - seen) * found
    both = done * sees**2 + (1.0 - done) * invents**2
    one = done * sees * (1.0 - sees) + (1.0 - done) * invents * (1.0 - invents)
    first = _higher(found, weight, 0)
    added = both * _higher(first, weight, 1)
    if must:
        return added
    return added + one * (first + _higher(found, weight, 1)) + (1.0 - both - 2.0 * one) * found


def _higher(found: NDArray[np.float64], weight: int, axis: int) -> NDArray[np.float64]:
    """Moved up by so many points; nothing stands there yet to be pushed out."""
    return np.roll(found, weight, axis) if weight else found


def _points(steps: Sequence[Step], rule: PassRule) -> list[int]:
    """The weights as whole numbers. Refused with every fault."""
    hold(VALID, attempts=rule.attempts, percent_floor=float(rule.percent_floor))
    faults = []
    for place, step in enumerate(steps, start=1):
        field = f"steps, step {place}"
        if not 0 <= step.chance <= 1:
            rule_words = "a chance lies from 0 to 1"
            faults.append(Fault(field=field, rule=rule_words, came=f"{step.chance:g}", accepted="0 to 1"))
        if step.weight < 0:
            faults.append(Fault(field=field, rule="no step costs points", came=str(step.weight), accepted="0 or more"))
    if not any(step.weight > 0 for step in steps):
        faults.append(Fault(field="steps", rule="some step has points", came="none", accepted="1 or more"))
    if faults:
        raise Refused(faults)
    parts = lcm(*(Fraction(step.weight).denominator for step in steps))
    whole = [int(step.weight * parts) for step in steps]
    if sum(whole) > UNITS:
        raise refused(
            "steps", "the points divide too finely to be worked through", sum(whole), f"at most {UNITS} parts"
        )
    return whole


def _for_each(given: Sequence[_One], rule: PassRule, field: str) -> list[_One]:
    if len(given) not in (1, rule.attempts):
        raise refused(field, "one for all tries, or one for each", len(given), f"1 or {rule.attempts}")
    return list(given) * (rule.attempts if len(given) == 1 else 1)
