"""Kinds of check cases on readings: agreement of two ways, gauge studies, capability, analysis of variance, mean and spread."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from drawndose.science.quantiles import t_quantile
from drawndose.science.statistics.anova import one_way
from drawndose.science.statistics.bland_altman import limits_of_agreement, repeatability
from drawndose.science.statistics.capability import capability
from drawndose.science.statistics.case_inputs import Given, Result, ends
from drawndose.science.statistics.estimable import NotEstimable
from drawndose.science.statistics.gauge import Spread, by_anova, by_range
from drawndose.science.statistics.readings import bias, summary, variation
from drawndose.science.statistics.regression import line


def two_ways(given: Given) -> Result:
    """Limits of agreement of two meters' first readings, with both multipliers (1.96 with all its digits, and 2), and the repeatability of each."""
    large, again_large, mini, again_mini = (
        given.floats(name) for name in ("meter_large_1", "meter_large_2", "meter_mini_1", "meter_mini_2")
    )
    found, two = (limits_of_agreement(large, mini, multiplier) for multiplier in (t_quantile(0.975), 2.0))
    fitted = line(large, mini)
    made: dict[str, object] = {
        "bias": found.bias,
        "sd": found.sd,
        "se_limit": two.se_limit,
        "repeat_sd_diff_large": repeatability(large, again_large),
        "repeat_sd_diff_mini": repeatability(mini, again_mini),
        "r": fitted if isinstance(fitted, NotEstimable) else fitted.correlation(),
        **ends(found.limits, "loa196_low", "loa196_high"),
        **ends(two.limits, "loa2_low", "loa2_high"),
        **ends(found.bias_interval, "bias_ci_low", "bias_ci_high"),
        **ends(two.low_interval, "lower2_ci_low", "lower2_ci_high"),
        **ends(two.high_interval, "upper2_ci_low", "upper2_ci_high"),
    }
    return made  # type: ignore[return-value]


def _cells(given: Given) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """A row for each thing, so many repeats of each person beside one another; three where it is not said."""
    rows = np.array(given.table("values"), dtype=np.float64)
    repeats = given.whole("repeats") if "repeats" in given else 3
    return rows.reshape(len(rows), -1, repeats)


def _spread(found: Spread) -> Result:
    return {
        "EV": found.repeat,
        "AV": found.people,
        "GRR": found.measuring,
        "PV": found.things,
        "TV": found.everything,
        "ndc": found.distinct,
        "pct_EV": found.percent(found.repeat),
        "pct_AV": found.percent(found.people),
        "pct_GRR": found.percent(found.measuring),
        "pct_PV": found.percent(found.things),
    }


def gauge_anova(given: Given) -> Result:
    """A crossed gauge study by analysis of variance."""
    found = by_anova(_cells(given))
    if isinstance(found, NotEstimable):
        return {"GRR": found, "ndc": found}
    spread = found.spread
    return {
        **dict(zip(("ss_part", "ss_operator", "ss_interaction", "ss_repeat"), found.squares, strict=True)),
        "F_interaction": found.f_interaction,
        "p_interaction": found.chance_interaction,
        "F_part": found.f_things,
        "F_operator": found.f_people,
        "var_repeat": spread.repeat**2,
        "var_repro": spread.people**2,
        "var_grr": spread.measuring**2,
        "var_part": spread.things**2,
        "contrib_grr": spread.contribution(spread.measuring),
        "contrib_part": spread.contribution(spread.things),
        "sv_grr": spread.percent(spread.measuring),
        "sv_repeat": spread.percent(spread.repeat),
        "sv_repro": spread.percent(spread.people),
        "sv_part": spread.percent(spread.things),
        **_spread(spread),
    }


def gauge_range(given: Given) -> Result:
    """The same by average and range."""
    found = by_range(_cells(given))
    if isinstance(found, NotEstimable):
        return {"GRR": found, "ndc": found}
    named = {"Rbar": found.mean_range, "Xdiff": found.people_range, "Rp": found.things_range}
    return {**named, **_spread(found.spread)}


def capable(given: Given) -> Result:
    """Capability of readings in groups."""
    target = given.number("target") if "target" in given else None
    found = capability(given.table("values"), given.number("lsl"), given.number("usl"), target)
    return {
        "grand_mean": found.mean,
        "rbar": found.mean_range,
        "sigma": found.sigma,
        "cp": found.cp,
        "cpk": found.cpk,
        "cpm": found.cpm,
        "pp": found.pp,
        "ppk": found.ppk,
    }


def variance(given: Given) -> Result:
    """One-way analysis of variance; a list for each group."""
    found = one_way(given.exact_table("values"))
    return {
        "F": found.f,
        "p": found.chance,
        "ss_between_certified": found.between,
        "ss_within_certified": found.within,
        "df_between": found.df_between,
        "df_within": found.df_within,
        "r_squared": found.r_squared,
        "residual_sd": found.residual_sd,
    }


def mean_and_spread(given: Given) -> Result:
    """Mean and standard deviation; values, or pairs of a value and how often it stands."""
    values: Sequence[Fraction] = given.numbers("values") if "values" in given else _repeated(given)
    found = summary(values)
    return {"mean": found.mean, "sd": found.sd, "r1": found.following}


def _repeated(given: Given) -> list[Fraction]:
    return [value for value, times in given.exact_table("value_times") for _ in range(int(times))]


def off_target(given: Given) -> Result:
    """Bias and coefficient of variation, both in percent."""
    mean = given.number("mean_units")
    return {
        "bias_percent": bias(mean, given.number("target_units")),
        "cv_percent": variation(given.number("sd_units"), mean),
    }


def straight_line(given: Given) -> Result:
    """A line by least squares."""
    found = line(given.numbers("x"), given.numbers("y"))
    if isinstance(found, NotEstimable):
        return dict.fromkeys(("slope", "intercept"), found)
    return {
        "slope": found.slope,
        "intercept": found.intercept,
        "r_squared": found.r_squared,
        "residual_sd": found.residual_sd,
        "se_slope": found.se_slope(),
        "se_intercept": found.se_at(0.0),
    }


KINDS = {
    "bland_altman": (two_ways, "meter_large_1 meter_large_2 meter_mini_1 meter_mini_2", ""),
    "gauge_rr_anova": (gauge_anova, "values", "repeats"),
    "gauge_rr_average_range": (gauge_range, "values", "repeats"),
    "capability": (capable, "values lsl usl", "target"),
    "one_way_anova": (variance, "values", ""),
    "univariate": (mean_and_spread, "", "values value_times"),
    "bias_cv": (off_target, "target_units mean_units sd_units", ""),
    "regression": (straight_line, "x y", ""),
}
