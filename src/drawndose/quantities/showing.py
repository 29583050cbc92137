"""How quantities and strengths are shown to people, and how they are written into data.

People read "5 mg per mL", "2.5 mg in 3 mL", "1,000 units"; data keep the slash. Leading zero, no trailing zero, a space
before the unit, mcg, units in words, percent always with its mg per mL. `read_quantity(show(x)) == x` for an amount in
any unit that can be read, with a number of at most 15 digits. A bare number or a bare "per mL" is shown but not read:
typed, it is an amount that lost its unit.

Sources: NHS Common User Interface, medication line guidance (leading and trailing zero, comma from 1,000, space, "in"
and "per" for a slash); ISMP list (mcg, units in full), read in secondary tables.
"""

from fractions import Fraction

from drawndose.quantities.numbers import is_decimal, show_number
from drawndose.quantities.quantity import Quantity
from drawndose.quantities.strength import Form, Strength
from drawndose.quantities.units import BASES, Unit, powered


def show(quantity: Quantity) -> str:
    """The exact quantity for people; a value without a finite decimal is shown as a fraction, never rounded.

    >>> from drawndose.quantities.reading import read_quantity
    >>> show(read_quantity("2500mcg")), show(read_quantity(".15 mg/kg"))
    ('2,500 mcg', '0.15 mg per kg')
    """
    return _shown(show_number(quantity.value), quantity.unit)


def _shown(number: str, unit: Unit) -> str:
    heads = ((BASES[symbol].shown if number == "1" else BASES[symbol].plural, power) for symbol, power in unit.parts)
    over = ".".join(powered(head, power) for head, power in heads if power > 0)
    under = [powered(BASES[symbol].shown, -power) for symbol, power in unit.parts if power < 0]
    return " per ".join([f"{number} {over}".strip(), *under])


def data_text(quantity: Quantity) -> str:
    """The exact quantity for data: no thousands comma, slashes in the unit."""
    return f"{show_number(quantity.value).replace(',', '')} {quantity.unit}".strip()


def show_both(quantity: Quantity) -> str:
    """Exact for people, and where no decimal is exact a short "about" beside it: "5/6 mg per mL (about 0.833 mg per mL)"."""
    exact = show(quantity)
    return exact if is_decimal(quantity.value) else f"{exact} ({show_about(quantity)})"


def quantity_data(quantity: Quantity) -> dict[str, str]:
    """A quantity as plain data: value exact as a decimal or a fraction, unit as data spell it, text for people, and what
    it is an amount of, where it is one.

    >>> from drawndose.quantities.reading import read_quantity
    >>> quantity_data(read_quantity("2.5 mg"))
    {'value': '2.5', 'unit': 'mg', 'text': '2.5 mg'}
    """
    data = {
        "value": show_number(quantity.value).replace(",", ""),
        "unit": str(quantity.unit),
        "text": show_both(quantity),
    }
    return data | ({"of": quantity.of[0][0]} if quantity.of else {})


def show_about(quantity: Quantity, digits: int = 3) -> str:
    """For a value that has no short decimal: "about" and so many significant digits, rounded half up; else exact.

    The word is part of the text, so that no rounded figure can pass for an exact one.
    """
    word, _, number = about_number(quantity.value, digits).rpartition(" ")
    return f"{word} {_shown(number, quantity.unit)}".strip()


def about_number(value: Fraction, digits: int = 3) -> str:
    """The number, exact when it needs at most `digits` (or four) significant digits, else "about" and rounded."""
    if digits < 1:
        raise ValueError(f"a number has at least one significant digit (got {digits})")
    if is_decimal(value) and _significant(value) <= max(digits, 4):
        return show_number(value)
    step = Fraction(1)
    while value / step >= 10**digits:
        step *= 10
    while value / step < 10 ** (digits - 1):
        step /= 10
    steps = value / step + Fraction(1, 2)
    return f"about {show_number(step * (steps.numerator // steps.denominator))}"


def _significant(value: Fraction) -> int:
    return len(show_number(value).replace(",", "").replace(".", "").strip("0"))


def show_strength(strength: Strength) -> str:
    """The strength as printed, for people; percent and ratio always with their mg per mL.

    >>> from drawndose.quantities.strength import read_strength
    >>> show_strength(read_strength("0.5%")), show_strength(read_strength("2.5mg/3ml"))
    ('0.5 % (5 mg per mL)', '2.5 mg in 3 mL')
    """
    if strength.form is Form.PERCENT_WW:
        return f"{show_number(strength.ratio.base * 100)} % w/w"
    if strength.form in {Form.PERCENT_WV, Form.RATIO}:
        share = strength.ratio.to("g/mL").value
        printed = (
            f"{show_number(share * 100)} %" if strength.form is Form.PERCENT_WV else f"1 in {show_number(1 / share)}"
        )
        return f"{printed} ({show(strength.ratio.to('mg/mL'))})"
    if strength.per.value == 1:
        return f"{show(strength.amount)} per {show(strength.per).removeprefix('1 ')}"
    return f"{show(strength.amount)} in {show(strength.per)}"
