"""Figures of this storey for people: two or three significant digits, never more than the figure is worth."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import isinf

from drawndose.quantities import Quantity, show_about
from drawndose.quantities.units import Unit, unit
from drawndose.science.budget import Budget
from drawndose.science.montecarlo import Estimate, Trial


def percent_words(share: float) -> str:
    """A share as percent, two significant digits.

    >>> percent_words(0.0583), percent_words(0.1683), percent_words(0.00004), percent_words(0.0)
    ('5.8 %', '17 %', 'under 0.01 %', '0 %')
    """
    percent = abs(share) * 100.0
    if not percent:
        return "0 %"
    if percent < 0.01:
        return "under 0.01 %"
    return f"{_plain(percent, 2)} %"


def chance_percent(chance: float) -> str:
    """A chance as percent, never as a certainty.

    >>> chance_percent(0.0), chance_percent(0.123), chance_percent(1.0)
    ('under 0.01 %', '12 %', 'over 99.99 %')
    """
    if chance > 0.9999:
        return "over 99.99 %"
    return f"{_plain(chance * 100.0, 4 if chance > 0.99 else 2)} %" if chance > 0.0001 else "under 0.01 %"


def degrees_words(nu: float) -> str:
    """Degrees of freedom, cut to a whole number, which is the safe side.

    >>> degrees_words(15.7), degrees_words(float("inf"))
    ('15', 'infinite')
    """
    return "infinite" if isinf(nu) else f"{int(nu):,}"


def budget_words(found: Budget, of: float = 1.0) -> str:
    """Standard and expanded uncertainty as shares of a whole, with what they rest on."""
    return (
        f"Standard uncertainty {percent_words(found.u / of)}, expanded {percent_words(found.expanded / of)} "
        f"at {found.level_percent:g} % (k = {found.k:.2f}, effective degrees of freedom {degrees_words(found.nu)})."
    )


def trial_words(trial: Trial, chances: Iterable[Estimate], of: float = 1.0) -> str:
    """How many trials, and what their own numerical error is: the largest of the ends, and of the chances."""
    ends = max(trial.low.error, trial.high.error) / of
    return (
        f"Found by {trial.trials:,} trials; their own error (one standard deviation) is {percent_words(ends)} in the ends "
        f"and {percent_words(max(one.error for one in chances))} in the chances."
    )


def chance_words(found: Estimate) -> str:
    """A chance in words, no finer than the number of trials allows."""
    return percent_words(found.value) if found.value else f"under {percent_words(found.error).removeprefix('under ')}"


def beyond_words(chances: Iterable[tuple[Fraction, Estimate]]) -> str:
    """The chances of being off by more than shares: "by more than 5 %: 12 %, by more than 10 %: under 0.01 %"."""
    return ", ".join(f"by more than {percent_words(float(by))}: {chance_words(found)}" for by, found in chances)


def amount_words(value: float, unit: Unit, digits: int = 3) -> str:
    """An amount that is only about right, said so: "about 2.34 mg"."""
    text = show_about(Quantity(Fraction(_plain(max(value, 0.0), digits)), unit))
    return text if text.startswith("about ") else f"about {text}"


def volume_words(mL: float, digits: int = 3) -> str:
    """A volume in mL that is only about right.

    >>> volume_words(0.42613), volume_words(0.0261, 2)
    ('about 0.426 mL', 'about 0.026 mL')
    """
    return amount_words(mL, unit("mL"), digits)


def _plain(value: float, digits: int) -> str:
    """A number with so many significant digits, without an exponent and without zeros at the end."""
    short = f"{value:.{digits}g}"
    text = f"{float(short):.10f}"
    return text.rstrip("0").rstrip(".")
