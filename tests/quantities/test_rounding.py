from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Quantity, Unlike, Way, neighbours, read_quantity, rounded
from tests.strategies import alike, decimals


@pytest.mark.parametrize(
    ("exact", "step", "way", "value"),
    [
        ("0.517 mL", "0.01 mL", Way.NEAREST, "0.52 mL"),
        ("0.517 mL", "0.01 mL", Way.DOWN, "0.51 mL"),
        ("0.511 mL", "0.01 mL", Way.UP, "0.52 mL"),
        ("0.514 mL", "0.01 mL", Way.NEAREST, "0.51 mL"),
        ("0.515 mL", "0.01 mL", Way.NEAREST, "0.52 mL"),
        ("0.505 mL", "0.01 mL", Way.NEAREST, "0.51 mL"),
        ("0.5 mL", "0.2 mL", Way.NEAREST, "0.6 mL"),
        ("1/3 mL", "0.1 mL", Way.UP, "0.4 mL"),
        ("0.5 mL", "0.1 mL", Way.UP, "0.5 mL"),
        ("0 mL", "0.1 mL", Way.UP, "0 mL"),
        ("0.04 mL", "0.1 mL", Way.NEAREST, "0 mL"),
        ("517 microlitres", "0.01 mL", Way.DOWN, "0.51 mL"),
    ],
)
def test_rounding_goes_the_way_that_was_asked(exact: str, step: str, way: Way, value: str) -> None:
    made = rounded(read_quantity(exact), read_quantity(step), way)
    assert made.value == read_quantity(value)
    assert made.value.unit == read_quantity(step).unit
    assert (made.exact, made.step, made.way) == (read_quantity(exact), read_quantity(step), way)


@pytest.mark.parametrize(
    ("exact", "way", "changed", "share"),
    [
        ("0.5 mL", Way.UP, False, Fraction(0)),
        ("0.25 mL", Way.UP, True, Fraction(1, 5)),
        ("0.25 mL", Way.DOWN, True, Fraction(-1, 5)),
        ("0 mL", Way.UP, False, Fraction(0)),
    ],
)
def test_a_rounding_says_how_much_it_changed(exact: str, way: Way, changed: bool, share: Fraction) -> None:
    made = rounded(read_quantity(exact), read_quantity("0.1 mL"), way)
    assert (made.changed, made.share) == (changed, share)


def test_a_share_keeps_its_unit() -> None:
    made = rounded(read_quantity("7 %"), read_quantity("2 %"), Way.UP)
    assert (made.value.value, str(made.value.unit)) == (8, "%")


def test_a_rounded_amount_is_still_of_its_moiety() -> None:
    dose, step = (Quantity.of_text(value, "mg", "albuterol base") for value in (7, 2))
    assert rounded(dose, step, Way.DOWN).value == Quantity.of_text(6, "mg", "albuterol base")


def test_unlike_quantities_do_not_round_to_each_other() -> None:
    with pytest.raises(Unlike, match="does not divide by"):
        rounded(read_quantity("5 mg"), read_quantity("1 mL"), Way.DOWN)


def test_a_step_of_nothing_is_refused() -> None:
    with pytest.raises(ZeroDivisionError, match="divided by nothing"):
        rounded(read_quantity("5 mL"), read_quantity("0 mL"), Way.DOWN)


with_step = alike().filter(lambda pair: pair[1].value > 0)


@given(with_step, st.sampled_from(Way))
def test_rounding_never_leaves_the_permitted_side_and_stays_between_the_neighbours(
    pair: list[Quantity], way: Way
) -> None:
    exact, step = pair
    below, above = neighbours(exact, step)
    value = rounded(exact, step, way).value
    assert below <= exact <= above
    assert value in (below, above)
    assert value <= exact or way is not Way.DOWN
    assert value >= exact or way is not Way.UP
    assert value.over(step).denominator == 1


@given(with_step)
def test_neighbours_are_one_step_apart_or_the_value_itself(pair: list[Quantity]) -> None:
    exact, step = pair
    below, above = neighbours(exact, step)
    assert above == below == exact or (above - below == step and below < exact < above)


@given(with_step)
def test_nearest_is_never_further_than_half_a_step_and_a_tie_goes_up(pair: list[Quantity]) -> None:
    exact, step = pair
    made = rounded(exact, step, Way.NEAREST)
    distance = abs(made.value.base - exact.base)
    assert distance <= step.base / 2
    assert made.value > exact or distance < step.base / 2
    assert made.share * exact.base == made.value.base - exact.base


@given(with_step, st.sampled_from(Way))
def test_rounding_again_changes_nothing(pair: list[Quantity], way: Way) -> None:
    once = rounded(pair[0], pair[1], way).value
    assert not rounded(once, pair[1], way).changed


@given(decimals, st.sampled_from(Way))
def test_more_is_never_rounded_to_less(value: Fraction, way: Way) -> None:
    step = read_quantity("0.03 mL")
    less, more = (Quantity.of_text(amount, "mL") for amount in (value, value + Fraction(1, 100)))
    assert rounded(less, step, way).value <= rounded(more, step, way).value
