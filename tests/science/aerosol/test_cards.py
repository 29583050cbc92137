"""Every card of aerosol says its source and units, answers at its edges and never beyond, for one number and for many."""

import inspect
from collections.abc import Callable, Iterator
from fractions import Fraction
from math import inf, nan
from types import ModuleType

import numpy as np
import pytest

from drawndose.science.aerosol import (
    breathing,
    continuous,
    cup,
    droplets,
    gas,
    humidity,
    pump_fed,
    simple_fits,
    task_group,
    vapour,
    worker,
)
from drawndose.science.aerosol.numbers import held, plain, refuse_if
from drawndose.science.aerosol.task_group import settling, settling_of_spray
from drawndose.science.ranges import OutOfRange, Range, Valid

Card = Callable[..., object]
WIDE = {"fill_mL": 1000.0, "left_mL": 0.001, "evaporated": 0.3}
BREATH = {"tidal_mL": 500.0, "rate": 15.0, "duty": 0.5, "flow_L_min": 6.0}
LUNG = {"tidal_mL": 500.0, "drawn_mL_s": 250.0, "by_mouth": True, "frc_mL": 3301.0, "mouth_form": 0.5}

# The function, the ranges it is held to, inputs at which it works, and those of its inputs whose edges need others to move.
CARDS: list[tuple[Card, Valid, dict[str, object], str]] = [
    (humidity.saturated_pressure, humidity.VALID, {"t_degC": 20.0}, ""),
    (humidity.water_content, humidity.VALID, {"t_degC": 20.0, "rh": 0.5}, ""),
    (humidity.coldest, humidity.VALID_COLDEST, {"t_degC": 20.0, "rh": 0.5}, ""),
    (vapour.vapour_rate, vapour.VALID, {"flow_L_min": 8.0, "solution_degC": 12.0, "inlet_g_m3": 5.0}, ""),
    (vapour.evaporated_share, vapour.VALID, {"droplets_mL_min": 0.2, "vapour_mL_min": 0.1}, ""),
    (vapour.share_from_ratio, vapour.VALID, {"start": 1.0, "end": 1.5, "volume_ratio": 4.0}, "start end volume_ratio"),
    (cup.treatment_time, cup.VALID, {"fill_mL": 1000.0, "residual_mL": 0.001, "output_mL_min": 0.3}, ""),
    (cup.concentration_rise, cup.VALID, WIDE, ""),
    (cup.kept_share, cup.VALID, WIDE, ""),
    (cup.emitted_share, cup.VALID, WIDE, ""),
    (cup.mean_droplets, cup.VALID, WIDE, "left_mL"),
    (cup.released_share, cup.VALID, {"fill_mL": 1000.0, "residual_mL": 0.001}, ""),
    (
        cup.volume_after,
        cup.VALID,
        {"fill_mL": 1000.0, "residual_mL": 0.001, "output_mL_min": 0.3, "minutes": 3.0},
        "",
    ),
    (
        cup.emission_rate,
        cup.VALID,
        {"per_mL": 1.0, "output_mL_min": 0.3, "evaporated": 0.3, "rise": 1.2},
        "",
    ),
    (breathing.peak_flow, breathing.VALID, {name: BREATH[name] for name in ("tidal_mL", "rate", "duty")}, ""),
    (breathing.inhaled_of_sine, breathing.VALID, dict(BREATH), ""),
    (breathing.inhaled_of_square, breathing.VALID, dict(BREATH), ""),
    (breathing.inhaled_of_wave, breathing.VALID, {"heights": [1.0, 2.0], **BREATH}, ""),
    (breathing.most_inhaled, breathing.VALID, {"tidal_mL": 500.0, "rate": 15.0, "flow_L_min": 8.0}, ""),
    (breathing.inhaled_without_gas, breathing.VALID, {"emitted": 0.9, "duty": 0.4}, ""),
    (breathing.inhaled_enhanced, breathing.VALID, {"duty": 0.4, "ratio": 2.0, "taken": 0.9}, ""),
    (breathing.time_actuated, breathing.VALID, {"minutes": 6.0, "duty": 0.4}, ""),
    (breathing.least_useful, breathing.VALID, {"dead_mL": 20.0, "tidal_mL": 500.0}, ""),
    (droplets.share_below, droplets.VALID, {"cut_um": 5.0, "mmad_um": 4.0, "gsd": 2.0}, ""),
    (
        droplets.spray_of_cuts,
        droplets.VALID,
        {"small_um": 2.0, "small_share": 0.16, "large_um": 8.0, "large_share": 0.84},
        "small_um large_um small_share large_share",
    ),
    (droplets.gsd_of_width, droplets.VALID, {"small_um": 2.0, "large_um": 8.0}, "small_um large_um"),
    (droplets.mass_over_count, droplets.VALID, {"gsd": 2.0}, ""),
    (droplets.aerodynamic, droplets.VALID, {"diameter_um": 3.0, "density_g_mL": 1.1}, ""),
    (simple_fits.simple_fits, simple_fits.VALID, {"size_um": 3.0}, ""),
    (simple_fits.inhalable_share, simple_fits.VALID, {"size_um": 3.0}, ""),
    (settling, task_group.VALID, {"size_um": 3.0, "settling_um": 3.0, **LUNG}, ""),
    (settling_of_spray, task_group.VALID | task_group.VALID_OF_SPRAY, {"mmad_um": 3.0, "gsd": 2.0, **LUNG}, ""),  # type: ignore[operator]
    (worker.worker, worker.VALID, {"mmad_um": 5.0, "gsd": 2.5, "density": 3.0, "shape": 1.5}, ""),
    (
        continuous.recipe,
        continuous.VALID,
        {
            "rate_mg_h": Fraction(1),
            "output_mL_h": Fraction(100),
            "hours": Fraction(4),
            "stock_mg_mL": Fraction(100),
            "dead_mL": Fraction(5),
        },
        "stock_mg_mL",
    ),
    (continuous.true_rate, continuous.VALID, {"strength_mg_mL": Fraction(1), "output_mL_h": Fraction(30)}, ""),
    (
        continuous.hours_left,
        continuous.VALID,
        {"volume_mL": Fraction(30), "dead_mL": Fraction(5), "output_mL_h": Fraction(30)},
        "",
    ),
    (continuous.rate_by_weight, continuous.VALID, {"per_kg_mg_h": Fraction(1, 2), "weight_kg": Fraction(20)}, ""),
    (
        continuous.preservative_per_hour,
        continuous.VALID,
        {"rate_mg_h": Fraction(10), "stock_mg_mL": Fraction(5), "preservative_mcg_mL": Fraction(100)},
        "",
    ),
    (pump_fed.steady_cup, pump_fed.VALID, {"fed_mg_mL": 1.0, "evaporated": 0.3}, ""),
    (pump_fed.steady_rate, pump_fed.VALID, {"fed_mg_mL": 1.0, "feed_mL_h": 10.0, "most_mL_h": 500.0}, "most_mL_h"),
    (pump_fed.start_up_hours, pump_fed.VALID, {"cup_mL": 2.0, "feed_mL_h": 10.0, "evaporated": 0.3}, ""),
    (
        pump_fed.cup_after,
        pump_fed.VALID,
        {"hours": 1.0, "fed_mg_mL": 1.0, "feed_mL_h": 10.0, "cup_mL": 2.0, "evaporated": 0.3, "start_mg_mL": 0.5},
        "",
    ),
    (
        gas.cylinder_minutes,
        gas.VALID,
        {"litres_per_psi": 0.28, "psi": 2000.0, "reserve_psi": 200.0, "flow_L_min": 8.0},
        "",
    ),
    (
        gas.least_pressure,
        gas.VALID,
        {"minutes": 15.0, "flow_L_min": 8.0, "litres_per_psi": 0.28, "reserve_psi": 200.0},
        "",
    ),
    (gas.heliox_flow, gas.VALID, {"read_L_min": 10.0, "factor": 1.8}, ""),
    (gas.heliox_factor, gas.VALID, {"helium": 0.8}, ""),
    (gas.oxygen_share, gas.VALID, {"air_L_min": 8.0, "oxygen_L_min": 2.0}, ""),
]
MODULES = (humidity, vapour, cup, breathing, droplets, simple_fits, worker, continuous, pump_fed, gas)


def edges(moving: bool) -> Iterator[tuple[Card, dict[str, object], str, Range]]:
    for card, valid, inputs, apart in CARDS:
        for name in sorted(valid.keys() & inputs.keys()):
            if moving or name not in apart.split():
                yield card, inputs, name, valid[name]


@pytest.mark.parametrize(("card", "inputs", "name", "allowed"), list(edges(moving=False)))
def test_a_card_answers_at_its_edges(card: Card, inputs: dict[str, object], name: str, allowed: Range) -> None:
    for edge in (allowed.low, allowed.high):
        value = Fraction(edge) if isinstance(inputs[name], Fraction) else edge
        assert card(**inputs | {name: value}) is not None


@pytest.mark.parametrize(("card", "inputs", "name", "allowed"), list(edges(moving=True)))
def test_a_card_gives_no_number_beyond(card: Card, inputs: dict[str, object], name: str, allowed: Range) -> None:
    for beyond in (allowed.low - 1e-3 * (1 + abs(allowed.low)), allowed.high * 1.001 + 1e-9, nan, -inf):
        if isinstance(inputs[name], Fraction):
            if beyond != beyond or beyond == -inf:
                continue  # a fraction is always a number
            beyond = Fraction(beyond)
        with pytest.raises(OutOfRange) as refusal:
            card(**inputs | {name: beyond})
        assert str(allowed) in {fault.accepted for fault in refusal.value.faults}


@pytest.mark.parametrize(("card", "inputs", "name", "allowed"), list(edges(moving=True)))
def test_a_card_refuses_what_is_no_number(card: Card, inputs: dict[str, object], name: str, allowed: Range) -> None:
    del allowed
    if isinstance(inputs[name], Fraction):
        return  # these are typed, and hold their inputs as floats
    for odd in ("20", None, True):
        if odd is None and name in {"most_mL_h", "settling_um"}:
            continue  # may be left out
        with pytest.raises(TypeError):
            card(**inputs | {name: odd})


@pytest.mark.parametrize(("card", "valid", "inputs", "apart"), CARDS, ids=[one[0].__name__ for one in CARDS])
def test_a_card_works_on_many_numbers_as_on_one(
    card: Card, valid: Valid, inputs: dict[str, object], apart: str
) -> None:
    del apart
    names = [name for name in valid if isinstance(inputs.get(name), float)]
    scalar_only = {humidity.coldest, worker.worker, droplets.spray_of_cuts, droplets.gsd_of_width}
    if not names or card in scalar_only:
        return
    one = card(**inputs)
    many = card(**inputs | {name: np.array([inputs[name]] * 3) for name in names})
    for name in ("total", "head") if hasattr(one, "total") and hasattr(one, "head") else ("",):
        single, several = (getattr(one, name, one), getattr(many, name, many)) if name else (one, many)
        assert several == pytest.approx([float(single)] * 3, rel=1e-12)  # type: ignore[arg-type]


@pytest.mark.parametrize("module", MODULES, ids=lambda one: one.__name__)
def test_a_card_says_its_units_its_source_and_an_example(module: ModuleType) -> None:
    functions = [
        one
        for name, one in inspect.getmembers(module, inspect.isfunction)
        if one.__module__ == module.__name__ and not name.startswith("_")
    ]
    assert functions
    for one in (*functions, settling, settling_of_spray):
        text = inspect.getdoc(one) or ""
        assert all(part in text for part in ("Symbols:", "Source:", ">>>", "[")), one.__name__


TOGETHER: list[tuple[Callable[[], object], str]] = [
    (lambda: cup.treatment_time(1.0, 1.5, 0.3), "residual_mL"),
    (lambda: cup.treatment_time(np.array([3.0, 1.0]), np.array([1.0, 1.5]), np.array([0.3, 0.3])), "residual_mL"),
    (lambda: cup.mean_droplets(2.0, 2.0, 0.1), "left_mL"),
    (lambda: vapour.evaporated_share(0.0, 0.0), "droplets_mL_min"),
    (lambda: vapour.share_from_ratio(2.0, 1.0, 4.0), "end"),
    (lambda: vapour.share_from_ratio(1.0, 5.0, 4.0), "end"),
    (lambda: droplets.spray_of_cuts(5.0, 0.2, 4.0, 0.8), "large_um"),
    (lambda: droplets.spray_of_cuts(3.0, 0.8, 4.0, 0.2), "large_share"),
    (lambda: droplets.gsd_of_width(5.0, 4.0), "large_um"),
    (lambda: pump_fed.steady_rate(1.0, 10.0, 10.0), "most_mL_h"),
    (lambda: gas.oxygen_share(0.0, 0.0), "air_L_min"),
    (lambda: breathing.inhaled_of_wave([0.0, 0.0], 500.0, 15.0, 0.5, 6.0), "height"),
]


@pytest.mark.parametrize(("work", "field"), TOGETHER, ids=map(str, range(len(TOGETHER))))
def test_two_inputs_that_cannot_go_together_are_refused(work: Callable[[], object], field: str) -> None:
    with pytest.raises(OutOfRange) as refusal:
        work()
    assert [fault.field for fault in refusal.value.faults] == [field]


def test_numbers_and_arrays_at_the_door() -> None:
    held({"x": Range(0.0, 1.0, "", "x")}, x=np.array([0.0, 1.0]))
    for wrong in (np.array([0.5, 1.1]), np.array([-0.1, 0.5]), np.array([0.5, nan])):
        with pytest.raises(OutOfRange):
            held({"x": Range(0.0, 1.0, "", "x")}, x=wrong)
    assert isinstance(plain(np.float64(2.0)), float)
    assert isinstance(plain(np.array(2.0)), float)
    assert plain(np.array([2.0])) == [2.0]
    refuse_if(np.array([False, False]), "x", "never", 1.0, "anything")
