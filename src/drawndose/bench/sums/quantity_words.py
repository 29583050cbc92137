"""Small verbs on quantities that the rules are written with: add, take away, compare and tell, whatever the moiety.

A sum of the textbook is about one drug, so its amounts are of one thing; where a salt and its base meet, the sums of
`salts` keep them apart by name.
"""

from fractions import Fraction

from drawndose.quantities import Quantity, Unlike, show, show_about, unit
from drawndose.quantities.numbers import is_decimal

_MASSES = ("g", "mg", "mcg", "ng")


def tell(value: Quantity) -> str:
    """The exact value in words, with a short "about" where no decimal is exact."""
    return show(value) if is_decimal(value.value) else f"{show(value)} ({show_about(value)})"


def tidied(value: Quantity) -> Quantity:
    """A mass in the unit that needs neither many zeros nor many places; anything else as it is."""
    if value.dimension != (("mass", 1),) or value.value == 0:
        return value
    if Fraction(1, 10) <= value.value < 10_000:
        return value
    for spelling in _MASSES:
        if value.to(spelling).value >= 1:
            return value.to(spelling)
    return value


def _alike(left: Quantity, right: Quantity) -> None:
    if left.dimension != right.dimension:
        raise Unlike(f"{show(left)} and {show(right)} do not go together")


def plus(left: Quantity, right: Quantity) -> Quantity:
    """The sum, in the left one's unit."""
    _alike(left, right)
    return Quantity((left.base + right.base) / left.unit.factor, left.unit, left.of)


def minus(left: Quantity, right: Quantity) -> Quantity:
    """The difference, in the left one's unit. ValueError when it would be below nothing."""
    _alike(left, right)
    if right.base > left.base:
        raise ValueError(f"{show(right)} is more than {show(left)}")
    return Quantity((left.base - right.base) / left.unit.factor, left.unit, left.of)


def ratio(left: Quantity, right: Quantity) -> Quantity:
    """How many times the right one the left one is, as a bare number."""
    _alike(left, right)
    if right.base == 0:
        raise ZeroDivisionError(f"{show(left)} divided by nothing")
    return Quantity(left.base / right.base, unit(""))


def times(left: Quantity, right: Quantity) -> Quantity:
    """The product."""
    return left * right


def over(left: Quantity, right: Quantity) -> Quantity:
    """The quotient."""
    return left / right


def within(part: Quantity, whole: Quantity) -> Quantity:
    """The part over the whole. ValueError for a share above the whole."""
    made = part / whole
    if made.dimension == () and made.base > 1:
        raise ValueError(f"{show(part)} is more than the whole, {show(whole)}")
    return made


def same(value: Quantity) -> Quantity:
    """The value itself."""
    return value


def least(left: Quantity, right: Quantity) -> Quantity:
    """The smaller one."""
    _alike(left, right)
    return left if left.base <= right.base else right


def most(left: Quantity, right: Quantity) -> Quantity:
    """The larger one."""
    _alike(left, right)
    return left if left.base >= right.base else right


def as_parts(value: Quantity) -> Quantity:
    """A bare number as so many parts. Unlike for anything else."""
    if value.dimension != ():
        raise Unlike(f"{show(value)} is no bare number")
    return Quantity(value.base, unit("part"))


def one_gram_in(strength: Quantity) -> Quantity:
    """The volume that holds 1 g. Unlike for a share."""
    return (one("g") / strength.to("g/mL")).to("mL")


def by_volume(strength: Quantity, whole: Quantity) -> Quantity:
    """The volume of a liquid part, the strength read as v/v. Unlike for a strength that is neither percent nor ratio."""
    return whole * (strength.base if strength.dimension == () else strength.to("g/mL").value)


def as_percent(value: Quantity) -> Quantity:
    """A bare share as a percent; a mass in a volume as percent w/v (g in 100 mL). Unlike for anything else."""
    if value.dimension == ():
        return value.to("%")
    return Quantity(value.to("g/mL").value * 100, unit("%"))


def other_forms(value: Quantity) -> tuple[Quantity, ...]:
    """A strength by volume also as percent w/v; anything else has no other form."""
    return (as_percent(value),) if value.dimension == (("mass", 1), ("volume", -1)) else ()


def bare(value: Fraction | int) -> Quantity:
    """A bare number."""
    return Quantity(Fraction(value), unit(""))


def one(spelling: str) -> Quantity:
    """One of a unit."""
    return Quantity(Fraction(1), unit(spelling))
