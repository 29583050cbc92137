import re
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from drawndose.quantities import (
    Form,
    Manner,
    Quantity,
    Refused,
    Strength,
    data_text,
    read_number,
    read_quantity,
    read_strength,
    show,
    show_about,
    show_strength,
)
from drawndose.quantities.numbers import is_decimal
from drawndose.quantities.showing import about_number
from tests.strategies import COMPOUNDS, fits, positive, quantities, strengths


def of(value: int | Fraction, spelling: str, moiety: str | None = None) -> Quantity:
    return Quantity.of_text(value, spelling, moiety)


SQUARE = of(5, "mL") * of(1, "mL")


@pytest.mark.parametrize(
    ("quantity", "people", "data"),
    [
        (of(Fraction(1, 2), "mL"), "0.5 mL", "0.5 mL"),
        (of(1, "mL"), "1 mL", "1 mL"),
        (of(Fraction(250, 100), "mg"), "2.5 mg", "2.5 mg"),
        (of(1000, "mcg"), "1,000 mcg", "1000 mcg"),
        (of(5000, "unit", "heparin"), "5,000 units", "5000 unit"),
        (of(1, "unit", "heparin"), "1 unit", "1 unit"),
        (of(0, "unit", "heparin"), "0 units", "0 unit"),
        (of(Fraction(1, 2), "unit", "heparin"), "0.5 units", "0.5 unit"),
        (of(100, "unit/mL", "heparin"), "100 units per mL", "100 unit/mL"),
        (of(2, "USP unit", "heparin"), "2 USP units", "2 USP unit"),
        (of(5, "microlitre"), "5 microlitres", "5 microlitre"),
        (of(1, "microlitre"), "1 microlitre", "1 microlitre"),
        (of(3, "day"), "3 days", "3 day"),
        (of(12, "breath/min"), "12 breaths per min", "12 breath/min"),
        (of(Fraction(15, 100), "mg/kg"), "0.15 mg per kg", "0.15 mg/kg"),
        (of(10, "mcg/kg/min"), "10 mcg per kg per min", "10 mcg/kg/min"),
        (of(1, "mg/day"), "1 mg per day", "1 mg/day"),
        (of(5, "%"), "5 %", "5 %"),
        (of(Fraction(25, 12), "mL"), "25/12 mL", "25/12 mL"),
        (of(5, "kilogram"), "5 kg", "5 kilogram"),
        (of(7, "1"), "7", "7"),
        (of(7, "1/min"), "7 per min", "7 1/min"),
        (SQUARE, "5 mL^2", "5 mL^2"),
        (SQUARE / of(1, "min") / of(1, "min"), "5 mL^2 per min^2", "5 mL^2/min^2"),
        (of(2, "mg.mL"), "2 mg.mL", "2 mg.mL"),
    ],
)
def test_a_quantity_is_shown_in_words_for_people_and_with_slashes_for_data(
    quantity: Quantity, people: str, data: str
) -> None:
    assert (show(quantity), data_text(quantity)) == (people, data)


@given(quantities())
def test_what_is_shown_reads_back_as_the_same_quantity(quantity: Quantity) -> None:
    of = quantity.of[0][0] if quantity.of else None
    for text in (show(quantity), data_text(quantity), show(quantity).replace(" ", "\u00a0")):
        back = read_quantity(text, of=of)
        assert (back, back.value, back.unit, back.of) == (quantity, quantity.value, quantity.unit, quantity.of)


@given(quantities(("kilogram", "kilogram/L")))
def test_a_kilogram_of_substance_reads_back_where_the_reader_is_told(quantity: Quantity) -> None:
    for text in (show(quantity), data_text(quantity)):
        assert read_quantity(text, of=quantity.of[0][0], kg="kilogram") == quantity


@given(quantities().filter(lambda quantity: is_decimal(quantity.value)), st.sampled_from(Manner))
def test_what_is_shown_of_a_decimal_is_safe_to_write_in_an_order(quantity: Quantity, manner: Manner) -> None:
    of = quantity.of[0][0] if quantity.of else None
    assert read_quantity(show(quantity), manner=manner, of=of) == quantity


@pytest.mark.parametrize("quantity", [of(7, "1"), of(7, "1/min"), SQUARE, of(2, "mg.mL")])
def test_a_number_without_a_plain_unit_is_shown_and_never_read(quantity: Quantity) -> None:
    for text in (show(quantity), data_text(quantity)):
        with pytest.raises(Refused):
            read_quantity(text)


def test_a_number_of_more_than_fifteen_digits_is_shown_exactly_and_not_read() -> None:
    assert show(of(Fraction(1, 2**20), "mL")) == "0.00000095367431640625 mL"
    with pytest.raises(Refused, match="a number has at most 15 digits"):
        read_quantity("0.00000095367431640625 mL")


@given(quantities())
def test_nothing_dangerous_is_ever_shown(quantity: Quantity) -> None:
    shown = show(quantity)
    assert not re.search(
        r"(^|[^0-9,])\.[0-9]|\.[0-9]*0($|[^0-9])|[0-9][A-Za-z%]|\bU\b|\bIU\b|cc|\u00b5|\u03bc|  ", shown
    )
    assert shown == shown.strip()
    assert "/" not in shown.partition(" ")[2]


@pytest.mark.parametrize(
    ("quantity", "digits", "shown"),
    [
        (of(Fraction(25, 12), "mL"), 3, "about 2.08 mL"),
        (of(Fraction(1, 3), "mL"), 3, "about 0.333 mL"),
        (of(Fraction(2, 3), "mL"), 2, "about 0.67 mL"),
        (of(Fraction(1, 3), "mL"), 1, "about 0.3 mL"),
        (of(Fraction(2000, 3), "mg"), 2, "about 670 mg"),
        (of(Fraction(20000, 3), "mg"), 3, "about 6,670 mg"),
        (of(Fraction(1, 2), "mL"), 3, "0.5 mL"),
        (of(Fraction(5175, 10000), "mL"), 3, "0.5175 mL"),
        (of(Fraction(51755, 100000), "mL"), 3, "about 0.518 mL"),
        (of(Fraction(51755, 100000), "mL"), 5, "0.51755 mL"),
        (of(Fraction(12345), "mg"), 3, "about 12,300 mg"),
        (of(Fraction(12350), "mg"), 3, "12,350 mg"),
        (of(Fraction(123450, 1), "mg"), 4, "about 123,500 mg"),
        (of(Fraction(99996, 100000), "mL"), 3, "about 1 mL"),
        (of(Fraction(99996, 100000), "unit", "heparin"), 3, "about 1 unit"),
        (of(Fraction(5, 3), "unit", "heparin"), 3, "about 1.67 units"),
        (of(0, "mL"), 3, "0 mL"),
        (of(1_000_000, "unit", "heparin"), 3, "1,000,000 units"),
        (of(Fraction(1, 3), "1"), 3, "about 0.333"),
        (of(5, "1"), 3, "5"),
    ],
)
def test_about_is_said_of_every_rounded_number_and_of_no_exact_one(quantity: Quantity, digits: int, shown: str) -> None:
    assert show_about(quantity, digits) == shown


def test_about_shows_three_digits_unless_told_otherwise() -> None:
    assert show_about(of(Fraction(1, 7), "mL")) == "about 0.143 mL"
    assert about_number(Fraction(1, 7)) == "about 0.143"


@pytest.mark.parametrize("digits", [0, -1])
def test_a_number_without_digits_is_not_shown(digits: int) -> None:
    with pytest.raises(ValueError, match="a number has at least one significant digit"):
        show_about(of(5, "mL"), digits)


wide = st.builds(Fraction, st.integers(0, 10**12), st.integers(1, 10**12))


@given(wide, st.integers(1, 6))
def test_about_is_within_half_a_unit_of_the_last_digit_shown(value: Fraction, digits: int) -> None:
    shown = show_about(of(value, "mL"), digits).removesuffix(" mL")
    number = shown.removeprefix("about ")
    near = Fraction(number.replace(",", ""))
    assert shown.startswith("about ") == (near != value)
    if near != value:
        significant = number.replace(",", "").replace(".", "").strip("0")
        decimals = len(number.partition(".")[2])
        last = (
            Fraction(1, 10**decimals)
            if decimals
            else 10 ** (len(number.replace(",", "")) - len(number.replace(",", "").rstrip("0")))
        )
        assert abs(near - value) <= Fraction(last) / 2
        assert len(significant) <= digits
        half = Fraction(10) ** (1 - digits) / 2
        assert abs(near - value) <= value * half


@given(
    st.integers(5, 8).flatmap(
        lambda digits: st.tuples(st.just(digits), st.integers(10 ** (digits - 1), 10**digits - 1))
    )
)
def test_a_tie_of_about_goes_up_as_rounding_does(case: tuple[int, int]) -> None:
    digits, whole = case
    assert show_about(of(whole + Fraction(1, 2), "mL"), digits) == f"about {whole + 1:,} mL"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("0.5%", "0.5 % (5 mg per mL)"),
        ("0.083 %", "0.083 % (0.83 mg per mL)"),
        ("20% w/w", "20 % w/w"),
        ("1:1000", "1 in 1,000 (1 mg per mL)"),
        ("1:200", "1 in 200 (5 mg per mL)"),
        ("5 mg/1 mL", "5 mg per mL"),
        ("2.5mg/3ml", "2.5 mg in 3 mL"),
        ("2.5 mg in 25/12 mL", "2.5 mg in 25/12 mL"),
        ("1000 IU/ml", "1,000 units per mL"),
        ("1 unit/10 microlitres", "1 unit in 10 microlitres"),
        ("1 unit/microlitre", "1 unit per microlitre"),
        ("2 mEq/mL", "2 mEq per mL"),
        ("300 mg/vial", "300 mg per container"),
        ("600 mg in 2 vials", "600 mg in 2 containers"),
        ("1 million units/vial", "1,000,000 units per container"),
    ],
)
def test_a_strength_is_shown_in_words_and_a_percent_or_a_ratio_with_its_mg_per_ml(text: str, shown: str) -> None:
    assert show_strength(read_strength(text, of="it")) == shown


@pytest.mark.parametrize(
    ("amount", "per", "form", "shown"),
    [
        (of(5, "mg"), of(1, "mL"), Form.PERCENT_WV, "0.5 % (5 mg per mL)"),
        (of(2, "g"), of(1, "L"), Form.PERCENT_WV, "0.2 % (2 mg per mL)"),
        (of(5, "mg"), of(1, "mL"), Form.RATIO, "1 in 200 (5 mg per mL)"),
        (of(3, "g"), of(1, "L"), Form.RATIO, "1 in 1000/3 (3 mg per mL)"),
        (of(5, "mg"), of(1, "g"), Form.PERCENT_WW, "0.5 % w/w"),
    ],
)
def test_a_percent_or_a_ratio_that_was_computed_is_shown_as_what_it_is(
    amount: Quantity, per: Quantity, form: Form, shown: str
) -> None:
    assert show_strength(Strength(amount=amount, per=per, form=form)) == shown


@given(strengths())
def test_a_shown_strength_reads_back_as_the_same_strength(strength: Strength) -> None:
    shown = show_strength(strength)
    assume(fits(shown))
    assume(strength.form is not Form.RATIO or strength.ratio.to("g/mL").value <= 1)
    back = read_strength(shown, of=strength.moiety)
    assert (back, back.ratio, back.form, back.moiety) == (strength, strength.ratio, strength.form, strength.moiety)


printed = st.builds(
    lambda amount, spelling, per, form: Strength(
        amount=of(amount, spelling, "it"), per=of(per, {Form.PER_CONTAINER: "container"}.get(form, "mL")), form=form
    ),
    st.integers(1, 10**6).map(lambda count: Fraction(count, 1000)),
    st.sampled_from(["g", "mg", "mcg", "unit", "mEq", "mmol"]),
    st.integers(1, 1000).map(lambda count: Fraction(count, 10)),
    st.sampled_from([Form.PER_VOLUME, Form.PER_CONTAINER]),
)


@given(printed, st.sampled_from(Manner))
def test_a_printed_strength_reads_back_with_its_very_numbers(strength: Strength, manner: Manner) -> None:
    back = read_strength(show_strength(strength), manner=manner, of="it")
    assert (back.amount, back.per, back.form) == (strength.amount, strength.per, strength.form)
    assert (back.amount.unit, back.per.unit) == (strength.amount.unit, strength.per.unit)


@given(quantities(COMPOUNDS, positive))
def test_the_number_of_what_is_shown_is_the_value(quantity: Quantity) -> None:
    assert read_number(show(quantity).partition(" ")[0]) == quantity.value
