"""Where a dose lies among the texts: the widest range of each age, what is open without a weight, and how sure it is."""

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from drawndose.bench.compared import Side, compare
from drawndose.bench.dosing import resolve
from drawndose.bench.policy import Policy
from drawndose.quantities import Quantity, show
from tests.bench.benches import BOOK, order
from tests.bench.safeguards.ordered import beside


def sides(text: str) -> set[Side]:
    return {cell.side for cell in beside(text).cells}


def test_a_dose_is_within_above_below_or_open() -> None:
    assert beside("albuterol 5 mg by nebulizer, 40 years old").side is Side.WITHIN
    assert beside("albuterol 11 mg by nebulizer, 40 years old").side is Side.ABOVE
    assert beside("albuterol 2 mg by nebulizer, 40 years old").side is Side.BELOW
    assert beside("albuterol 2 mg by nebulizer, 4 years old").side is Side.OPEN
    assert beside("treprostinil 18 mcg by nebulizer").side is None


def test_without_an_age_outside_means_at_every_age() -> None:
    assert sides("albuterol 11 mg by nebulizer") == {Side.ABOVE}
    mixed = sides("ipratropium 250 mcg by nebulizer")
    assert mixed == {Side.WITHIN, Side.BELOW}
    assert beside("ipratropium 250 mcg by nebulizer").side is Side.WITHIN
    assert sides("albuterol 0.15 mg by nebulizer") == {Side.OPEN, Side.BELOW}
    assert beside("albuterol 0.15 mg by nebulizer").side is Side.OPEN


def test_a_text_that_waits_for_the_weight_bounds_nothing_from_above_beside_one_that_does_not() -> None:
    # The first acute doses have no maximum: 167 kg of child would get 25 mg. What has one, has the word.
    assert beside("albuterol 25 mg by nebulizer, 4 years old").side is Side.ABOVE
    assert beside("albuterol 0.5 mg by nebulizer, 4 years old").side is Side.OPEN
    assert beside("lidocaine 5 mg by nebulizer, 40 years old").side is Side.WITHIN, (
        "a mere upper limit has no lower end"
    )
    assert beside("albuterol 100 mg/h by nebulizer for 1 h, output 25 mL/h, 4 years old").side is Side.ABOVE


def test_a_minimum_and_a_maximum_act_whatever_the_weight() -> None:
    child = "by nebulizer, 3 years old, weight"
    floored = [one for one in beside(f"albuterol 2.5 mg {child} 8 kg").texts if one.floor]
    assert [one.text.dose.purpose for one in floored] == ["acute, first 3 doses"]
    assert floored[0].low == floored[0].high == Fraction(25, 10_000)
    heavy = beside("albuterol 10 mg by nebulizer, 12 years old, weight 80 kg").texts
    (heavy,) = [one for one in heavy if one.text.dose.purpose == "acute, later doses" and one.text.most]
    assert (heavy.low, heavy.high) == (Fraction(10, 1000), Fraction(10, 1000))


def test_a_value_is_shown_as_it_is_printed_and_a_worked_one_in_the_orders_unit() -> None:
    compared = beside("albuterol 1200 mcg by nebulizer, 3 years old, weight 8 kg")
    shown = {show(compared.amount(one, one.high)) for one in compared.texts if one.high is not None}
    assert {"2.5 mg", "1,200 mcg", "2,400 mcg"} <= shown


def test_firm_is_read_or_said_twice_and_never_from_memory() -> None:
    assert all(cell.firm for cell in beside("levalbuterol 2 mg by nebulizer, 40 years old").cells)
    assert not any(cell.firm for cell in beside("formoterol 30 mcg by nebulizer, 40 years old").cells)
    assert not any(cell.firm for cell in beside("terbutaline 1 mg by nebulizer, 40 years old").cells)
    above, below = (beside(f"revefenacin {dose} mcg by nebulizer, 40 years old").cells[0] for dose in ("180", "170"))
    assert (above.firm, below.firm) == (True, False), "the most in a day bounds from above only"


def test_a_volume_without_a_strength_is_not_compared() -> None:
    asked = order("albuterol 0.5 mL by nebulizer")
    assert compare(resolve(asked.lines[0], asked), asked, BOOK, Policy()) is None


@settings(deadline=None)
@given(st.integers(1, 40_000), st.sampled_from([4, 10, 14, 40]), st.sampled_from([8, 16, 40, 70]))
def test_more_of_a_drug_never_lies_lower(micrograms: int, years: int, kg: int) -> None:
    def side(amount: Fraction) -> Side | None:
        text = f"albuterol 1 mcg by nebulizer, {years} years old, weight {kg} kg"
        asked = order(text)
        made = resolve(asked.lines[0], asked)
        dose = Quantity.of_text(amount, "mcg", "albuterol")
        return compare(type(made)(line=made.line, amount=dose), asked, BOOK, Policy()).side  # type: ignore[union-attr]

    ranks = [Side.BELOW, Side.WITHIN, Side.ABOVE]
    assert ranks.index(side(Fraction(micrograms))) <= ranks.index(side(Fraction(micrograms) * 3 / 2))  # type: ignore[arg-type]
