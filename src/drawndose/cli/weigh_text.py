"""A round of weighings, and the table of balances, as lines for a terminal and as data."""

from collections.abc import Iterator

from drawndose.science.balance_words import WhichBalance, fit_words, smallest_words, which_balance
from drawndose.science.round_words import (
    acceptance_words,
    counted_words,
    measured,
    operator_words,
    series_words,
    signed_percent,
    tally_words,
    verdict_words,
)
from drawndose.science.rounds import Round
from drawndose.science.series import Claim, Series
from drawndose.science.sheet_words import Filled
from drawndose.science.slips import Slip
from drawndose.science.words import percent_words


def round_lines(filled: Filled, found: Round) -> Iterator[str]:
    """Every line of a round."""
    for place, (name, one) in enumerate(zip(found.names, found.weighed, strict=True), start=1):
        volume, doubt = one.volume.mL, one.volume.budget.expanded
        off = signed_percent(volume / found.sheet.target_mL - 1.0)
        yield f"{place:3}  {measured(volume, doubt)} mL ± {measured(doubt, doubt)} mL, {off}: {verdict_words(one.verdict)}"
        yield from (f"     look at {name}: {_doubt(slip)}" for slip in one.doubts)
    yield f"{tally_words(found)}. ± is the expanded uncertainty with 95.45 %."
    yield acceptance_words(found.sheet)
    yield from (f"look: {_doubt(slip)}" for slip in found.doubts)
    yield ""
    yield from _series(filled, found)
    yield ""
    yield from (f"{title}: {says}." for title, says in counted_words(filled, found))
    yield f"Not counted: {'; '.join(found.not_in_it)}."
    sheet = found.sheet
    used = which_balance((sheet.target_mL,), sheet.tolerance_mL / sheet.target_mL, sheet.balance).rows[0]
    yield f"For {sheet.target_mL:g} mL this balance is {fit_words(used.fits[0])}; its smallest net mass is {smallest_words(used)}."


def _doubt(slip: Slip) -> str:
    return f"{slip.rule} (came: {slip.came}; accepted: {slip.accepted})"


def _series(filled: Filled, found: Round) -> Iterator[str]:
    if found.series is None:
        yield found.no_series
        return
    yield from series_words(found.series, filled.limit)
    spread, draws = operator_words(found.series)
    yield f'For a plan: --sure --spread "{spread}" --draws {draws} --holds-reading (or --operator with the --json of this round)'


def balance_lines(found: WhichBalance) -> Iterator[str]:
    """The table of balances: for each its smallest net mass, and how far it does for each volume."""
    for row in found.rows:
        yield f"{row.name}: smallest net mass {smallest_words(row)}"
        for volume, fit in zip(found.volumes_mL, row.fits, strict=True):
            yield f"  {volume:>5g} mL  {fit_words(fit)}"
    yield ""
    yield "good enough: the net mass is at least the smallest by USP <41> (0.10 %, two standard deviations)."
    yield f"for this tolerance only: below it, but the guard band takes at most a quarter of the tolerance, {percent_words(found.within)}."


def round_data(filled: Filled, found: Round) -> dict[str, object]:
    """A round as data; `drawndose plan --operator` reads its series."""
    return {
        "schema": "drawndose.weighed/1",
        "target_mL": found.sheet.target_mL,
        "tolerance_mL": found.sheet.tolerance_mL,
        "acceptance": found.sheet.acceptance.value,
        "draws": [
            {
                "row": name,
                "mL": one.volume.mL,
                "u_mL": one.volume.u,
                "expanded_mL": one.volume.budget.expanded,
                "call": one.verdict.call.value,
                "conformity": one.verdict.conformity,
                "guard_mL": one.verdict.guard_mL,
                "doubts": [slip.rule for slip in one.doubts],
            }
            for name, one in zip(found.names, found.weighed, strict=True)
        ],
        "doubts": [slip.rule for slip in found.doubts],
        "counted_with": dict(counted_words(filled, found)),
        "not_counted": list(found.not_in_it),
        "series": None if found.series is None else _series_data(found.series, filled.limit),
        "no_series": found.no_series,
    }


def _series_data(series: Series, limit: float) -> dict[str, object]:
    spread, draws = operator_words(series)
    return {
        "count": series.count,
        "mean_mL": series.mean_mL,
        "sd_mL": series.sd_mL,
        "bias": series.bias,
        "bias_interval": list(series.bias_interval),
        "cv": series.cv,
        "cv_interval": list(series.cv_interval),
        "level_percent": series.level_percent,
        "limit": limit,
        "shows": {claim.value: series.shows(limit, claim).value for claim in Claim},
        "draws_needed": {claim.value: series.draws_needed(limit, claim) for claim in Claim},
        "operator": {"spread": spread, "draws": draws},
    }


def balance_data(found: WhichBalance) -> dict[str, object]:
    """The table of balances as data."""
    return {
        "schema": "drawndose.balances/1",
        "volumes_mL": list(found.volumes_mL),
        "within": found.within,
        "balances": [
            {
                "name": row.name,
                "smallest_net_mass_g": row.smallest_g,
                "fits": [{"enough": fit.enough.value, "guard_share": fit.guard_share} for fit in row.fits],
            }
            for row in found.rows
        ],
    }
