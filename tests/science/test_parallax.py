"""Where the eye stands: geometry against itself, against tracing the ray, and the sign by the direction of the scale."""

from fractions import Fraction
from math import asin, cos, degrees, radians, sin, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose import load
from drawndose.science.eye import WALL_MM, Sight, air_words, seen, seen_words, sight_of
from drawndose.science.parallax import Grows, bubble_diameter, bubble_volume, misreading, shift, slope_inside

TILTS = st.floats(-60.0, 60.0)
INDEXES = st.floats(1.0, 2.0)


@given(TILTS, INDEXES)
def test_the_refracted_slope_obeys_the_law_of_refraction(tilt: float, index: float) -> None:
    slope = slope_inside(tilt, index)
    inside = slope / (1 + slope**2) ** 0.5  # sin(t') out of tan(t')
    assert inside * index == pytest.approx(sin(radians(tilt)), abs=1e-12)


@given(TILTS, st.floats(0.0, 50.0))
def test_without_refraction_it_is_height_over_distance(tilt: float, gap: float) -> None:
    distance = 300.0
    height = distance * tan(radians(tilt))
    assert shift(gap, tilt) == pytest.approx(gap * height / distance, abs=1e-9)


@given(TILTS, INDEXES, st.floats(0.0, 10.0))
def test_below_is_above_turned_round_and_the_level_is_nothing(tilt: float, index: float, gap: float) -> None:
    assert shift(gap, -tilt, index) == pytest.approx(-shift(gap, tilt, index), abs=1e-12)
    assert shift(gap, 0.0, index) == 0.0


@given(st.floats(1.0, 60.0), st.floats(1.01, 2.0))
def test_refraction_makes_it_less(tilt: float, index: float) -> None:
    assert 0 < slope_inside(tilt, index) < slope_inside(tilt) == pytest.approx(sin(radians(tilt)) / cos(radians(tilt)))


@pytest.mark.parametrize(("grows", "from_above"), [(Grows.UP, "high"), (Grows.DOWN, "low")])
def test_the_sign_follows_the_direction_of_the_scale(grows: Grows, from_above: str) -> None:
    above, below = (misreading(shift(1.0, tilt), 10.0, 100.0, grows) for tilt in (20.0, -20.0))
    assert ("high" if above > 0 else "low") == from_above
    assert below == pytest.approx(-above)


def test_a_ray_traced_step_by_step_meets_the_same_mark() -> None:
    """A wall of 2 mm with n = 1.5: the scale is on its outside, the edge inside, at height 0."""
    meets = 0.5  # where the ray passes the outside, mm above the edge that it reaches inside
    inside = meets / (2.0**2 + meets**2) ** 0.5
    outside = 1.5 * inside
    tilt = degrees(asin(outside))
    assert shift(2.0, tilt, 1.5) == pytest.approx(meets, rel=1e-12)


@given(st.floats(0.1, 10.0))
def test_a_bubble_and_its_diameter_are_one_thing(diameter: float) -> None:
    assert bubble_diameter(bubble_volume(diameter)) == pytest.approx(diameter)


def test_a_tenth_of_a_millilitre_is_a_ball_of_5_76_mm() -> None:
    assert bubble_diameter(0.1) == pytest.approx(5.7588, abs=1e-4)
    assert bubble_volume(2.0) == pytest.approx(8 * bubble_volume(1.0))


SYRINGE = Sight(capacity_mL=1.0, gap_mm=1.0, scale_mm=57.0, index=1.5, grows=Grows.DOWN)


def test_a_syringe_set_from_above_holds_more_than_its_line_and_from_below_less() -> None:
    above, below = seen(Fraction(2, 5), SYRINGE, 20.0), seen(Fraction(2, 5), SYRINGE, -20.0)
    assert above is not None
    assert below is not None
    assert above.holds == pytest.approx(0.4041, abs=5e-5)
    assert above.off == pytest.approx(-below.off)
    level = seen(Fraction(2, 5), SYRINGE, 0.0)
    assert level is not None
    assert (level.holds, level.off) == (0.4, 0.0)


@pytest.mark.parametrize("missing", ["gap_mm", "scale_mm"])
def test_without_a_length_there_is_no_number(missing: str) -> None:
    known = {"capacity_mL": 1.0, "gap_mm": 1.0, "scale_mm": 57.0, "index": 1.5, "grows": Grows.DOWN} | {missing: None}
    assert seen(Fraction(2, 5), Sight(**known), 20.0) is None  # type: ignore[arg-type]


def test_it_is_told_with_both_volumes_and_the_share_of_the_dose() -> None:
    three = Sight(capacity_mL=3.0, gap_mm=1.0, scale_mm=27.0, index=1.5, grows=Grows.DOWN)
    told = [seen_words(seen(Fraction(2, 5), three, tilt), Fraction(2, 5), 1) for tilt in (20.0, -20.0, 0.0)]  # type: ignore[arg-type]
    assert told == [
        "From 20 degrees above, about 0.426 mL looks like 0.4 mL: about 0.026 mL more than the line, 6.5 % more dose.",
        "From 20 degrees below, about 0.374 mL looks like 0.4 mL: about 0.026 mL less than the line, 6.5 % less dose.",
        "With the eye level, the line shows what is there: 0.4 mL.",
    ]


def test_a_volume_that_dilutes_turns_the_dose_the_other_way() -> None:
    found = seen(Fraction(2, 5), SYRINGE, 20.0)
    assert found is not None
    assert seen_words(found, Fraction(2, 5), -1).endswith("1 % less dose.")


def test_a_line_that_cannot_be_met_is_said_and_not_given_a_volume() -> None:
    found = seen(Fraction(1, 100), SYRINGE, -60.0)
    assert found is not None
    assert found.holds < 0
    assert seen_words(found, Fraction(1, 100), 1) == (
        "From 60 degrees below, nothing looks like 0.01 mL: the edge would stand beyond the end of the scale."
    )


def test_what_is_known_of_an_instrument_and_what_has_to_be_measured() -> None:
    syringe, dropper, cylinder = (
        sight_of(load().instrument(ident)) for ident in ("syringe-3", "dropper-0.25-0.5", "cylinder-100")
    )
    assert (syringe.gap_mm, syringe.scale_mm, syringe.grows) == (WALL_MM, 27.0, Grows.DOWN)
    assert (dropper.gap_mm, dropper.scale_mm, dropper.grows) == (None, None, Grows.UP)
    assert (cylinder.gap_mm, cylinder.scale_mm, cylinder.grows) == (None, 200.0, Grows.UP)


def test_a_bubble_is_told_with_what_it_leaves() -> None:
    line = Fraction(2, 5)
    assert air_words(Fraction(3, 100), line, line, 1) == (
        "A bubble of 0.03 mL (about 3.9 mm across if it is round) is no liquid: 0.37 mL is there at the 0.4 mL line, 7.5 % less dose."
    )
    assert air_words(Fraction(3, 100), line, line, -1).endswith("7.5 % more dose.")
