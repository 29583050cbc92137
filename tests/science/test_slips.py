"""Slips with balance and weather station, each caught by its name and told with what it would be."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.science.slips import (
    Kind,
    capacity_slips,
    coarse_slips,
    density_slips,
    display_slips,
    expected_mass,
    mass_slips,
    room_slips,
)


def kinds(slips: object) -> list[tuple[Kind, bool]]:
    return [(slip.kind, slip.sure) for slip in slips]  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("without", "full", "kind", "accepted"),
    [
        (12.8456, 12.3456, Kind.SWAPPED, "12.3456 g without, 12.8456 g with"),
        (12.3456, 12.3455, Kind.NOTHING, "a reading after the delivery"),
        (12.3456, 12.3456, Kind.NOTHING, "a reading after the delivery"),
        (0.0, 0.0, Kind.NOTHING, "a reading after the delivery"),
        (12345.6, 12845.6, Kind.UNIT, "grams: 0.5 g"),
        (0.0, 500.0, Kind.UNIT, "grams: 0.5 g"),
        (0.0, 0.0005, Kind.UNIT, "grams: 0.5 g"),
        (496.0, 12.84, Kind.UNIT, "both readings in grams"),
        (0.0123456, 0.0128456, Kind.UNIT, "grams: 0.5 g"),
        (0.0, 12.8456, Kind.TARE, "the reading of the empty vessel"),
        (12.3456, 0.5, Kind.NET, "both of the same vessel, or 0 first"),
    ],
)
def test_a_slip_of_the_readings_has_its_name(without: float, full: float, kind: Kind, accepted: str) -> None:
    (slip,) = mass_slips(without, full, 0.5)
    assert (slip.kind, slip.accepted, slip.sure) == (kind, accepted, True)


@pytest.mark.parametrize(
    ("without", "full"), [(12.3456, 12.8456), (0.0, 0.5), (0.0, 0.1), (12.0, 14.0), (12.0, 12.005)]
)
def test_a_draw_that_is_only_wrong_is_no_slip(without: float, full: float) -> None:
    assert list(mass_slips(without, full, 0.5)) == []


@given(st.floats(0.0, 50.0), st.floats(0.2, 2.0), st.floats(0.05, 5.0))
def test_no_true_weighing_near_its_target_is_refused(vessel: float, ratio: float, expected: float) -> None:
    assert list(mass_slips(vessel, vessel + ratio * expected, expected)) == []


@given(st.floats(1.0, 50.0), st.floats(0.5, 1.5), st.floats(0.05, 0.9))
def test_every_weighing_typed_the_wrong_way_round_is_named(vessel: float, ratio: float, expected: float) -> None:
    assert Kind.SWAPPED in {slip.kind for slip in mass_slips(vessel + 5 + ratio * expected, vessel + 5, expected)}


def test_a_large_drift_is_doubted() -> None:
    (slip,) = mass_slips(12.3456, 12.8456, 0.5, 12.4)
    assert (slip.kind, slip.sure) == (Kind.DRIFT, False)
    assert list(mass_slips(12.3456, 12.8456, 0.5, 12.3457)) == []


@pytest.mark.parametrize(
    ("room", "found", "accepted"),
    [
        ((68.0, 1013.0, 50.0), (Kind.FAHRENHEIT, True), "20.0 degC"),
        ((20.0, 29.92, 50.0), (Kind.PRESSURE, True), "1013 hPa"),
        ((20.0, 101.3, 50.0), (Kind.PRESSURE, True), "1013 hPa"),
        ((20.0, 760.0, 50.0), (Kind.PRESSURE, False), "1013 hPa"),
        ((20.0, 1013.0, 0.45), (Kind.SHARE, False), "45 %"),
    ],
)
def test_a_slip_of_the_room_has_its_name(
    room: tuple[float, float, float], found: tuple[Kind, bool], accepted: str
) -> None:
    (slip,) = room_slips(*room)
    assert ((slip.kind, slip.sure), slip.accepted) == (found, accepted)


@given(st.floats(5.0, 35.0), st.floats(791.0, 1100.0), st.floats(2.0, 100.0))
def test_an_ordinary_room_is_no_slip(t: float, p: float, rh: float) -> None:
    assert kinds(room_slips(t, p, rh)) == []


@pytest.mark.parametrize(("density", "count"), [(1.0046, 0), (1.2, 0), (1004.6, 1), (13.6, 1), (0.1, 1), (0.0, 1)])
def test_a_density_is_one_that_an_inhaled_liquid_can_have(density: float, count: int) -> None:
    assert kinds(density_slips(density)) == [(Kind.DENSITY, True)] * count


def test_a_slip_says_what_came_and_what_it_would_be() -> None:
    (slip,) = room_slips(72.0, 1013.0, 50.0)
    assert slip.says.endswith('Came: "72 degC". Accepted: 22.2 degC.')


@pytest.mark.parametrize("net", [5.0, 4.4, 0.05, 0.055])
def test_about_ten_times_more_or_less_is_doubted(net: float) -> None:
    (slip,) = mass_slips(12.0, 12.0 + net, 0.5)
    assert (slip.kind, slip.sure, slip.accepted) == (Kind.POINT, False, "about 0.5 g")


def test_a_display_shows_whole_steps_and_a_balance_carries_so_much() -> None:
    assert kinds(display_slips([12.3456, 0.1 + 0.2], 0.0001, 220.0)) == []
    assert kinds(display_slips([12.3456], 0.002, 12.0)) == [(Kind.CAPACITY, True), (Kind.DIGITS, False)]


@given(st.lists(st.integers(1, 10**9), min_size=1, max_size=9), st.sampled_from([1e-5, 1e-4, 1e-3, 2e-3, 5e-4, 1e-2]))
def test_no_reading_that_the_display_can_show_is_doubted(steps: list[int], step: float) -> None:
    assert kinds(display_slips([one * step for one in steps], step, float("inf"))) == []


def test_readings_that_all_end_in_0_doubt_the_step() -> None:
    assert kinds(coarse_slips([12.34, 12.84, 12.35, 12.86], 0.001)) == [(Kind.DIGITS, False)]
    assert kinds(coarse_slips([12.34, 12.84, 12.35, 12.861], 0.001)) == []
    assert kinds(coarse_slips([12.34, 12.84, 12.35], 0.001)) == []


def test_a_little_past_the_last_line_is_a_doubt_and_far_past_it_cannot_be() -> None:
    assert kinds(capacity_slips(1.0, 1.0)) == []
    assert kinds(capacity_slips(1.09, 1.0)) == [(Kind.CAPACITY, False)]
    assert kinds(capacity_slips(1.11, 1.0)) == [(Kind.CAPACITY, True)]


def test_about_what_a_volume_weighs() -> None:
    assert expected_mass(0.5) == pytest.approx(0.4991, abs=1e-4)
    assert expected_mass(0.5, 1.06) == pytest.approx(0.53)
