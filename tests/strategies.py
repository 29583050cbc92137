"""Invented values for property tests, within what the package promises to read back: numbers of at most 15 digits."""

import re
from fractions import Fraction

from hypothesis import strategies as st

from drawndose.quantities import Form, Quantity, Strength, Unit, show_number, unit
from drawndose.quantities.units import BASES

MASSES = ("g", "mg", "mcg", "ng")
VOLUMES = ("L", "mL", "microlitre")
TIMES = ("s", "min", "h", "day", "week", "month", "year")
ARBITRARY = ("unit", "USP unit")
AMOUNTS = (*MASSES, *ARBITRARY, "mol", "mmol", "Eq", "mEq")
MOIETIES = ("albuterol base", "albuterol sulfate", "colistimethate units")
COMPOUNDS = (
    *("mg/kg", "mcg/kg/min", "mL/kg", "mg/kg/h", "mg/kg/day", "mg/h", "mL/h", "L/min", "mg/mL", "mcg/puff"),
    *("unit/mL", "unit/kg", "USP unit/mL", "mEq/mL", "mmol/L", "unit/mg", "mg/g", "mg/dose", "drop/min", "breath/min"),
)
READABLE = (*(symbol for symbol in BASES if symbol != "kilogram"), *COMPOUNDS)
"""Every unit that can be typed."""


def fits(shown: str) -> bool:
    """True when no number in the text is longer than the readers take."""
    return all(len(digits) <= 15 for digits in re.findall("[0-9]+", re.sub("[,.]", "", shown)))


decimals = st.builds(lambda digits, places: Fraction(digits, 10**places), st.integers(0, 10**9), st.integers(0, 5))
fractions = st.builds(Fraction, st.integers(0, 10**9), st.integers(1, 10**6))
numbers = st.one_of(decimals, fractions, st.integers(0, 10**6).map(Fraction)).filter(lambda x: fits(show_number(x)))
positive = numbers.filter(bool)
moieties = st.sampled_from(MOIETIES)


def is_amount(symbol: str) -> bool:
    return symbol in AMOUNTS or symbol == "kilogram"


def moiety_of(made: Unit, of: str) -> tuple[tuple[str, int], ...]:
    """The first amount, in order of writing, is an amount of the moiety."""
    return next((((of, power),) for symbol, power in made.parts if is_amount(symbol)), ())


def quantities(
    spellings: tuple[str, ...] = READABLE, values: st.SearchStrategy[Fraction] = numbers
) -> st.SearchStrategy:
    def made(value: Fraction, spelling: str, of: str) -> Quantity:
        return Quantity(value, unit(spelling), moiety_of(unit(spelling), of))

    return st.builds(made, values, st.sampled_from(spellings), moieties)


@st.composite
def alike(draw: st.DrawFn, count: int = 2, values: st.SearchStrategy[Fraction] = numbers) -> list[Quantity]:
    """Quantities of one dimension and one moiety, in whatever units."""
    family = draw(st.sampled_from((MASSES, VOLUMES, TIMES, ("mmol", "mol"), ("Eq", "mEq"), ("unit",), ("%", "ppm"))))
    of = draw(moieties) if is_amount(family[0]) else None
    return [Quantity.of_text(draw(values), draw(st.sampled_from(family)), of) for _ in range(count)]


volumes = quantities(VOLUMES, positive)


@st.composite
def strengths(draw: st.DrawFn, forms: tuple[Form, ...] = tuple(Form)) -> Strength:
    """Strengths in every form, also percents and ratios that were computed and not printed."""
    form = draw(st.sampled_from(forms))
    by_mass = form in {Form.PERCENT_WV, Form.PERCENT_WW, Form.RATIO}
    amount = draw(quantities(MASSES if by_mass else AMOUNTS, positive))
    per = draw(quantities({Form.PERCENT_WW: MASSES, Form.PER_CONTAINER: ("container",)}.get(form, VOLUMES), positive))
    return Strength(amount=amount, per=Quantity(per.value, per.unit), form=form)
