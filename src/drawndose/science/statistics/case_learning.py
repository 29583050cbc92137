"""Kinds of check cases on learning: both CUSUM lines, abilities, and the days between practices."""

from __future__ import annotations

from drawndose.science.statistics import cusum, lc_cusum, rasch, spacing, two_parameter
from drawndose.science.statistics.case_inputs import Given, Result
from drawndose.science.statistics.estimable import NotEstimable

HORIZONS = (10, 20, 30)
"""After so many tries the chance of a signal is told."""


def standard(given: Given) -> Result:
    """The standard CUSUM with Wald's limits."""
    p0, p1 = given.number("p0"), given.number("p1")
    up, down, s = cusum.parts(p0, p1)
    made = cusum.design(p0, p1, given.number("alpha"), given.number("beta"))
    return {"P": up, "Q": down, "s": s, "one_minus_s": 1.0 - s, "h0": made.lower, "h1": made.upper}


def increments(given: Given) -> Result:
    """What a success and a failure add to LC-CUSUM."""
    p0 = given.number("p0")
    made = lc_cusum.design(p0, p0 + given.number("d"), given.number("h"))
    return {"w_success": made.success, "w_failure": made.failure, "fewest_successes": made.fewest_successes}


def signals(given: Given) -> Result:
    """The chance that LC-CUSUM signals, of who is competent and of who is not."""
    made = lc_cusum.design(given.number("p0"), given.number("p1"), given.number("h"))
    found: dict[str, float | int] = {
        "w_success": made.success,
        "w_failure": made.failure,
        "fewest_successes": made.fewest_successes,
    }
    for word, rate in (("false", made.p1), ("true", made.p0)):
        chances = lc_cusum.mastery(made, rate, HORIZONS[-1])
        found |= {f"{word}_mastery_{tries}": chances[tries - 1] for tries in HORIZONS}
    return found


def rasch_chance(given: Given) -> Result:
    """The chance of a right answer by difficulty, in their order."""
    theta = given.number("theta")
    return {f"P{place}": rasch.probability(theta, b) for place, b in enumerate(given.floats("b"))}


def rasch_ability(given: Given) -> Result:
    """The ability from a score, in three ways."""
    score, b = given.whole("raw_score"), given.floats("b")
    likely, mean, by_hand = rasch.most_likely(score, b), rasch.expected(score, b), rasch.quick(score, b)
    return {
        "mle": likely.value,
        "mle_se": likely.se,
        "eap": mean.value,
        "eap_sd": mean.se,
        "quick_b": by_hand[0],
        "quick_se": by_hand[1],
    }


def sharp_ability(given: Given) -> Result:
    """The ability where tasks differ in sharpness, and the first steps to it."""
    right = [one == 1 for one in given.numbers("u")]
    found = two_parameter.ability(right, given.floats("a"), given.floats("b"), given.number("start"))
    if isinstance(found, NotEstimable):
        return {"theta": found, "se": found}
    return {
        "theta": found.value,
        "se": found.se,
        **{f"iter{place}": one for place, one in enumerate(found.steps, start=1)},
    }


def easiness(given: Given) -> Result:
    """What each answer adds to the easiness."""
    return {f"q{one}": spacing.change(int(one)) for one in given.numbers("q")}


def days(given: Given) -> Result:
    """The days between practices."""
    made = spacing.schedule([int(one) for one in given.numbers("q")])
    return {f"I{place}": one.days for place, one in enumerate(made, start=1)}


KINDS = {
    "cusum": (standard, "p0 p1 alpha beta", ""),
    "lc_cusum_increments": (increments, "p0 d h", ""),
    "lc_cusum_exact": (signals, "p0 p1 h", ""),
    "rasch_probability": (rasch_chance, "theta b", ""),
    "rasch_ability": (rasch_ability, "b raw_score", ""),
    "two_parameter_ability": (sharp_ability, "a b u start", ""),
    "sm2_easiness": (easiness, "q", ""),
    "sm2_intervals": (days, "q", ""),
}
