"""A round in sentences: no figure finer than it is worth, every verdict with its chance and its guard band."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

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
from drawndose.science.series import summarize
from drawndose.science.settings import read_conditions
from drawndose.science.sheet_words import weigh_words
from drawndose.science.verdict import Acceptance, judge


def said(readings: str = "0.4962\n0.5021\n0.44", **boxes: str) -> dict[str, str]:
    filled, found = weigh_words(
        {"target": "0.5 mL", **{k.replace("_", "-"): v for k, v in boxes.items()}}, lambda: readings
    )
    return dict(counted_words(filled, found))


@given(st.floats(0.001, 100.0), st.floats(1e-6, 1.0))
def test_a_measured_value_is_as_fine_as_its_doubt(value: float, doubt: float) -> None:
    text = measured(value, doubt)
    assert re.fullmatch(r"(0|[1-9][0-9]*)(\.[0-9]*[1-9])?", text)
    assert abs(float(text) - value) <= 0.51 * doubt


def test_a_whole_number_keeps_its_zeros() -> None:
    assert measured(120.4, 11.0) == "120"
    assert measured(0.0002, 1.0) == "0"


@pytest.mark.parametrize(("share", "text"), [(0.0004, "0 %"), (-0.0004, "0 %"), (0.0123, "+1.2 %"), (-1.0, "−100 %")])
def test_a_share_has_its_sign(share: float, text: str) -> None:
    assert signed_percent(share) == text


def test_a_verdict_tells_its_chance_and_its_guard_band() -> None:
    guarded, simple = (
        judge(0.522, 0.003, target_mL=0.5, tolerance_mL=0.025, acceptance=acceptance) for acceptance in Acceptance
    )
    assert verdict_words(guarded) == "cannot be told; conforms with 84 %; guard band 0.006 mL"
    assert verdict_words(simple) == "within; conforms with 84 %; no guard band"


def test_the_setting_of_acceptance_says_who_bears_what() -> None:
    for words, said_so in (
        ("guarded", "nobody bears that doubt"),
        ("simple", "whoever relies on the verdict bears that"),
    ):
        _, found = weigh_words({"target": "0.5 mL", "acceptance": words}, lambda: "0.5")
        assert said_so in acceptance_words(found.sheet)


def test_draws_are_counted_by_their_call() -> None:
    _, found = weigh_words({"target": "0.5 mL"}, lambda: "0.4962\n0.5021\n0.44")
    assert tally_words(found) == "2 within, 1 outside"


def test_a_series_tells_both_intervals_both_claims_and_how_many_draws() -> None:
    series = summarize([0.51, 0.49, 0.50, 0.52, 0.48], target_mL=0.5)
    assert series_words(series, 0.05) == (
        "5 draws, mean 0.5 mL for 0.5 mL asked.",
        "Bias 0 %; with 95 % between −3.9 % and +3.9 %.",
        "Spread 3.2 % of the mean; with 95 % between 1.9 % and 9.1 %.",
        "Inside 5 %, the mean of the draws: within; 5 such draws would have been enough.",
        "Inside 5 %, the next draw: cannot be told; no number of such draws would show it.",
    )
    assert series_words(series, 0.08)[-1] == "Inside 8 %, the next draw: cannot be told; 8 such draws would show it."


def test_the_spread_goes_to_the_settings_of_a_plan_as_it_was_found() -> None:
    series = summarize([0.51, 0.49, 0.50, 0.52, 0.48], target_mL=0.5)
    spread, draws = operator_words(series)
    operator = read_conditions(spread=spread, draws=str(draws), holds_reading=True).operator
    assert operator is not None
    assert (operator.cv, operator.nu) == (pytest.approx(series.cv, rel=2e-3), 4.0)
    assert operator_words(summarize([0.5, 0.500001], target_mL=0.5)) == ("0.000141 %", 2)


def test_what_was_counted_is_told() -> None:
    plain = said()
    assert plain == {
        "Liquid": "water, 0.9980 g per mL, standard uncertainty 0.00003 g per mL",
        "Room": "21 degC, 1,013 hPa, 50 % humidity",
        "Z factor": "1.0031 mL per g",
        "Balance": "steps of 0.1 mg, repeated readings spread by 0.2 mg",
        "Evaporation": "not counted",
        "Not said, so taken": (
            "a display in steps of 0.1 mg; repeated readings that spread by 0.2 mg, two steps of the display"
        ),
    }
    full = said(
        density="1.06", liquid="acetylcysteine", expansion="0.0003", step="0.1 mg", repeatability="0.2 mg of 10 readings",
        most="220 g", blank="0.6 mg", blank_uncertainty="0.2 mg",
    )  # fmt: skip
    assert full["Liquid"] == "acetylcysteine, 1.0600 g per mL, as stated"
    assert full["Balance"] == "steps of 0.1 mg, repeated readings spread by 0.2 mg (of 10 readings), carries 220 g"
    assert full["Evaporation"] == "0.6 mg added back by a blank, known to 0.2 mg"
    assert full["Volume"] == "at 20 degC, expansion 0.0003 per degC"
    assert "Not said, so taken" not in full
    assert said(minutes="1.5")["Evaporation"].startswith("1.5 min in the open, counted as doubt")
    assert said(minutes="0")["Evaporation"] == "none: 0 min in the open"
