"""A round of weighings in sentences and figures, the same for both doors."""

from __future__ import annotations

from math import floor, inf, log10
from typing import Final

from drawndose.science.rounds import Round
from drawndose.science.series import Claim, Series
from drawndose.science.sheet import NAMED, Sheet
from drawndose.science.sheet_words import Filled
from drawndose.science.verdict import Acceptance, Call, Verdict
from drawndose.science.weighing import Blank
from drawndose.science.words import chance_percent, percent_words

CLAIMS: Final = {Claim.ON_AVERAGE: "the mean of the draws", Claim.NEXT: "the next draw"}
MINUS: Final = "−"


def measured(value: float, doubt: float) -> str:
    """A measured value, no finer than its uncertainty: its last digit is that of the first digit of the doubt.

    >>> measured(0.498234, 0.00078), measured(0.5000002, 0.0008), measured(0.498234, 0.0012), measured(3.2, 0.0)
    ('0.4982', '0.5', '0.4982', '3.2')
    """
    places = max(0, -floor(log10(doubt)) + (f"{doubt:e}"[0] == "1")) if doubt > 0 else 10
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def signed_percent(share: float) -> str:
    """A share as percent with its sign, to a tenth of a percent.

    >>> signed_percent(0.0123), signed_percent(-0.05), signed_percent(0.0)
    ('+1.2 %', '−5 %', '0 %')
    """
    text = f"{abs(share) * 100.0:.1f}".removesuffix(".0")
    sign = "" if text == "0" else "+" if share > 0 else MINUS
    return f"{sign}{text} %"


def verdict_words(verdict: Verdict) -> str:
    """The call, the probability of conformity, and the guard band used."""
    guard = f"guard band {measured(verdict.guard_mL, verdict.guard_mL)} mL" if verdict.guard_mL else "no guard band"
    return f"{verdict.call.value}; conforms with {chance_percent(verdict.conformity)}; {guard}"


def acceptance_words(sheet: Sheet) -> str:
    """What the setting of acceptance means for whoever relies on the verdicts."""
    if sheet.acceptance is Acceptance.SIMPLE:
        return (
            "Simple acceptance: no guard band. A draw close to the limit may be called within and be outside, or the other "
            "way round, with a chance of up to one half; whoever relies on the verdict bears that."
        )
    return "A guard band as wide as the expanded uncertainty: a draw that lies in it cannot be told, and nobody bears that doubt."


def tally_words(found: Round) -> str:
    """How many draws of each call: "8 within, 1 outside, 1 cannot be told"."""
    calls = [one.verdict.call for one in found.weighed]
    return ", ".join(f"{calls.count(call)} {call.value}" for call in Call if call in calls)


def series_words(series: Series, limit: float) -> tuple[str, ...]:
    """What the draws show together: bias and spread with their intervals, and what they show against a limit."""
    half = (series.mean_interval[1] - series.mean_interval[0]) / 2.0
    low, high = (signed_percent(end) for end in series.bias_interval)
    tight, wide = (percent_words(end) for end in series.cv_interval)
    lines = [
        f"{series.count} draws, mean {measured(series.mean_mL, half)} mL for {series.target_mL:g} mL asked.",
        f"Bias {signed_percent(series.bias)}; with {series.level_percent:g} % between {low} and {high}.",
        f"Spread {percent_words(series.cv)} of the mean; with {series.level_percent:g} % between {tight} and {wide}.",
    ]
    return (*lines, *(claim_words(series, limit, claim) for claim in Claim))


def claim_words(series: Series, limit: float, claim: Claim) -> str:
    """Whether the draws show that one is inside a limit, and how many such draws would."""
    call, needed = series.shows(limit, claim), series.draws_needed(limit, claim)
    told = f"{needed} such draws would show it" if needed is not None else "no number of such draws would show it"
    if call is Call.WITHIN:
        told = f"{needed} such draws would have been enough"
    return f"Inside {percent_words(limit)}, {CLAIMS[claim]}: {call.value}; {told}."


def counted_words(filled: Filled, found: Round) -> tuple[tuple[str, str], ...]:
    """What the volumes were worked out with: each by its name."""
    sheet = filled.sheet
    rows = [
        ("Liquid", _liquid(sheet)),
        ("Room", f"{sheet.t_degC:g} degC, {sheet.p_hPa:,.6g} hPa, {sheet.rh_percent:g} % humidity"),
        ("Z factor", f"{found.weighed[0].volume.z_mL_per_g:.4f} mL per g"),
        ("Balance", _balance(sheet)),
        ("Evaporation", _evaporation(sheet)),
    ]
    if sheet.gamma_per_degC:
        rows.append(("Volume", f"at 20 degC, expansion {sheet.gamma_per_degC:g} per degC"))
    if filled.taken:
        rows.append(("Not said, so taken", "; ".join(filled.taken)))
    return tuple(rows)


def _liquid(sheet: Sheet) -> str:
    liquid = sheet.substance()
    density = liquid.density(sheet.t_degC) / 1000.0
    u = liquid.standard_uncertainty / 1000.0
    doubt = f", standard uncertainty {measured(u, u)} g per mL" if u else ""
    whose = "" if sheet.density_g_mL is None and sheet.liquid in NAMED else ", as stated"
    return f"{liquid.name}, {density:.4f} g per mL{doubt}{whose}"


def _balance(sheet: Sheet) -> str:
    one = sheet.balance
    carries = f", carries {one.most_g:g} g" if one.most_g != inf else ""
    readings = f" (of {one.nu + 1:g} readings)" if one.nu != inf else ""
    return f"steps of {one.readability_g * 1e3:g} mg, repeated readings spread by {one.repeatability_g * 1e3:.4g} mg{readings}{carries}"


def _evaporation(sheet: Sheet) -> str:
    if isinstance(sheet.evaporation, Blank):
        lost, doubt = sheet.evaporation.lost_g * 1e3, sheet.evaporation.lost_u_g * 1e3
        return f"{lost:.3g} mg added back by a blank, known to {doubt:.2g} mg"
    if sheet.evaporation:
        return f"{sheet.evaporation:g} min in the open, counted as doubt by the house's estimate, nothing added back"
    return "not counted" if sheet.evaporation is None else "none: 0 min in the open"


def operator_words(series: Series) -> tuple[str, int]:
    """The spread and the number of draws, as the settings of "how sure" take them.

    >>> from drawndose.science.series import summarize
    >>> operator_words(summarize([0.51, 0.49, 0.50, 0.52, 0.48], target_mL=0.5))
    ('3.16 %', 5)
    """
    percent = f"{float(f'{series.cv * 100.0:.3g}'):.10f}".rstrip("0").rstrip(".")
    return f"{percent} %", series.count
