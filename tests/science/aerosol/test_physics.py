"""The cards against what does not know them: an integration of the equations, closed forms, second formulas, balances."""

from collections.abc import Callable
from math import exp, log, pi, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from drawndose.science.aerosol import breathing, cup, droplets, gas, humidity, pump_fed, vapour
from drawndose.science.aerosol.filters import Air, filters, slip
from drawndose.science.aerosol.nodes import equal_nodes, fine_nodes
from drawndose.science.aerosol.simple_fits import simple_fits
from drawndose.science.aerosol.task_group import settling, settling_of_spray

TIGHT = {"method": "DOP853", "rtol": 1e-12, "atol": 1e-14}

fills = st.floats(0.5, 100.0)
kept = st.floats(0.02, 0.98)
shares = st.floats(0.0, 0.9)
outputs = st.floats(0.05, 2.0)


@pytest.mark.parametrize(("fill", "stays", "output", "vapour_share"), [
    (3.0, 1.0, 0.35, 0.3), (4.0, 1.034, 0.3, 0.14), (5.0, 0.8, 0.65, 0.46), (2.0, 0.1, 0.4, 0.0), (240.0, 10.0, 0.77, 0.1),
])  # fmt: skip
def test_the_run_of_a_cup_is_what_an_integration_of_its_balance_gives(
    fill: float, stays: float, output: float, vapour_share: float
) -> None:
    def change(_: float, state: np.ndarray) -> list[float]:
        return [
            -output,
            -(1.0 - vapour_share) * output * state[1] / state[0],
            (1.0 - vapour_share) * output * state[1] / state[0],
        ]

    end = float(cup.treatment_time(fill, stays, output))
    times = np.linspace(0.0, end, 7)
    run = solve_ivp(change, (0.0, end), [fill, 1.0, 0.0], t_eval=times, **TIGHT)
    volumes = np.array([cup.volume_after(fill, stays, output, time) for time in times])
    assert volumes == pytest.approx(run.y[0], rel=1e-8)
    assert np.array([cup.kept_share(fill, one, vapour_share) for one in volumes]) == pytest.approx(run.y[1], rel=1e-8)
    assert np.array([cup.emitted_share(fill, one, vapour_share) for one in volumes]) == pytest.approx(
        run.y[2], abs=1e-8
    )
    rise = np.array([cup.concentration_rise(fill, one, vapour_share) for one in volumes])
    assert rise == pytest.approx(run.y[1] * fill / run.y[0], rel=1e-8)
    leaves = np.array([float(cup.emission_rate(1.0 / fill, output, vapour_share, one)) for one in rise])
    assert leaves == pytest.approx((1.0 - vapour_share) * output * run.y[1] / run.y[0], rel=1e-8)
    droplets_mL = (1.0 - vapour_share) * (fill - stays)
    assert cup.mean_droplets(fill, stays, vapour_share) == pytest.approx(run.y[2][-1] * fill / droplets_mL, rel=1e-8)


@pytest.mark.parametrize("vapour_share", [0.0, 0.3, 0.6])
def test_a_pump_fed_cup_is_what_an_integration_of_its_balance_gives(vapour_share: float) -> None:
    feed, strength, volume, start = 10.0, 1.0, 2.0, 0.2

    def change(_: float, held: np.ndarray) -> list[float]:
        return [(feed * strength - (1.0 - vapour_share) * feed * held[0]) / volume]

    times = np.linspace(0.0, 2.0, 9)
    run = solve_ivp(change, (0.0, 2.0), [start], t_eval=times, **TIGHT)
    found = pump_fed.cup_after(times, strength, feed, volume, vapour_share, start)
    assert found == pytest.approx(run.y[0], rel=1e-8)
    late = pump_fed.cup_after(40.0, strength, feed, volume, vapour_share)
    assert late == pytest.approx(pump_fed.steady_cup(strength, vapour_share), rel=1e-8)
    leaves = (1.0 - vapour_share) * feed * pump_fed.steady_cup(strength, vapour_share)
    assert leaves == pytest.approx(pump_fed.steady_rate(strength, feed), rel=1e-12)


@given(fill=fills, share=kept, vapour_share=shares, output=outputs)
def test_what_leaves_and_what_stays_is_what_was_filled(
    fill: float, share: float, vapour_share: float, output: float
) -> None:
    stays = fill * share
    out, left = cup.emitted_share(fill, stays, vapour_share), cup.kept_share(fill, stays, vapour_share)
    assert abs(out + left - 1.0) <= 1e-12
    assert abs(cup.concentration_rise(fill, stays, vapour_share) * stays / fill - left) <= 1e-12
    assert cup.treatment_time(fill, stays, output) * output + stays == pytest.approx(fill, rel=1e-12)
    droplets_and_vapour = cup.mean_droplets(fill, stays, vapour_share) * (1.0 - vapour_share) * (fill - stays) / fill
    assert abs(droplets_and_vapour - out) <= 1e-12


@given(fill=fills, share=kept, output=outputs, minutes=st.floats(0.0, 60.0))
def test_a_cup_never_holds_more_than_its_fill_nor_less_than_what_stays(
    fill: float, share: float, output: float, minutes: float
) -> None:
    stays = fill * share
    assert stays <= cup.volume_after(fill, stays, output, minutes) <= fill
    assert cup.volume_after(fill, stays, output, 0.0) == fill  # to the last bit: a trial would be refused for less


@given(share=kept, vapour_share=st.floats(0.01, 0.9))
def test_a_rise_gives_back_the_share_of_vapour(share: float, vapour_share: float) -> None:
    rise = cup.concentration_rise(3.0, 3.0 * share, vapour_share)
    assert vapour.share_from_ratio(1.0, rise, 1.0 / share) == pytest.approx(vapour_share, abs=1e-9)


@given(more=st.floats(1.01, 5.0), vapour_share=shares)
def test_more_fill_lets_more_of_the_same_drug_out(more: float, vapour_share: float) -> None:
    assert cup.emitted_share(2.0 * more, 1.0, vapour_share) > cup.emitted_share(2.0, 1.0, vapour_share)


@given(
    tidal=st.floats(20.0, 1500.0),
    rate=st.floats(5.0, 50.0),
    duty=st.floats(0.2, 0.7),
    flow=st.floats(1.0, 15.0),
)
def test_a_sine_breath_takes_what_its_integral_says(tidal: float, rate: float, duty: float, flow: float) -> None:
    inspiration, whole = duty / rate, 1.0 / rate
    peak = pi * tidal / (2.0 * inspiration) / 1000.0
    kinks = [
        inspiration / pi * angle for angle in (np.arcsin(min(flow / peak, 1.0)), pi - np.arcsin(min(flow / peak, 1.0)))
    ]
    taken, _ = quad(
        lambda time: min(1.0, peak * sin(pi * time / inspiration) / flow), 0.0, inspiration, points=kinks, epsabs=1e-14
    )
    share = float(breathing.inhaled_of_sine(tidal, rate, duty, flow))
    assert share == pytest.approx(taken / whole, abs=1e-8)
    assert 0.0 < share <= min(duty, float(breathing.most_inhaled(tidal, rate, flow))) + 1e-12
    assert share <= float(breathing.inhaled_of_square(tidal, rate, duty, flow)) + 1e-12
    heights = [sin(pi * (step + 0.5) / 400) for step in range(400)]
    assert breathing.inhaled_of_wave(heights, tidal, rate, duty, flow) == pytest.approx(share, abs=1e-3)


def test_an_enhanced_nebulizer_without_gain_is_a_steady_one() -> None:
    assert breathing.inhaled_enhanced(0.4, 1.0, 0.8) == pytest.approx(0.4 * 0.8)
    assert breathing.inhaled_enhanced(0.4, 20.0) > 0.9


def tetens(t: float) -> float:
    return 6.11 * 10.0 ** (7.5 * t / (t + 237.3))


def wagner(t: float) -> float:
    """Saturation pressure of IAPWS (Wagner and Pruss), hPa; from memory."""
    kelvin = t + 273.15
    x = 1.0 - kelvin / 647.096
    series = (
        -7.85951783 * x
        + 1.84408259 * x**1.5
        - 11.7866497 * x**3
        + 22.6807411 * x**3.5
        - 15.9618719 * x**4
        + 1.80122502 * x**7.5
    )
    return 220640.0 * exp(647.096 / kelvin * series)


@pytest.mark.parametrize(("formula", "share"), [(tetens, 0.004), (wagner, 0.0015)])
def test_saturated_vapour_agrees_with_second_formulas_from_0_to_40_degrees(
    formula: Callable[[float], float], share: float
) -> None:
    for t in range(0, 41):
        assert humidity.saturated_pressure(float(t)) == pytest.approx(formula(float(t)), rel=share)


def test_what_the_facts_of_evaporation_say() -> None:
    printed = {8.0: 0.066, 10.0: 0.075, 12.0: 0.085, 15.0: 0.103, 20.0: 0.138}
    assert {t: round(float(vapour.vapour_rate(8.0, t)), 3) for t in printed} == printed
    room = float(humidity.water_content(22.0, 0.5))
    assert vapour.vapour_rate(8.0, 15.0, room) == pytest.approx(0.025, abs=0.001)
    assert vapour.vapour_rate(8.0, 10.0, room) == 0.0
    assert [round(humidity.coldest(*one), 1) for one in ((22.0, 0.0), (22.0, 0.5), (24.0, 0.0))] == [7.0, 15.5, 8.0]
    assert humidity.coldest(20.0, 1.0) == pytest.approx(20.0, abs=1e-9)


def test_the_log_normal_by_integration() -> None:
    width = log(2.2)

    def density(x: float) -> float:
        return exp(-0.5 * ((x - log(4.0)) / width) ** 2) / width / (2.0 * pi) ** 0.5

    part, _ = quad(density, log(4.0) - 12 * width, log(5.0))
    assert droplets.share_below(5.0, 4.0, 2.2) == pytest.approx(part, abs=1e-9)
    assert droplets.spray_of_cuts(
        1.0, float(droplets.share_below(1.0, 4.0, 2.2)), 5.0, float(droplets.share_below(5.0, 4.0, 2.2))
    ) == pytest.approx((4.0, 2.2))
    by_mass = quad(lambda x: exp(3 * x) * exp(-0.5 * (x / log(2.0)) ** 2) * x, -12, 14, points=[1.44])[0]
    whole = quad(lambda x: exp(3 * x) * exp(-0.5 * (x / log(2.0)) ** 2), -12, 14, points=[1.44])[0]
    assert droplets.mass_over_count(2.0) == pytest.approx(exp(by_mass / whole), rel=1e-6)


def test_slip_that_is_left_out_of_an_aerodynamic_diameter_is_small() -> None:
    for density in (0.5, 1.2, 5.0):
        without = float(droplets.aerodynamic(1.0, density))
        found = without
        for _ in range(50):
            found = without * (float(slip(1.0)) / float(slip(found))) ** 0.5
        assert found == pytest.approx(without, rel=0.05)


def test_the_simple_fits_agree_with_their_own_total_as_far_as_is_said() -> None:
    large, small = np.geomspace(0.3, 100.0, 400), np.geomspace(0.01, 0.3, 200)
    for sizes, most in ((large, 0.034), (small, 0.061)):
        found = simple_fits(sizes)
        assert np.max(np.abs(found.head + found.bronchi + found.alveoli - found.total)) <= most


@given(size=st.floats(0.05, 50.0), tidal=st.floats(300.0, 2000.0), drawn=st.floats(100.0, 1200.0), mouth=st.booleans())
def test_what_settles_and_what_is_breathed_out_is_what_was_breathed_in(
    size: float, tidal: float, drawn: float, mouth: bool
) -> None:
    found = settling(size, tidal, drawn, by_mouth=mouth, mouth_form=0.3)
    each = (found.front, found.throat, found.bronchi, found.bronchioles, found.alveoli)
    assert all(0.0 <= float(one) <= 1.0 for one in each)
    assert float(found.total) <= 1.0 + 1e-12
    assert found.head + found.lung == pytest.approx(sum(map(float, each)))


def test_the_two_forms_of_the_mouth_are_as_far_apart_as_is_said() -> None:
    air = Air(tidal_mL=500.0, drawn_mL_s=250.0, frc_mL=3301.0)

    def kept(size: float, form: float) -> float:
        return float(filters(size, size, air, by_mouth=True, mouth_form=form).throat)

    apart = {size: kept(size, 1.0) - kept(size, 0.0) for size in (3.0, 5.0, 8.0, 10.0)}
    assert {size: round(kept(size, 0.0), 3) for size in apart} == {3.0: 0.041, 5.0: 0.153, 8.0: 0.403, 10.0: 0.557}
    assert {size: round(kept(size, 1.0), 3) for size in apart} == {3.0: 0.042, 5.0: 0.165, 8.0: 0.49, 10.0: 0.716}
    assert apart[5.0] <= 0.013
    assert 0.15 <= apart[10.0] <= 0.16


def test_few_parts_of_a_spray_are_as_good_as_many() -> None:
    few, many = equal_nodes(), fine_nodes()
    assert few.weight.sum() == pytest.approx(1.0)
    assert many.weight.sum() == pytest.approx(1.0)
    for mmad in (1.8, 3.0, 6.0):
        for gsd in (1.6, 2.6):
            one, other = (
                settling_of_spray(mmad, gsd, 480.0, 300.0, by_mouth=True, nodes=nodes) for nodes in (few, many)
            )
            for name in ("head", "airways", "alveoli"):
                assert getattr(one, name) == pytest.approx(getattr(other, name), abs=0.005)


def test_other_breaths_settle_more_or_less_as_worked_before() -> None:
    breaths = {(750, 300): 57.6, (1000, 250): 67.7, (1000, 500): 60.3, (1500, 250): 77.6, (1250, 833): 63.1}
    for (tidal, drawn), percent in breaths.items():
        assert 100 * float(settling(3.0, tidal, drawn, by_mouth=True).total) == pytest.approx(percent, abs=0.05)


def test_heliox_by_density_is_near_the_factors_in_use() -> None:
    assert [round(float(gas.heliox_factor(one)), 3) for one in (0.8, 0.7, 0.6)] == [1.826, 1.606, 1.451]


def test_printed_least_pressures_last_as_long_as_printed() -> None:
    printed = {(0.16, 1150): 15, (0.28, 750): 15, (1.56, 392): 30, (3.14, 300): 30}
    for (factor, psi), minutes in printed.items():
        assert gas.cylinder_minutes(factor, psi, 200, 10.0) == pytest.approx(minutes, abs=1.5)
        assert gas.least_pressure(minutes, 10.0, factor, 200.0) <= psi + 1
    assert gas.cylinder_minutes(0.28, 150.0, 200.0, 8.0) == 0.0
