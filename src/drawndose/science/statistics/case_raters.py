"""Kinds of check cases on evaluators: kappa and its kin, intraclass correlation, how many learners a study needs."""

from __future__ import annotations

from collections.abc import Mapping

from drawndose.science.statistics.case_inputs import Given, Result, ends
from drawndose.science.statistics.chance_corrected import coefficients
from drawndose.science.statistics.fleiss import fleiss_kappa
from drawndose.science.statistics.icc import icc, learners_needed
from drawndose.science.statistics.kappa import agreement, linear, weighted
from drawndose.science.statistics.krippendorff import Scale, krippendorff_alpha


def kappa(given: Given) -> Result:
    """Two evaluators; weights of disagreement, or scores for linear ones, where they are given."""
    table = given.table("table")
    found = agreement(table)
    beyond = found.beyond
    made: dict[str, object] = {
        "kappa": beyond.kappa,
        "se": beyond.se,
        "se_kappa": beyond.se,
        "se_h0": beyond.se_null,
        "z": beyond.z,
        "po": found.observed,
        "pe": found.expected,
        "pabak": found.pabak,
        "ac1": found.ac1,
        "prevalence_index": found.prevalence_index,
        "bias_index": found.bias_index,
        "p_pos": found.each[0],
        "p_neg": found.each[-1],
        **ends(beyond.interval, "ci_low", "ci_high"),
    }
    for name, answer in (("weights_symmetric", "kappa_w"), ("weights_asymmetric", "kappa_w_asym")):
        if name in given:
            one = weighted(table, given.table(name))
            made |= {answer: one.kappa, f"se_{answer}": one.se}
    if "scores" in given:
        one = weighted(table, linear(given.floats("scores")))
        made |= {"w_kappa": one.kappa, "w_se": one.se, **ends(one.interval, "w_ci_low", "w_ci_high")}
    return made  # type: ignore[return-value]


def fleiss(given: Given) -> Result:
    """Many evaluators, as counts by category."""
    found = fleiss_kappa(given.table("counts"))
    return {
        "kappa": found.kappa,
        "z": found.z,
        "se_h0": found.se_null,
        "se_1971": found.se_first,
        "p_bar": found.observed,
        "pe": found.expected,
    }


def intraclass(given: Given) -> Result:
    """The six forms: named by form, and by one evaluator or the mean of all, 4 in the name standing for all."""
    found = icc(given.table("ratings"))
    made: dict[str, object] = {"icc21_df": found.df_two}
    for place, (single, mean) in enumerate(zip(found.single, found.mean, strict=True), start=1):
        for name, form in ((f"icc{place}1", single), (f"icc{place}{found.raters}", mean)):
            made |= {name: form.value, **ends(form.interval, f"{name}_lo", f"{name}_hi")}
    return made | dict(zip(("BMS", "WMS", "JMS", "EMS"), found.squares, strict=True))  # type: ignore[return-value]


def krippendorff(given: Given) -> Result:
    """Alpha on each scale."""
    ratings = given.table("ratings")
    return {scale.value: krippendorff_alpha(ratings, scale) for scale in Scale}


def gwet(given: Given) -> Result:
    """AC1 and the others beside it."""
    ratings = given.table("ratings")
    found = coefficients(ratings)
    made: Mapping[str, object] = {
        "ac1": found.ac1.value,
        "ac1_se": found.ac1.se,
        **ends(found.ac1.interval, "ac1_ci_low", "ac1_ci_high"),
        "pa": found.observed,
        "pe": found.ac1.expected,
        "fleiss": found.fleiss.value,
        "conger": found.conger.value,
        "brennan_prediger": found.brennan_prediger.value,
        "alpha": krippendorff_alpha(ratings, Scale.NOMINAL),
    }
    return made  # type: ignore[return-value]


def icc_size(given: Given) -> Result:
    """Learners for an interval of a width."""
    rho, raters, width = given.number("rho"), given.whole("raters"), given.number("width")
    return {
        "n": learners_needed(rho, raters, width),
        "n_corrected": learners_needed(rho, raters, width, corrected=True),
    }


KINDS = {
    "kappa": (kappa, "table", "n weights_symmetric weights_asymmetric scores"),
    "fleiss_kappa": (fleiss, "counts", "raters"),
    "icc": (intraclass, "ratings", "missing"),
    "krippendorff_alpha": (krippendorff, "ratings", "missing"),
    "gwet_ac1": (gwet, "ratings", "missing"),
    "icc_sample_size": (icc_size, "rho raters width", ""),
}
