"""Every formula is a card: it says its source and its units, shows an example, and gives no number outside its range."""

import inspect
import pickle
from collections.abc import Callable, Iterator
from fractions import Fraction
from math import inf, nan
from types import ModuleType

import pytest

from drawndose.science import air, buoyancy, evaporation, liquids, parallax, quantiles, water
from drawndose.science.drawing import Conditions, Loss, Operator, reading_half_width
from drawndose.science.ranges import OutOfRange, Range, Valid, hold, slope
from drawndose.science.series import summarize
from drawndose.science.verdict import judge
from drawndose.science.weighing import Balance, Blank, Room, least_weighable, smallest_net_mass

ROOM = {"t_degC": 20.0, "p_hPa": 1013.0, "rh_percent": 50.0}
BALANCE = Balance(readability_g=0.0001, repeatability_g=0.0002)

# The function, the ranges it is held to, and inputs at which it works.
CARDS: list[tuple[Callable[..., object], Valid, dict[str, object]]] = [
    (water.water_density, water.VALID, {"t_degC": 20.0}),
    (air.air_density, air.VALID, dict(ROOM)),
    (buoyancy.water_z, {name: air.VALID[name] for name in ("p_hPa", "rh_percent")}, dict(ROOM)),
    (buoyancy.z_factor, buoyancy.VALID, {"liquid_kg_m3": 998.0, "air_kg_m3": 1.2, "weight_kg_m3": 8000.0}),
    (
        buoyancy.volume_at_20,
        buoyancy.VALID_VOLUME,
        {"mass_g": 0.5, "z_mL_per_g": 1.003, "t_degC": 21.0, "gamma_per_degC": 0.0001},
    ),
    (liquids.saline_density, liquids.VALID, {"t_degC": 20.0}),
    (evaporation.evaporation_rate, evaporation.VALID, {"lost_g": 0.003, "blank_min": 5.0}),
    (evaporation.evaporated, evaporation.VALID, {"rate_g_per_min": 0.0006, "minutes": 1.0}),
    (quantiles.coverage_factor, quantiles.VALID, {"level_percent": 95.0, "nu": 5.0}),
    (quantiles.t_quantile, quantiles.VALID, {"chance": 0.975, "nu": 5.0}),
    (quantiles.t_below, quantiles.VALID, {"value": 1.0, "nu": 5.0}),
    (quantiles.chi2_quantile, quantiles.VALID, {"chance": 0.975, "nu": 5.0}),
    (
        reading_half_width,
        {"step_mL": Range(1e-4, 100.0, "mL", "step")},
        {"step_mL": 0.1, "reading": Conditions().reading},
    ),
    (parallax.slope_inside, parallax.VALID, {"tilt_deg": 20.0, "index": 1.5}),
    (parallax.shift, parallax.VALID, {"gap_mm": 1.0, "tilt_deg": 20.0, "index": 1.5}),
    (
        parallax.misreading,
        parallax.VALID,
        {"shift_mm": 0.3, "capacity_mL": 1.0, "scale_mm": 57.0, "grows": parallax.Grows.DOWN},
    ),
    (parallax.bubble_volume, parallax.VALID, {"diameter_mm": 4.0}),
    (parallax.bubble_diameter, parallax.VALID, {"bubble_mL": 0.05}),
    (smallest_net_mass, {"share": Range(1e-5, 0.5, "", "share")}, {"balance": BALANCE, "share": 0.001}),
    (least_weighable, {"share": Range(1e-5, 0.5, "", "share")}, {"sensitivity_g": 0.006, "share": 0.05}),
]


def edges() -> Iterator[tuple[Callable[..., object], dict[str, object], str, Range]]:
    for card, valid, inputs in CARDS:
        for name in sorted(valid.keys() & inputs.keys()):
            yield card, inputs, name, valid[name]


@pytest.mark.parametrize(("card", "inputs", "name", "allowed"), list(edges()))
def test_a_card_answers_at_its_edges_and_never_beyond(
    card: Callable[..., object], inputs: dict[str, object], name: str, allowed: Range
) -> None:
    for edge in (allowed.low, allowed.high):
        assert card(**inputs | {name: edge}) is not None
    for beyond in (allowed.low - 1e-3 * (1 + abs(allowed.low)), allowed.high * 1.001 + 1e-9, nan, -inf):
        with pytest.raises(OutOfRange) as refusal:
            card(**inputs | {name: beyond})
        assert [fault.accepted for fault in refusal.value.faults] == [str(allowed)]


@pytest.mark.parametrize(("card", "inputs", "name", "allowed"), list(edges()))
def test_a_card_refuses_what_is_no_number(
    card: Callable[..., object], inputs: dict[str, object], name: str, allowed: Range
) -> None:
    for odd in ("20", None, True):
        with pytest.raises(TypeError, match="number"):
            card(**inputs | {name: odd})


@pytest.mark.parametrize(
    "module", [water, air, buoyancy, liquids, evaporation, quantiles, parallax], ids=lambda one: one.__name__
)
def test_a_card_says_its_units_its_source_and_an_example(module: ModuleType) -> None:
    functions = [
        one for name, one in inspect.getmembers(module, inspect.isfunction)
        if one.__module__ == module.__name__ and not name.startswith("_") and name != "own_liquid"
    ]  # fmt: skip
    assert functions
    for one in functions:
        text = inspect.getdoc(one) or ""
        assert all(part in text for part in ("Symbols:", "Source:", ">>>", "[")), one.__name__


def test_every_input_outside_its_range_is_named_at_once() -> None:
    with pytest.raises(OutOfRange) as refusal:
        air.air_density(72.0, 29.9, 130.0)
    assert [fault.field for fault in refusal.value.faults] == ["t_degC", "p_hPa", "rh_percent"]
    assert str(refusal.value).startswith('t_degC: the air temperature lies outside the range. Came: "72 degC".')


def test_the_error_survives_pickling() -> None:
    with pytest.raises(OutOfRange) as refusal:
        water.water_density(41.0)
    again = pickle.loads(pickle.dumps(refusal.value))
    assert (type(again), again.faults) == (OutOfRange, refusal.value.faults)


def test_exact_numbers_may_come_in() -> None:
    assert water.water_density(Fraction(20)) == water.water_density(20.0)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "make",
    [
        lambda: Balance(readability_g=0.0, repeatability_g=0.1),
        lambda: Balance(readability_g=0.0001, repeatability_g=0.0001, nu=0.5),
        lambda: Room(t_degC=20.0, p_hPa=1013.0, rh_percent=50.0, p_half_width=-1.0),
        lambda: Blank(lost_g=-0.001, lost_u_g=0.0),
        lambda: Operator(cv=0.6),
        lambda: Operator(cv=0.1, nu=0.0),
        lambda: Loss(says="x", lost_mL=2.0, half_width_mL=0.0),
        lambda: Conditions(away_degC=20.0),
        lambda: summarize([0.5, -0.1], target_mL=0.5),
        lambda: judge(0.5, 0.0, target_mL=0.5, tolerance_mL=0.1),
        lambda: liquids.own_liquid("mercury", 13.6, 0.0),
    ],
    ids=[
        "readability",
        "degrees",
        "pressure",
        "blank",
        "spread",
        "no degrees",
        "loss",
        "temperature",
        "draw",
        "uncertainty",
        "mercury",
    ],
)
def test_a_setting_outside_its_range_is_refused(make: Callable[[], object]) -> None:
    with pytest.raises(OutOfRange):
        make()


def test_a_slope_stays_inside_the_range() -> None:
    inside = Range(0.0, 1.0, "", "x")
    seen: list[float] = []
    assert slope(lambda x: seen.append(x) or 3.0 * x, 1.0, inside, 0.5) == pytest.approx(3.0)  # type: ignore[func-returns-value]
    assert all(one in inside for one in seen)


def test_hold_accepts_what_lies_inside() -> None:
    hold({"x": Range(0.0, 1.0, "", "x")}, x=1)
