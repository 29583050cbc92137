"""Within, outside, or it cannot be told: with the guard band, the chance, and the risk of simple acceptance."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from drawndose.science.verdict import Acceptance, Call, judge


def call(measured: float, u: float = 0.005, **more: object) -> Call:
    return judge(measured, u, target_mL=0.5, tolerance_mL=0.025, **more).call  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("measured", "expected"),
    [
        (0.500, Call.WITHIN),
        (0.5149, Call.WITHIN),
        (0.4851, Call.WITHIN),
        (0.516, Call.CANNOT_TELL),
        (0.525, Call.CANNOT_TELL),
        (0.534, Call.CANNOT_TELL),
        (0.4649, Call.OUTSIDE),
        (0.5351, Call.OUTSIDE),
    ],
)
def test_the_guard_band_is_two_standard_uncertainties_on_both_sides(measured: float, expected: Call) -> None:
    assert call(measured) is expected


def test_simple_acceptance_decides_everything_and_says_what_that_risks() -> None:
    inside = judge(0.5249, 0.005, target_mL=0.5, tolerance_mL=0.025, acceptance=Acceptance.SIMPLE)
    assert (inside.call, inside.guard_mL) == (Call.WITHIN, 0.0)
    assert inside.says == (
        "within, by simple acceptance; chance that this is wrong: 49 %; close to the limit it can be as much as one half."
    )
    assert call(0.5251, acceptance=Acceptance.SIMPLE) is Call.OUTSIDE


@given(st.floats(0.4, 0.6), st.floats(0.0001, 0.05))
def test_the_chance_of_conformity_agrees_with_the_normal_distribution(measured: float, u: float) -> None:
    found = judge(measured, u, target_mL=0.5, tolerance_mL=0.025)
    true = stats.norm(measured, u)
    assert found.conformity == pytest.approx(true.cdf(0.525) - true.cdf(0.475), abs=1e-9)


@given(st.floats(0.3, 0.7), st.floats(0.0001, 0.05))
def test_a_guarded_call_is_hardly_ever_wrong(measured: float, u: float) -> None:
    found = judge(measured, u, target_mL=0.5, tolerance_mL=0.025)
    if found.call is Call.WITHIN:
        assert found.conformity > 0.95
    if found.call is Call.OUTSIDE:
        assert found.conformity < 0.05


@given(st.floats(0.3, 0.7), st.floats(0.0001, 0.05))
def test_guarded_never_contradicts_simple(measured: float, u: float) -> None:
    guarded, simple = (call(measured, u, acceptance=acceptance) for acceptance in Acceptance)
    assert guarded in {simple, Call.CANNOT_TELL}


def test_a_weighing_less_sure_than_the_tolerance_is_wide_is_told_to_weigh_better() -> None:
    found = judge(0.5, 0.013, target_mL=0.5, tolerance_mL=0.025)
    assert found.call is Call.CANNOT_TELL
    assert "weigh better, or a larger volume" in found.says


def test_no_call_is_told_as_certain() -> None:
    assert (
        judge(0.5, 0.001, target_mL=0.5, tolerance_mL=0.025).says == "within; chance that this is wrong: under 0.01 %."
    )
    assert (
        judge(1.5, 0.001, target_mL=0.5, tolerance_mL=0.025).says == "outside; chance that this is wrong: under 0.01 %."
    )


def test_few_degrees_of_freedom_widen_the_guard_band_and_the_tails() -> None:
    few, many = (judge(0.512, 0.005, target_mL=0.5, tolerance_mL=0.025, nu=nu) for nu in (3.0, inf))
    assert few.guard_mL > many.guard_mL
    assert few.conformity < many.conformity
    assert (few.call, many.call) == (Call.CANNOT_TELL, Call.WITHIN)
    assert few.says.startswith("cannot be told: it lies within the guard band; inside the tolerance with 9")
