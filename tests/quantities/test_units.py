from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Unit, unit
from drawndose.quantities.units import BASES, DANGEROUS, NONE, SPELLINGS
from tests.strategies import READABLE

parts = st.lists(st.tuples(st.sampled_from(sorted(BASES)), st.integers(-3, 3).filter(bool)), max_size=4)


def test_no_spelling_stands_for_two_units() -> None:
    counted = Counter(spelling for base in BASES.values() for spelling in base.spellings)
    assert {spelling: times for spelling, times in counted.items() if times > 1} == {}
    assert len(counted) == len(SPELLINGS)


def test_spellings_are_in_lower_case_so_that_case_never_decides() -> None:
    assert [spelling for spelling in (*SPELLINGS, *DANGEROUS) if spelling != spelling.lower()] == []


def test_no_dangerous_spelling_is_also_accepted() -> None:
    assert DANGEROUS.keys() & SPELLINGS.keys() == set()


@pytest.mark.parametrize("symbol", [symbol for symbol in BASES if symbol != "kilogram"])
def test_what_is_shown_can_be_typed(symbol: str) -> None:
    assert SPELLINGS[BASES[symbol].shown.lower()] == symbol
    assert SPELLINGS[BASES[symbol].plural.lower()] == symbol


@pytest.mark.parametrize(
    ("spelling", "dimension", "factor"),
    [
        ("mg", (("mass", 1),), Fraction(1, 1000)),
        ("mg/mL", (("mass", 1), ("volume", -1)), Fraction(1)),
        ("mcg/kg/min", (("body mass", -1), ("mass", 1), ("time", -1)), Fraction(1, 60_000_000)),
        ("unit/mL", (("units", 1), ("volume", -1)), Fraction(1000)),
        ("1/min", (("time", -1),), Fraction(1, 60)),
        ("/min", (("time", -1),), Fraction(1, 60)),
        ("mL^2", (("volume", 2),), Fraction(1, 10**6)),
        ("mg.mL/h^2", (("mass", 1), ("time", -2), ("volume", 1)), Fraction(1, 10**6 * 3600**2)),
        ("mg/g", (), Fraction(1, 1000)),
        ("%", (), Fraction(1, 100)),
        ("ppm", (), Fraction(1, 10**6)),
        ("1", (), Fraction(1)),
        ("", (), Fraction(1)),
    ],
)
def test_a_unit_has_a_dimension_and_an_exact_factor(
    spelling: str, dimension: tuple[tuple[str, int], ...], factor: Fraction
) -> None:
    assert (unit(spelling).dimension, unit(spelling).factor) == (dimension, factor)


def test_a_patient_and_a_powder_are_weighed_in_different_kilograms() -> None:
    assert unit("kg").dimension != unit("kilogram").dimension
    assert unit("mg/kg").dimension == (("body mass", -1), ("mass", 1))
    assert unit("mg/kilogram").dimension == ()


def test_every_dimension_but_the_share_has_a_unit_of_its_own_that_counts_as_one() -> None:
    own = {base.dimension for base in BASES.values() if base.factor == 1}
    assert {base.dimension for base in BASES.values()} - own == {"share"}


def test_units_and_usp_units_and_pounds_have_dimensions_of_their_own() -> None:
    assert len({unit(spelling).dimension for spelling in ("unit", "USP unit", "mg", "mmol", "mEq", "kg", "lb")}) == 7


@pytest.mark.parametrize(
    "spelling",
    ["cc", "U", "IU", "units", "MG", "mg/", "/", "//", "mg/furlong", "mg per mL", "mg.", "mg^", "mg^-1", " mg"],
)
def test_a_data_spelling_outside_the_closed_set_is_refused(spelling: str) -> None:
    with pytest.raises(KeyError, match="is not a unit of the closed set"):
        unit(spelling)


@pytest.mark.parametrize("power", [0, Fraction(1, 2), 0.5, True, "1"])
def test_a_power_is_an_int_because_half_a_power_would_let_a_float_in(power: object) -> None:
    with pytest.raises(TypeError, match="the power of a unit must be an int"):
        Unit((("mg", power),))  # type: ignore[arg-type]


def test_a_unit_cannot_be_made_of_an_unknown_symbol() -> None:
    with pytest.raises(KeyError, match="furlong is not a unit of the closed set"):
        Unit((("furlong", 1),))


@pytest.mark.parametrize("spelling", [*READABLE, "1/min", "mL^2", "1/mL^2", "mg.mL/h^2", "kilogram", "mg/kilogram", ""])
def test_the_data_spelling_of_a_unit_reads_back_as_the_same_unit(spelling: str) -> None:
    assert str(unit(spelling)) == spelling
    assert unit(str(unit(spelling))) == unit(spelling)


@given(parts)
def test_any_product_of_units_has_a_spelling_that_reads_back(some: list[tuple[str, int]]) -> None:
    made = Unit(tuple(some))
    back = unit(str(made))
    assert (back.dimension, back.factor, sorted(back.parts)) == (made.dimension, made.factor, sorted(made.parts))


@given(parts)
def test_the_order_of_writing_changes_neither_dimension_nor_factor(some: list[tuple[str, int]]) -> None:
    made, turned = Unit(tuple(some)), Unit(tuple(reversed(some)))
    assert (made.dimension, made.factor) == (turned.dimension, turned.factor)
    assert isinstance(made.factor, Fraction)


def test_a_bare_number_has_no_unit() -> None:
    assert (str(NONE), NONE.dimension, NONE.factor) == ("", (), 1)
