import operator
import pickle
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from drawndose.quantities import Quantity, Unlike, unit
from drawndose.quantities.units import BASES, NONE
from tests.strategies import MASSES, VOLUMES, alike, numbers, positive, quantities

BASE, SALT = "albuterol base", "albuterol sulfate"
mg, ml = unit("mg"), unit("mL")


def of(value: int | Fraction, spelling: str, moiety: str | None = None) -> Quantity:
    return Quantity.of_text(value, spelling, moiety)


@pytest.mark.parametrize("value", [0.5, float("nan"), float("inf"), True, False, "5", Decimal("0.5"), None])
def test_only_an_int_or_a_fraction_makes_a_quantity(value: object) -> None:
    with pytest.raises(TypeError, match="the value of a quantity must be an int or a Fraction"):
        Quantity(value, mg)  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="the value of a quantity must be an int or a Fraction"):
        Quantity.of_text(value, "mg")  # type: ignore[arg-type]


@pytest.mark.parametrize("value", [-1, Fraction(-1, 1000)])
def test_no_quantity_is_negative(value: Fraction) -> None:
    with pytest.raises(ValueError, match="the value of a quantity must not be negative"):
        Quantity(value, mg)


@pytest.mark.parametrize("wrong", ["mg", None, ("mg", 1)])
def test_the_unit_of_a_quantity_is_a_unit(wrong: object) -> None:
    with pytest.raises(TypeError, match="the unit of a quantity must be a Unit"):
        Quantity(Fraction(1), wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize("spelling", ["unit", "USP unit", "unit/mL", "unit/kg", "mg/unit"])
def test_units_without_a_substance_are_refused(spelling: str) -> None:
    with pytest.raises(ValueError, match="units belong to a substance: say units of what"):
        of(5, spelling)
    assert of(5, spelling, "heparin").value == 5


def test_a_quantity_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        of(5, "mg").value = Fraction(6)  # type: ignore[misc]


def test_the_moieties_of_a_quantity_are_kept_in_one_order_without_empty_powers() -> None:
    one = Quantity(Fraction(1), NONE, ((SALT, -1), (BASE, 1), ("water", 0)))
    assert one.of == ((BASE, 1), (SALT, -1))
    assert one == Quantity(Fraction(1), NONE, ((BASE, 1), (SALT, -1)))


UNLIKE = [
    (of(5, "mg"), of(5, "mL")),
    (of(5, "mg", BASE), of(5, "mg", SALT)),
    (of(5, "mg", BASE), of(5, "mg")),
    (of(5, "unit", BASE), of(5, "unit", SALT)),
    (of(5, "unit", BASE), of(5, "USP unit", BASE)),
    (of(5, "unit", BASE), of(5, "mg", BASE)),
    (of(5, "mmol", BASE), of(5, "mEq", BASE)),
    (of(5, "kg"), of(5, "kilogram")),
    (of(5, "kg"), of(5, "lb")),
    (of(5, "mg/kg"), of(5, "mg")),
    (of(5, "mg/h"), of(5, "mg")),
    (of(5, "%"), of(5, "mL")),
]


@pytest.mark.parametrize(
    ("verb", "words"),
    [
        (operator.add, "does not add to"),
        (operator.sub, "does not take from"),
        (operator.lt, "does not compare with"),
        (operator.le, "does not compare with"),
        (operator.gt, "does not compare with"),
        (operator.ge, "does not compare with"),
        (Quantity.over, "does not divide by"),
    ],
)
@pytest.mark.parametrize(("one", "other"), UNLIKE)
def test_unlike_amounts_never_add_or_compare(one: Quantity, other: Quantity, verb, words: str) -> None:
    with pytest.raises(Unlike, match=words):
        verb(one, other)
    with pytest.raises(Unlike, match=words):
        verb(other, one)
    assert not one.like(other)
    assert one != other


@pytest.mark.parametrize("other", [5, Fraction(5), 0.5, "5 mg", None])
def test_a_quantity_adds_and_compares_with_nothing_but_a_quantity(other: object) -> None:
    for verb in (operator.add, operator.sub, operator.lt, operator.ge):
        with pytest.raises(TypeError, match="a quantity does not"):
            verb(of(5, "mg"), other)
    assert of(5, "mg") != other


@pytest.mark.parametrize("factor", [0.5, True, "2", None, Decimal(2)])
def test_a_factor_is_exact(factor: object) -> None:
    for verb in (operator.mul, operator.truediv):
        with pytest.raises(TypeError, match="a factor must be an int or a Fraction"):
            verb(of(5, "mg"), factor)
    with pytest.raises(TypeError):
        operator.mul(factor, of(5, "mg"))


def test_a_negative_factor_is_refused() -> None:
    with pytest.raises(ValueError, match="a factor must not be negative"):
        of(5, "mg") * -1


def test_nothing_goes_below_nothing() -> None:
    with pytest.raises(ValueError, match=r"^6 mg of albuterol base is more than 5 mg of albuterol base$"):
        of(5, "mg", BASE) - of(6, "mg", BASE)
    assert of(5, "mg") - of(5000, "mcg") == of(0, "mg")


@pytest.mark.parametrize("nothing", [0, Fraction(0), of(0, "mL")])
def test_division_by_nothing_is_refused(nothing: object) -> None:
    with pytest.raises(ZeroDivisionError, match="5 mg divided by nothing"):
        of(5, "mg") / nothing
    with pytest.raises(ZeroDivisionError, match="5 mg divided by nothing"):
        of(5, "mg").over(of(0, "g"))


def test_a_dose_divided_by_a_strength_is_a_volume_only_for_the_same_moiety() -> None:
    strength = of(5, "mg", BASE) / of(1, "mL")
    assert of(2500, "mcg", BASE) / strength == of(Fraction(1, 2), "mL")
    assert (of(2500, "mcg", SALT) / strength).of == ((BASE, -1), (SALT, 1))


def test_the_stated_ratio_between_two_moieties_converts_one_into_the_other() -> None:
    base_in_salt = of(Fraction(5, 2), "mg", BASE) / of(3, "mg", SALT)
    assert of(6, "mg", SALT) * base_in_salt == of(5, "mg", BASE)
    assert of(5, "mg", BASE) / base_in_salt == of(6, "mg", SALT)


def test_a_dose_per_kilogram_needs_the_patient_and_not_the_powder() -> None:
    dose = of(Fraction(15, 100), "mg/kg", BASE)
    assert dose * of(20, "kg") == of(3, "mg", BASE)
    assert (dose * of(20, "kilogram")).dimension == (("body mass", -1), ("mass", 2))


def test_a_rate_by_a_time_is_an_amount() -> None:
    assert of(10, "mg/h") * of(30, "min") == of(5, "mg")
    assert of(8, "L/min") * of(Fraction(1, 60), "h") == of(8, "L")
    assert of(2, "mcg/kg/min") * of(50, "kg") * of(1, "h") == of(6, "mg")


def test_a_share_melts_into_the_number() -> None:
    assert of(20, "%") * of(5, "mL") == of(1, "mL")
    assert of(5, "mL") / of(50, "%") == of(10, "mL")
    assert of(5, "%") == Quantity(Fraction(1, 20), NONE) == of(50_000, "ppm")


@pytest.mark.parametrize(
    ("left", "right", "product"),
    [
        (of(5, "mg/g"), of(2, "g"), of(10, "mg")),
        (of(2, "g"), of(5, "mg/g"), of(10, "mg")),
        (of(5, "mg/g"), of(200, "mcg/mg"), of(Fraction(1, 1000), "1")),
        (of(3, "mL/L"), of(1, "microlitre"), of(3, "microlitre/L") * of(1, "mL")),
        (of(1, "mL.L"), of(1, "1/microlitre"), of(1000, "L")),
    ],
)
def test_a_unit_with_two_symbols_of_one_dimension_multiplies_exactly(
    left: Quantity, right: Quantity, product: Quantity
) -> None:
    assert left * right == product


@pytest.mark.parametrize(
    ("quantity", "told"),
    [
        (of(2500, "mcg", BASE), "Quantity(2,500 mcg of albuterol base)"),
        (of(5, "kilogram"), "Quantity(5 kilogram)"),
        (of(5, "mg", BASE) / of(6, "mg", SALT), "Quantity(5/6 of albuterol base and albuterol sulfate^-1)"),
        (Quantity(Fraction(3), NONE), "Quantity(3)"),
    ],
)
def test_a_quantity_tells_what_it_is(quantity: Quantity, told: str) -> None:
    assert repr(quantity) == told


def test_conversion_to_another_dimension_is_refused() -> None:
    with pytest.raises(Unlike, match="5 mg does not convert to mL"):
        of(5, "mg").to("mL")
    with pytest.raises(Unlike, match="5 kg does not convert to g"):
        of(5, "kg").to("g")


@given(alike())
def test_addition_goes_both_ways_and_subtraction_undoes_it(pair: list[Quantity]) -> None:
    a, b = pair
    assert a + b == b + a
    assert (a + b) - b == a
    assert (a + b).unit == a.unit
    assert (a + b).of == a.of


@given(alike(3))
def test_addition_may_be_grouped_as_one_likes(three: list[Quantity]) -> None:
    a, b, c = three
    assert (a + b) + c == a + (b + c)


@given(quantities(MASSES), st.sampled_from(MASSES))
def test_converting_there_and_back_is_identity(quantity: Quantity, other: str) -> None:
    there = quantity.to(other)
    back = there.to(str(quantity.unit))
    assert there == quantity
    assert (back.value, back.unit, back.of) == (quantity.value, quantity.unit, quantity.of)


def of_something(verb, one: Quantity, other: Quantity) -> Quantity | None:
    """The result, or None where the moieties cancel and the units do not."""
    try:
        return verb(one, other)
    except ValueError:
        return None


def test_units_that_lost_their_substance_on_the_way_are_refused() -> None:
    with pytest.raises(ValueError, match="units belong to a substance"):
        of(5, "unit", BASE) / of(1, "mg", BASE)
    assert of(5, "unit", "colistin units") / of(1, "mg", BASE) * of(2, "mg", BASE) == of(10, "unit", "colistin units")


@given(quantities(), quantities(values=positive))
def test_what_is_divided_and_multiplied_again_is_the_same(dose: Quantity, strength: Quantity) -> None:
    volume = of_something(operator.truediv, dose, strength)
    assume(volume is not None)
    assert volume * strength == dose


@given(quantities(MASSES), quantities(MASSES, positive), quantities(VOLUMES, positive))
def test_dose_over_strength_times_strength_is_the_dose(dose: Quantity, amount: Quantity, volume: Quantity) -> None:
    strength = amount / volume
    assert dose / strength * strength == dose


@given(quantities(), quantities())
def test_a_product_has_one_symbol_for_each_dimension_and_no_share(a: Quantity, b: Quantity) -> None:
    product = of_something(operator.mul, a, b)
    assume(product is not None)
    dimensions = [BASES[symbol].dimension for symbol, _ in product.unit.parts]
    assert len(dimensions) == len(set(dimensions))
    assert "share" not in dimensions
    assert product.base == a.base * b.base
    assert product == b * a


@given(quantities(), numbers, positive)
def test_a_bare_factor_scales(quantity: Quantity, factor: Fraction, divisor: Fraction) -> None:
    assert (quantity * factor).base == (factor * quantity).base == quantity.base * factor
    assert (quantity * divisor / divisor) == quantity


@given(alike())
def test_equal_quantities_have_equal_hashes(pair: list[Quantity]) -> None:
    a, b = pair
    same = a.to(str(b.unit))
    assert (same, hash(same), len({same, a})) == (a, hash(a), 1)
    assert (a == b) == (a.base == b.base)


@given(alike(3))
def test_the_order_within_a_dimension_is_total(three: list[Quantity]) -> None:
    a, b, c = three
    assert [a < b, a == b, a > b].count(True) == 1
    assert (a <= b) == (a < b or a == b) == (not b < a)
    assert not (a < b < c) or a < c
    assert [item.base for item in sorted(three)] == sorted(item.base for item in three)


@given(alike().filter(lambda pair: pair[1].value > 0))
def test_how_many_times_is_an_exact_bare_number(pair: list[Quantity]) -> None:
    times = pair[0].over(pair[1])
    assert type(times) is Fraction
    assert pair[1] * times == pair[0]


@given(quantities())
def test_a_quantity_survives_pickle(quantity: Quantity) -> None:
    back = pickle.loads(pickle.dumps(quantity))
    assert (back, back.value, back.unit, back.of) == (quantity, quantity.value, quantity.unit, quantity.of)
