"""What the published tolerance on graduated capacity says, against the engine's rule.

Sources: ISO 7886-1:1993, Table 1, as a testing laboratory's note of 2016-08-10 gives it (1 mL in full; 10 mL below half);
USP 32 <1101>, calibrated dropper, volume error at most 15 %; one compounding pharmacist's note: half of the capacity for
5 %, a fifth for 10 %. Tolerance of these tests: none, the rule is exact.
"""

from fractions import Fraction

import pytest

from drawndose import load

BOOK = load()
UNDER_5 = ("syringe-1", "syringe-2", "syringe-2.5", "syringe-3")
FROM_5 = ("syringe-5", "syringe-10", "syringe-20", "syringe-30", "syringe-60")


def share(ident: str, of_capacity: Fraction) -> Fraction:
    one = BOOK.instrument(ident)
    return one.permissible_error(one.capacity * of_capacity) / (one.capacity * of_capacity)


def test_a_1_ml_syringe_at_half_a_millilitre_may_be_off_by_0_025_ml() -> None:
    assert BOOK.instrument("syringe-1").permissible_error(Fraction(1, 2)) == Fraction(25, 1000)


@pytest.mark.parametrize("volume", range(1, 50))
def test_below_half_a_1_ml_syringe_is_allowed_1_5_percent_of_capacity_and_2_percent_of_the_volume(volume: int) -> None:
    expelled = Fraction(volume, 100)
    assert BOOK.instrument("syringe-1").permissible_error(expelled) == Fraction(15, 1000) + expelled * 2 / 100


@pytest.mark.parametrize("volume", range(50, 101))
def test_from_half_up_a_1_ml_syringe_is_allowed_5_percent_of_the_volume(volume: int) -> None:
    expelled = Fraction(volume, 100)
    assert BOOK.instrument("syringe-1").permissible_error(expelled) == expelled * 5 / 100


@pytest.mark.parametrize("tenths", range(2, 50, 2))
def test_below_half_a_10_ml_syringe_is_allowed_1_5_percent_of_capacity_and_1_percent_of_the_volume(tenths: int) -> None:
    expelled = Fraction(tenths, 10)
    assert BOOK.instrument("syringe-10").permissible_error(expelled) == Fraction(15, 100) + expelled / 100


@pytest.mark.parametrize(
    ("idents", "within", "of_capacity"),
    [
        (UNDER_5, Fraction(10, 100), Fraction(1875, 10000)),
        (FROM_5, Fraction(10, 100), Fraction(1, 6)),
        (UNDER_5, Fraction(5, 100), Fraction(1, 2)),
        (FROM_5, Fraction(5, 100), Fraction(375, 1000)),
    ],
)
def test_the_classic_rule_of_a_fifth_of_the_capacity_follows(
    idents: tuple[str, ...], within: Fraction, of_capacity: Fraction
) -> None:
    for ident in idents:
        one = BOOK.instrument(ident)
        assert one.smallest_for(within) == one.capacity * of_capacity
        assert share(ident, of_capacity) == within
        assert share(ident, of_capacity * 99 / 100) > within


@pytest.mark.parametrize(
    ("of_capacity", "under_5", "from_5"),
    [("0.2", "0.095", "0.085"), ("0.1", "0.17", "0.16"), ("0.05", "0.32", "0.31"), ("1", "0.05", "0.04")],
)
def test_the_fixed_part_of_the_error_dominates_small_fills(of_capacity: str, under_5: str, from_5: str) -> None:
    assert {share(ident, Fraction(of_capacity)) for ident in UNDER_5} == {Fraction(under_5)}
    assert {share(ident, Fraction(of_capacity)) for ident in FROM_5} == {Fraction(from_5)}


@pytest.mark.parametrize("idents", [UNDER_5, FROM_5])
def test_no_fill_is_within_less_than_the_upper_branch_allows(idents: tuple[str, ...]) -> None:
    for ident in idents:
        with pytest.raises(ValueError, match="never measures within"):
            BOOK.instrument(ident).smallest_for(Fraction(39, 1000))


def test_a_calibrated_dropper_is_allowed_15_percent_at_each_of_its_marks() -> None:
    dropper = BOOK.instrument("dropper-0.25-0.5")
    assert [dropper.permissible_error(mark) / mark for mark in dropper.marks] == [Fraction(15, 100)] * 2
