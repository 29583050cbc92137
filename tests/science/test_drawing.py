"""What a draw owes to instrument, reading, temperature and person."""

from dataclasses import replace
from datetime import date
from fractions import Fraction
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose import Policy, load
from drawndose.bench.dead_space import Change
from drawndose.bench.draws import Draw, draw
from drawndose.quantities import Refused
from drawndose.reference import Calibration, Instrument, Point
from drawndose.science.budget import Shape
from drawndose.science.drawing import (
    Conditions,
    Loss,
    Measured,
    Operator,
    Reading,
    measured,
    volume_budget,
    volume_model,
)
from drawndose.science.losses import needle_loss
from drawndose.science.montecarlo import simulate

BOOK = load()
SYRINGE = BOOK.instrument("syringe-1")
STILL = Conditions(away_degC=0.0)


def fills(
    *volumes: str, ident: str = "syringe-1", conditions: Conditions = STILL, loss: Loss | None = None
) -> Measured:
    return Measured(
        tag="draw",
        instrument=BOOK.instrument(ident),
        fills=tuple(Fraction(volume) for volume in volumes),
        conditions=conditions,
        loss=loss,
    )


def u_of(one: Measured) -> dict[str, float]:
    return {
        part.name.partition(" of the ")[0].partition(" the ")[0]: part.u for part in volume_budget(one).contributions
    }


def test_two_fills_of_one_instrument_share_its_error_and_are_read_anew() -> None:
    once, twice = u_of(fills("0.5")), u_of(fills("0.5", "0.5"))
    assert twice["calibration"] == pytest.approx(2 * once["calibration"])
    assert twice["reading"] == pytest.approx(sqrt(2) * once["reading"])


def test_a_scale_read_to_half_a_line_or_as_a_difference() -> None:
    nearest = u_of(fills("0.5"))["reading"]
    assert nearest == pytest.approx(0.01 / (2 * sqrt(3)))
    half = Conditions(away_degC=0.0, reading=Reading.HALF_LINE)
    assert u_of(fills("0.5", conditions=half))["reading"] == pytest.approx(nearest / 2)
    both = fills("0.5", conditions=Conditions(away_degC=0.0, readings=2))
    assert u_of(both)["reading"] == pytest.approx(nearest * sqrt(2))
    assert {part.shape for part in volume_budget(both).contributions} == {Shape.RECTANGULAR, Shape.TRIANGULAR}


@pytest.mark.parametrize("readings", [0, 3])
def test_a_volume_is_read_once_or_twice(readings: int) -> None:
    with pytest.raises(ValueError, match="read once or as the difference of two"):
        Conditions(readings=readings)


def test_a_droppers_limit_holds_its_reading() -> None:
    found = u_of(fills("0.5", ident="dropper-0.25-0.5"))
    assert found == {"calibration": pytest.approx(0.075 / sqrt(3))}


def test_temperature_counts_by_volume() -> None:
    found = u_of(fills("0.5", conditions=Conditions()))
    assert found["temperature"] == pytest.approx(0.5 * 2.1e-4 * 5 / sqrt(3))


def test_a_persons_spread_counts_by_volume_and_brings_its_degrees_of_freedom() -> None:
    person = Conditions(away_degC=0.0, operator=Operator(cv=0.05, nu=9.0))
    found = volume_budget(fills("0.5", conditions=person))
    assert u_of(fills("0.5", conditions=person))["the person's spread"] == pytest.approx(0.025)
    assert 9 < found.nu < 20
    assert "reading" in u_of(fills("0.5", conditions=person))


def test_a_spread_found_by_weighing_holds_the_reading_already() -> None:
    weighed = Conditions(away_degC=0.0, operator=Operator(cv=0.05, nu=9.0, holds_reading=True))
    assert "reading" not in u_of(fills("0.5", conditions=weighed))


def test_a_known_loss_is_taken_off_and_only_its_limit_is_unsure() -> None:
    loss = needle_loss(Fraction(1, 2), Change.DRY_AFTER, keeps=Fraction(1, 20), half_width_mL=0.01)
    found = volume_budget(fills("0.5", loss=loss))
    assert found.value == pytest.approx(0.45)
    named = {part.name: part.u for part in found.contributions}
    assert named[Change.DRY_AFTER.value] == pytest.approx(0.01 / sqrt(3))
    sure = needle_loss(Fraction(1, 2), Change.DRY_AFTER, keeps=Fraction(1, 20))
    assert volume_budget(fills("0.5", loss=sure)).u == pytest.approx(volume_budget(fills("0.5")).u)


def test_a_needle_that_is_still_full_of_drug_adds_to_the_dose() -> None:
    loss = needle_loss(Fraction(1, 2), Change.OTHER_DRUG, keeps=Fraction(1, 20), nozzle=Fraction(7, 100))
    assert volume_budget(fills("0.5", loss=loss)).value == pytest.approx(0.62)


def test_what_the_bench_refuses_is_refused() -> None:
    with pytest.raises(Refused, match="swallow the whole dose"):
        needle_loss(Fraction(1, 20), Change.DRY_AFTER, keeps=Fraction(1, 20))


def test_a_draw_of_the_bench_is_taken_as_it_is() -> None:
    made = draw(Fraction(5, 2), BOOK.instrument("syringe-1"), Policy())
    assert isinstance(made, Draw)
    one = measured(made, STILL)
    assert (one.volume, one.fills) == (2.5, (Fraction(1), Fraction(1), Fraction(1, 2)))


@given(st.integers(1, 100), st.integers(1, 100))
def test_in_one_syringe_a_larger_volume_is_relatively_surer(one: int, other: int) -> None:
    small, large = sorted((one, other))
    shares = [volume_budget(fills(f"{volume}/100")).half_width * 100 / volume for volume in (small, large)]
    assert shares[1] <= shares[0] * (1 + 1e-9)


@given(st.integers(1, 30))
def test_no_draw_of_hard_limits_is_further_off_than_their_sum(tenths: int) -> None:
    found = volume_budget(fills(f"{tenths}/10", ident="syringe-3", conditions=Conditions()))
    trial = simulate(volume_model(fills(f"{tenths}/10", ident="syringe-3", conditions=Conditions())), trials=20_000)
    assert found.half_width <= found.limit
    assert trial.high.value - found.value < found.limit
    assert trial.high.value - found.value == pytest.approx(found.half_width, rel=0.12)


def calibrated(*points: tuple[str, str, str]) -> Instrument:
    made = tuple(Point(set=Fraction(a), delivered=Fraction(b), uncertainty=Fraction(u)) for a, b, u in points)
    own = Calibration(on=date(2026, 11, 2), by="skills lab", points=made)
    return replace(SYRINGE, calibration=own)


def test_an_instruments_own_calibration_stands_in_the_place_of_the_printed_limit() -> None:
    tool = calibrated(("0.2", "0.202", "0.001"), ("0.6", "0.606", "0.002"))
    one = Measured(tag="draw", instrument=tool, fills=(Fraction(2, 5),), conditions=STILL)
    found = volume_budget(one)
    assert found.value == pytest.approx(0.404)  # half way between a bias of 0.002 and one of 0.006
    assert u_of(one)["calibration"] == pytest.approx(0.002)
    assert {part.shape for part in found.contributions if part.name.startswith("calibration")} == {Shape.NORMAL}
    twice = Measured(tag="draw", instrument=tool, fills=(Fraction(2, 5), Fraction(1, 5)), conditions=STILL)
    assert volume_budget(twice).value == pytest.approx(0.606)
    assert u_of(twice)["calibration"] == pytest.approx(0.003)  # one instrument errs the same way each time


def test_beyond_the_volumes_that_were_tried_the_printed_limit_holds() -> None:
    tool = calibrated(("0.2", "0.202", "0.001"), ("0.6", "0.606", "0.002"))
    outside = Measured(tag="draw", instrument=tool, fills=(Fraction(2, 5), Fraction(4, 5)), conditions=STILL)
    assert outside.points == ()
    assert volume_budget(outside).value == pytest.approx(1.2)
    assert u_of(outside)["calibration"] == pytest.approx((0.023 + 0.04) / sqrt(3))
