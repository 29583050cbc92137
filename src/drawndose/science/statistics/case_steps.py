"""Kinds of check cases on shares, steps and pass marks."""

from __future__ import annotations

from drawndose.science.statistics.case_inputs import Given, Result, ends
from drawndose.science.statistics.estimable import NotEstimable
from drawndose.science.statistics.items import by_groups, item_analysis
from drawndose.science.statistics.proportion import exact, exact_lower, share, successes_needed, wald, wilson
from drawndose.science.statistics.reliability import Missing, cronbach_alpha, kuder_richardson
from drawndose.science.statistics.standards import angoff, borderline


def proportion(given: Given) -> Result:
    """A share with Wilson's interval and the exact one; level as a share."""
    x, n = given.number("x"), given.number("n")
    level = 100.0 * given.number("level") if "level" in given else 95.0
    return {
        **ends(wilson(x, n, level), "wilson_low", "wilson_high"),
        **ends(exact(x, n, level), "cp_low", "cp_high"),
    }


def error_rate(given: Given) -> Result:
    """A rate in percent, with the plain interval and Wilson's."""
    x, n = given.number("x"), given.number("n")
    rate = share(x, n)
    return {
        "rate": rate if isinstance(rate, NotEstimable) else 100.0 * rate,
        **ends(wald(x, n), "ci_low", "ci_high", 100.0),
        **ends(wilson(x, n), "wilson_low", "wilson_high", 100.0),
    }


def all_success(given: Given) -> Result:
    """Successes in a row that show a share, and the bound that they give."""
    level = 100.0 * given.number("confidence")
    n = successes_needed(given.number("reliability"), level)
    return {"n": n, "cp_lower_one_sided": exact_lower(n, n, level)}


def kr20(given: Given) -> Result:
    """KR-20, KR-21, alpha and the correlation of each step with the total."""
    responses = given.table("responses")
    found, alpha = kuder_richardson(responses), cronbach_alpha(responses)
    made: dict[str, object] = {
        "cronbach_alpha": alpha.value,
        "sem_population_sd": alpha.sem_population,
        "sem_sample_sd": alpha.sem,
        **ends(alpha.interval, "alpha_ci_low", "alpha_ci_high"),
    }
    if isinstance(found, NotEstimable):
        made |= {"kr20": found, "kr21": found}
    else:
        made |= {"sum_pq": found.sum_pq, "var_total": found.variance, "kr20": found.kr20, "kr21": found.kr21}
    for item in item_analysis(responses).items:
        made |= {f"p{item.place}": item.difficulty}
        made |= {f"r_pb_{item.place}": item.plain, f"r_pb_corrected_{item.place}": item.corrected}
    return made  # type: ignore[return-value]


def item_cells(given: Given) -> Result:
    """Difficulty and discrimination from groups that are given by row."""
    upper, lower = ([int(one) - 1 for one in given.numbers(name)] for name in ("upper_rows", "lower_rows"))
    made: dict[str, object] = {}
    for item in by_groups(given.table("responses"), upper, lower).items:
        made |= {f"U{item.place}": item.upper, f"L{item.place}": item.lower}
        made |= {f"p{item.place}": item.difficulty, f"D{item.place}": item.discrimination}
    return made  # type: ignore[return-value]


def alpha_of(given: Given) -> Result:
    """Alpha with the rule for missing answers."""
    rule = Missing[given.word("rule", ("listwise", "pairwise")).upper()]
    found = cronbach_alpha(given.table("scores"), rule)
    return {"alpha": found.value, "learners": found.learners, **ends(found.interval, "ci_low", "ci_high")}


def angoff_cut(given: Given) -> Result:
    """The cut of judges."""
    found = angoff(given.table("ratings"))
    cut = found.cut
    return {"cut": cut.value, "cut_percent": cut.percent, "se_cut": cut.se, "sd_judges": found.sd_judges}


def borderline_cut(given: Given) -> Result:
    """The cut of borderline group and regression."""
    found = borderline(given.floats("grade"), given.floats("score"), given.number("borderline_grade"))
    fitted = found.line
    made: dict[str, object] = {
        "cut_brm": found.regression.value,
        "se_cut": found.regression.se,
        "cut_bgm_mean": found.group.value,
        "cut_bgm_median": found.group_median,
    }
    if isinstance(fitted, NotEstimable):
        return made | dict.fromkeys(("slope", "intercept", "r2"), fitted)  # type: ignore[return-value]
    return made | {"slope": fitted.slope, "intercept": fitted.intercept, "r2": fitted.r_squared}  # type: ignore[return-value]


KINDS = {
    "proportion_interval": (proportion, "x n", "level"),
    "error_rate": (error_rate, "x n", ""),
    "all_success_sample_size": (all_success, "reliability confidence", ""),
    "kr20": (kr20, "responses", "missing"),
    "item_analysis": (item_cells, "responses upper_rows lower_rows", ""),
    "cronbach_alpha": (alpha_of, "scores", "rule missing"),
    "angoff": (angoff_cut, "ratings", "missing"),
    "borderline": (borderline_cut, "grade score borderline_grade", ""),
}
