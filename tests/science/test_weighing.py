"""Grams to millilitres, with what each reading, the room and the liquid add to the doubt."""

import random
from math import inf, sqrt

import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.science.air import air_density
from drawndose.science.buoyancy import water_z
from drawndose.science.liquids import SALINE, WATER, own_liquid
from drawndose.science.ranges import OutOfRange
from drawndose.science.sheet import Sheet, weigh
from drawndose.science.slips import Kind
from drawndose.science.verdict import Acceptance, Call
from drawndose.science.water import water_density
from drawndose.science.weighing import (
    Balance,
    Blank,
    Room,
    Setup,
    Volume,
    Weighing,
    can_weigh,
    smallest_net_mass,
    volume_by_weight,
)

BALANCE = Balance(readability_g=0.0001, repeatability_g=0.0002, nu=9.0)
ROOM = Room(t_degC=20.0, p_hPa=1013.0, rh_percent=50.0)
SETUP = Setup(balance=BALANCE, room=ROOM)
HALF = Weighing(without_g=12.3456, with_g=12.8442)


def parts(found: Volume) -> dict[str, float]:
    return {one.name: one.u for one in found.budget.contributions}


def changed(**more: object) -> Setup:
    values = {"balance": BALANCE, "room": ROOM} | more
    return Setup(**values)  # type: ignore[arg-type]


def sheet(**more: object) -> Sheet:
    values: dict[str, object] = {
        "balance": BALANCE, "t_degC": 20.0, "p_hPa": 1013.0, "rh_percent": 50.0, "target_mL": 0.5, "tolerance_mL": 0.025,
        "evaporation": Blank(lost_g=0.0003, lost_u_g=0.0001),
    }  # fmt: skip
    return Sheet(**values | more)  # type: ignore[arg-type]


def test_a_net_mass_times_z_is_the_volume() -> None:
    found = volume_by_weight(HALF, SETUP)
    assert found.mL == pytest.approx(0.4986 * water_z(20.0, 1013.0, 50.0), rel=1e-12)


def test_leaving_buoyancy_out_would_cost_0_29_percent() -> None:
    found = volume_by_weight(HALF, SETUP)
    assert found.mL / found.mass_g - 1 == pytest.approx(0.0029, abs=5e-5)


def test_a_steady_drift_is_taken_out_and_its_limit_counted() -> None:
    drifting = Weighing(without_g=12.3456, with_g=12.8442, without_again_g=12.3460)
    found = volume_by_weight(drifting, SETUP)
    assert found.mass_g == pytest.approx(0.4984)
    assert parts(found)["drift of the balance"] == pytest.approx(0.0002 / sqrt(3) * found.z_mL_per_g)
    assert not any("drift" in one for one in found.not_in_it)
    assert any("drift" in one for one in volume_by_weight(HALF, SETUP).not_in_it)


def test_a_second_tare_makes_the_readings_a_little_surer() -> None:
    twice = Weighing(without_g=12.3456, with_g=12.8442, without_again_g=12.3456)
    once, both = (parts(volume_by_weight(one, SETUP)) for one in (HALF, twice))
    name = "repeatability of the balance"
    assert both[name] / once[name] == pytest.approx(sqrt(1.5 / 2))


def test_a_blank_is_added_back_with_its_own_uncertainty() -> None:
    found = volume_by_weight(HALF, changed(evaporation=Blank(lost_g=0.0006, lost_u_g=0.0002)))
    assert found.mass_g == pytest.approx(0.4992)
    assert parts(found)["evaporation"] == pytest.approx(0.0002 * found.z_mL_per_g)


def test_without_a_blank_the_estimate_is_doubt_only() -> None:
    found = volume_by_weight(HALF, changed(evaporation=1.5))
    assert found.mass_g == pytest.approx(0.4986)
    assert parts(found)["evaporation"] == pytest.approx(0.0015 / sqrt(3) * found.z_mL_per_g)
    assert any("evaporation" in one for one in volume_by_weight(HALF, SETUP).not_in_it)
    assert "evaporation" not in parts(volume_by_weight(HALF, changed(evaporation=0.0)))


def test_saline_weighed_as_water_overstates_the_volume() -> None:
    water, saline = (volume_by_weight(HALF, changed(liquid=one)).mL for one in (WATER, SALINE))
    assert water / saline - 1 == pytest.approx(0.0064, abs=5e-5)


def test_the_volume_at_20_degrees_needs_the_devices_expansion() -> None:
    warm = Room(t_degC=25.0, p_hPa=1013.0, rh_percent=50.0)
    plain, at_20 = (volume_by_weight(HALF, changed(room=warm, gamma_per_degC=g)) for g in (0.0, 0.0003))
    assert at_20.mL == pytest.approx(plain.mL * (1 - 0.0015))


def test_the_budget_agrees_with_the_uncertainties_library() -> None:
    found = volume_by_weight(HALF, changed(evaporation=Blank(lost_g=0.0003, lost_u_g=0.0001)))
    full, empty = (uncertainties.ufloat(mass, BALANCE.repeatability_g) for mass in (HALF.with_g, HALF.without_g))
    step = [uncertainties.ufloat(0.0, 0.00005 / sqrt(3)) for _ in range(2)]
    lost = uncertainties.ufloat(0.0003, 0.0001)
    t = uncertainties.ufloat(20.0, 0.5 / sqrt(3))
    p, h = uncertainties.ufloat(1013.0, 20.0 / sqrt(3)), uncertainties.ufloat(50.0, 20.0 / sqrt(3))
    own = uncertainties.ufloat(0.0, WATER.standard_uncertainty)
    air = uncertainties.wrap(air_density)(t, p, h)
    rho = uncertainties.wrap(water_density)(t) + own
    expected = (full - empty + step[0] - step[1] + lost) * 1000.0 * (1 - air / 8000.0) / (rho - air)
    assert found.mL == pytest.approx(expected.nominal_value, rel=1e-12)
    assert found.u == pytest.approx(expected.std_dev, rel=1e-4)


def test_scatter_of_simulated_weighings_is_what_the_budget_says() -> None:
    chance = random.Random(3)
    setup = changed(balance=Balance(readability_g=0.0001, repeatability_g=0.0005))
    volumes = []
    for _ in range(3000):
        empty, full = (round(mass + chance.gauss(0, 0.0005), 4) for mass in (12.34567, 12.84431))
        volumes.append(volume_by_weight(Weighing(without_g=empty, with_g=full), setup).mL)
    mean = sum(volumes) / len(volumes)
    scatter = sqrt(sum((one - mean) ** 2 for one in volumes) / (len(volumes) - 1))
    balance = [u for name, u in parts(volume_by_weight(HALF, setup)).items() if "of the balance" in name]
    assert scatter == pytest.approx(sqrt(sum(u**2 for u in balance)), rel=0.05)


def test_saline_is_not_weighed_outside_its_range() -> None:
    with pytest.raises(OutOfRange, match="saline"):
        changed(liquid=SALINE, room=Room(t_degC=12.0, p_hPa=1013.0, rh_percent=50.0))


@given(st.sampled_from([15.0, 30.0]))
def test_at_the_edge_of_a_range_the_budget_still_answers(t: float) -> None:
    found = volume_by_weight(HALF, changed(liquid=SALINE, room=Room(t_degC=t, p_hPa=1100.0, rh_percent=0.0)))
    assert found.u > 0


def test_the_smallest_net_mass_is_820_steps_for_a_steady_balance() -> None:
    steady = Balance(readability_g=0.0001, repeatability_g=0.00001)
    assert smallest_net_mass(steady) == pytest.approx(0.082)
    assert smallest_net_mass(BALANCE) == pytest.approx(0.4)
    assert smallest_net_mass(Balance(readability_g=0.01, repeatability_g=0.0)) == pytest.approx(8.2)


def test_a_balance_is_told_apart_from_one_that_is_enough() -> None:
    assert can_weigh(0.5, SETUP)
    assert not can_weigh(0.3, SETUP)
    assert can_weigh(0.05, SETUP, share=0.01)


def test_a_slip_in_the_room_is_refused_by_its_name_before_any_formula() -> None:
    with pytest.raises(Refused, match="only in degrees Fahrenheit") as refusal:
        weigh(HALF, sheet(t_degC=72.0))
    assert len(refusal.value.faults) == 1


def test_everything_wrong_with_a_sheet_is_told_at_once_and_each_input_once() -> None:
    wrong = sheet(
        t_degC=72.0, p_hPa=200.0, rh_percent=120.0, liquid="saline", density_g_mL=1004.6, gamma_per_degC=1.0,
        evaporation=1000.0, target_mL=2000.0, tolerance_mL=0.0, capacity_mL=1.0,
    )  # fmt: skip
    with pytest.raises(Refused) as refusal:
        wrong.setup()
    assert sorted(fault.field for fault in refusal.value.faults) == [
        "density_g_mL", "gamma_per_degC", "minutes", "p_hPa", "rh_percent", "t_degC", "target_mL", "tolerance_mL",
    ]  # fmt: skip


def test_a_doubt_about_the_room_stands_beside_the_result() -> None:
    doubtful = sheet(p_hPa=760.0)
    assert [slip.kind for slip in doubtful.doubts] == [Kind.PRESSURE]
    assert weigh(HALF, doubtful).verdict.call is Call.WITHIN


def test_more_than_the_instrument_holds_is_not_asked_and_cannot_have_been_drawn() -> None:
    with pytest.raises(Refused, match="more than the instrument holds"):
        weigh(HALF, sheet(capacity_mL=0.4))
    over = Weighing(without_g=12.3456, with_g=12.3456 + 0.53)
    assert [slip.kind for slip in weigh(over, sheet(capacity_mL=0.5)).doubts] == [Kind.CAPACITY]
    with pytest.raises(Refused, match="the weighed volume is more than the instrument holds"):
        weigh(Weighing(without_g=12.3456, with_g=12.3456 + 0.6), sheet(capacity_mL=0.5))


def test_milligrams_with_a_vessel_in_them_are_named_for_what_they_are() -> None:
    with pytest.raises(Refused, match="some thousand times what was expected"):
        weigh(Weighing(without_g=12345.6, with_g=12844.2), sheet())


def test_a_reading_beyond_the_balance_is_refused_and_one_finer_than_its_display_doubted() -> None:
    small = Balance(readability_g=0.001, repeatability_g=0.001, most_g=12.0)
    with pytest.raises(Refused, match="the balance does not carry so much"):
        weigh(HALF, sheet(balance=small))
    coarse = Balance(readability_g=0.001, repeatability_g=0.001)
    assert [slip.kind for slip in weigh(HALF, sheet(balance=coarse)).doubts] == [Kind.DIGITS] * 2


def test_what_all_draws_share_is_everything_but_the_balance() -> None:
    found = volume_by_weight(HALF, changed(evaporation=Blank(lost_g=0.0003, lost_u_g=0.0001)))
    balance = [u for name, u in parts(found).items() if "of the balance" in name]
    assert found.shared_u**2 + sum(u**2 for u in balance) == pytest.approx(found.u**2)


def test_a_liquid_without_a_known_density_is_asked_for_one() -> None:
    with pytest.raises(Refused, match="a density in g/mL"):
        weigh(HALF, sheet(liquid="acetylcysteine 20 %"))
    known = weigh(HALF, sheet(liquid="acetylcysteine 20 %", density_g_mL=1.06, density_u_g_mL=0.005))
    assert known.volume.mL == pytest.approx(0.4989 / 1.06, rel=0.002)
    assert known.volume.budget.dominant.name == "density of the liquid"
    assert not any("density" in one for one in known.volume.not_in_it)
    exact = weigh(HALF, sheet(liquid="acetylcysteine 20 %", density_g_mL=1.06))
    assert "how well the density of the liquid is known" in exact.volume.not_in_it
    with pytest.raises(Refused, match="kg/m3"):
        weigh(HALF, sheet(liquid="saline", density_g_mL=1004.6))


@pytest.mark.parametrize(("t", "density"), [(20.0, 1.06), (33.0, 1.06), (20.0, 0.998)])
def test_a_density_of_another_liquid_than_the_one_named_is_refused(t: float, density: float) -> None:
    with pytest.raises(Refused, match="that of another liquid than saline"):
        sheet(liquid="saline", t_degC=t, density_g_mL=density).setup()


def test_a_density_that_fits_the_liquid_named_is_taken() -> None:
    assert weigh(HALF, sheet(liquid="saline", density_g_mL=1.005)).verdict.call is Call.WITHIN


def test_simple_acceptance_is_a_setting_of_the_sheet() -> None:
    close = Weighing(without_g=12.3456, with_g=12.3456 + 0.5244 / water_z(20.0, 1013.0, 50.0))
    assert weigh(close, sheet()).verdict.call is Call.CANNOT_TELL
    simple = weigh(close, sheet(acceptance=Acceptance.SIMPLE)).verdict
    assert simple.call is Call.WITHIN
    assert "one half" in simple.says


def test_degrees_of_freedom_of_a_balance_reach_the_verdict() -> None:
    found = weigh(HALF, sheet(balance=Balance(readability_g=0.0001, repeatability_g=0.0002, nu=2.0)))
    assert found.volume.budget.nu < 10
    endless = weigh(HALF, sheet(balance=Balance(readability_g=0.0001, repeatability_g=0.0002)))
    assert endless.volume.budget.nu == inf
    assert found.verdict.guard_mL > endless.verdict.guard_mL


def test_an_own_liquid_has_the_range_of_water() -> None:
    assert own_liquid("x", 1.0, 0.0).temperatures == WATER.temperatures
