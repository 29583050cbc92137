"""Factors and conversions against pint, a general library of units, and against the definitions themselves.

Sources: the SI prefixes (BIPM, The International System of Units, 9th edition, table 7), and the litre, minute, hour,
day and tonne of its table 8; The Unified Code for Units of Measure (UCUM) for the year of 365.25 days, the month of a
twelfth of it, and the week of 7 days. pint is asked to compute in Fraction, so that agreement means equality.
"""

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Quantity, unit

pints = pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)

NAMES = {
    "kilogram": "kilogram",
    "g": "gram",
    "mg": "milligram",
    "mcg": "microgram",
    "ng": "nanogram",
    "L": "liter",
    "mL": "milliliter",
    "microlitre": "microliter",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "day": "day",
    "week": "week",
    "month": "month",
    "year": "year",
    "mol": "mole",
    "mmol": "millimole",
}
FAMILIES = [
    ("kilogram", "g", "mg", "mcg", "ng"),
    ("L", "mL", "microlitre"),
    ("s", "min", "h", "day", "week", "month", "year"),
    ("mol", "mmol"),
]
PAIRS = [(one, other) for family in FAMILIES for one in family for other in family]
COMPOUND = [
    *(("mg/mL", "g/L"), ("mcg/microlitre", "mg/mL"), ("ng/mL", "mcg/L"), ("mg/h", "mcg/min"), ("L/min", "mL/s")),
    *(("mL/h", "microlitre/min"), ("mmol/L", "mol/mL"), ("mg/day", "g/week"), ("mg/kilogram/h", "mcg/g/min")),
]


def name(spelling: str) -> str:
    return "/".join(NAMES[symbol] for symbol in spelling.split("/"))


def by_pint(value: Fraction, one: str, other: str) -> Fraction:
    return pints.Quantity(value, name(one)).to(name(other)).magnitude


@pytest.mark.parametrize(("one", "other"), PAIRS + COMPOUND)
def test_a_conversion_agrees_with_pint_exactly(one: str, other: str) -> None:
    for value in (Fraction(1), Fraction(5, 2), Fraction(1, 3)):
        independent = by_pint(value, one, other)
        assert isinstance(independent, Fraction)
        assert Quantity.of_text(value, one).to(other).value == independent


@given(st.fractions(0, 10**9, max_denominator=10**6), st.sampled_from(PAIRS + COMPOUND))
def test_any_value_converts_as_pint_converts_it(value: Fraction, pair: tuple[str, str]) -> None:
    assert Quantity.of_text(value, pair[0]).to(pair[1]).value == by_pint(value, *pair)


@given(
    st.fractions(0, 10**6, max_denominator=1000),
    st.fractions(Fraction(1, 1000), 10**6, max_denominator=1000),
    st.sampled_from(FAMILIES[0]),
    st.sampled_from(FAMILIES[0]),
    st.sampled_from(FAMILIES[1]),
)
def test_a_dose_over_a_strength_is_the_volume_that_pint_finds(
    dose: Fraction, strength: Fraction, dose_unit: str, mass: str, volume: str
) -> None:
    ours = Quantity.of_text(dose, dose_unit) / Quantity.of_text(strength, f"{mass}/{volume}")
    theirs = pints.Quantity(dose, name(dose_unit)) / pints.Quantity(strength, name(f"{mass}/{volume}"))
    assert ours.to("mL").value == theirs.to("milliliter").magnitude


@pytest.mark.parametrize(
    ("spelling", "of_another", "factor"),
    [
        ("kilogram", "g", 1000),
        ("mg", "g", Fraction(1, 10**3)),
        ("mcg", "g", Fraction(1, 10**6)),
        ("ng", "g", Fraction(1, 10**9)),
        ("mL", "L", Fraction(1, 10**3)),
        ("microlitre", "L", Fraction(1, 10**6)),
        ("min", "s", 60),
        ("h", "min", 60),
        ("day", "h", 24),
        ("week", "day", 7),
        ("year", "day", Fraction(36525, 100)),
        ("month", "day", Fraction(304375, 10000)),
        ("mmol", "mol", Fraction(1, 1000)),
        ("mEq", "Eq", Fraction(1, 1000)),
        ("mOsm", "Osm", Fraction(1, 1000)),
        ("%", "1", Fraction(1, 100)),
        ("ppm", "1", Fraction(1, 10**6)),
    ],
)
def test_a_factor_is_the_one_of_the_definition(spelling: str, of_another: str, factor: Fraction) -> None:
    assert Quantity.of_text(1, spelling).to(of_another).value == factor
    assert unit(spelling).factor == factor * unit(of_another).factor
