"""Water, air, saline and Z against second formulas, which are independent of the package's own."""

from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.science.air import RELATIVE_GAP, air_density
from drawndose.science.buoyancy import volume_at_20, water_z, z_factor
from drawndose.science.liquids import SALINE_COMPUTED, WATER, own_liquid, saline_density
from drawndose.science.water import water_density

TEMPERATURES = st.floats(5.0, 35.0)
PRESSURES = st.floats(600.0, 1100.0)
HUMIDITIES = st.floats(0.0, 100.0)


def iso_tr_20461(t: float) -> float:
    """ISO/TR 20461:2000 with its corrigendum, equation 4; a0, a1 and a3 from memory."""
    return 999.85308 + 0.0632693 * t - 0.008523829 * t**2 + 6.943248e-5 * t**3 - 3.821216e-7 * t**4


def older_fit_that_goes_under_the_same_name(t: float) -> float:
    return 1000.0 * (1.0 - (t + 288.9414) / (508929.2 * (t + 68.12963)) * (t - 3.9863) ** 2)


def cipm_2007(t: float, p_hPa: float, rh_percent: float) -> float:
    """The full formula for moist air (CIPM-2007), from memory."""
    kelvin, p, h = t + 273.15, p_hPa * 100.0, rh_percent / 100.0
    saturation = exp(1.2378847e-5 * kelvin**2 - 1.9121316e-2 * kelvin + 33.93711047 - 6.3431645e3 / kelvin)
    x = h * (1.00062 + 3.14e-8 * p + 5.6e-7 * t**2) * saturation / p
    inner = (
        1.58123e-6
        - 2.9331e-8 * t
        + 1.1043e-10 * t**2
        + (5.707e-6 - 2.051e-8 * t) * x
        + (1.9898e-4 - 2.376e-6 * t) * x**2
    )
    z = 1.0 - p / kelvin * inner + (p / kelvin) ** 2 * (1.83e-11 - 0.765e-8 * x**2)
    return p * 28.96546e-3 / (z * 8.314472 * kelvin) * (1.0 - x * (1.0 - 18.01528 / 28.96546))


@given(st.floats(15.0, 30.0))
def test_water_agrees_with_the_other_equation_in_use(t: float) -> None:
    assert water_density(t) == pytest.approx(iso_tr_20461(t), abs=0.0041)


def test_water_is_not_the_older_fit() -> None:
    assert max(abs(water_density(t) - older_fit_that_goes_under_the_same_name(t)) for t in range(41)) > 0.002


def test_water_is_densest_near_4_degrees() -> None:
    densest = max(range(401), key=lambda tenths: water_density(tenths / 10.0)) / 10.0
    assert densest == 4.0


@given(TEMPERATURES, PRESSURES, HUMIDITIES)
def test_air_agrees_with_the_full_formula_over_the_whole_range(t: float, p: float, rh: float) -> None:
    assert air_density(t, p, rh) == pytest.approx(cipm_2007(t, p, rh), rel=RELATIVE_GAP)


@given(st.floats(15.0, 30.0), st.floats(900.0, 1067.0), st.floats(20.0, 80.0))
def test_air_agrees_closely_where_people_weigh(t: float, p: float, rh: float) -> None:
    assert air_density(t, p, rh) == pytest.approx(cipm_2007(t, p, rh), rel=1.5e-4)


@pytest.mark.parametrize(("t", "computed"), SALINE_COMPUTED)
def test_saline_meets_the_computed_points(t: float, computed: float) -> None:
    assert saline_density(t) == pytest.approx(computed, abs=1e-9)


@given(st.floats(15.0, 30.0))
def test_saline_is_about_two_thirds_of_a_percent_denser_than_water(t: float) -> None:
    assert saline_density(t) / water_density(t) == pytest.approx(1.0064, abs=0.0001)


def test_saline_has_its_own_z() -> None:
    assert z_factor(saline_density(20.0), air_density(20.0, 1013.25, 50.0)) == pytest.approx(0.99645, abs=5e-6)


@pytest.mark.parametrize(
    ("changed", "per_unit", "tolerance"),
    [
        ((21.0, 1013.25, 50.0), 2.04e-4, 1.2e-5),
        ((20.0, 1014.25, 50.0), 1.05e-6, 1e-8),
        ((20.0, 1013.25, 51.0), -9.2e-8, 1e-9),
    ],
)
def test_z_changes_as_derived(changed: tuple[float, float, float], per_unit: float, tolerance: float) -> None:
    assert water_z(*changed) - water_z(20.0, 1013.25, 50.0) == pytest.approx(per_unit, abs=tolerance)


@given(TEMPERATURES, PRESSURES, HUMIDITIES, st.floats(0.01, 100.0))
def test_buoyancy_always_makes_a_volume_larger_than_mass_over_density(t: float, p: float, rh: float, m: float) -> None:
    assert volume_at_20(m, water_z(t, p, rh)) > m / water_density(t) * 1000.0


def test_the_volume_at_20_degrees_is_smaller_for_a_warm_device() -> None:
    assert volume_at_20(1.0, 1.003, 30.0, 0.0003) == pytest.approx(1.003 * (1 - 0.003))
    assert volume_at_20(1.0, 1.003, 30.0) == 1.003


def test_an_own_density_is_used_as_it_is_stated() -> None:
    liquid = own_liquid("hypertonic saline 7 %", 1.05, 0.002)
    assert (liquid.density(20.0), liquid.density(30.0), liquid.standard_uncertainty) == (1050.0, 1050.0, 2.0)
    assert WATER.density(20.0) == water_density(20.0)
