"""Which balance is good enough for which volume, said before anything is weighed."""

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.reference import load
from drawndose.science.balance_words import (
    VOLUMES_ML,
    fit_words,
    read_which_balance,
    smallest_words,
    which_balance,
)
from drawndose.science.balances import A_QUARTER, Enough, balance_of, balance_table
from drawndose.science.ranges import OutOfRange
from drawndose.science.weighing import Balance, smallest_net_mass

FINE = Balance(readability_g=0.0001, repeatability_g=0.00002)


def test_the_smallest_net_mass_decides_and_below_it_the_guard_band() -> None:
    (row,) = balance_table([("fine", FINE)], [0.001, 0.01, 0.0822, 0.0823, 1.0], within=0.05)
    assert row.smallest_g == pytest.approx(0.082)
    assert [fit.enough for fit in row.fits] == [
        Enough.NOT, Enough.TOLERANCE, Enough.TOLERANCE, Enough.NET_MASS, Enough.NET_MASS,
    ]  # fmt: skip


@given(st.floats(1e-5, 0.1), st.floats(0.0, 0.1), st.floats(0.01, 10.0), st.floats(0.01, 0.2))
def test_the_guard_band_is_twice_the_doubt_of_a_difference(d: float, s: float, volume: float, within: float) -> None:
    (row,) = balance_table(
        [("x", Balance(readability_g=d, repeatability_g=s))], [volume], within=within, z_mL_per_g=1.0
    )
    guard = 2.0 * sqrt(2.0 * (s**2 + d**2 / 12.0)) / (within * volume)
    assert row.fits[0].guard_share == pytest.approx(guard, rel=1e-3)
    assert (row.fits[0].enough is Enough.NOT) == (volume < row.smallest_mL and row.fits[0].guard_share > A_QUARTER)


@pytest.mark.parametrize(("volume", "within"), [(0.0, 0.05), (0.5, 0.0), (0.5, 0.6)])
def test_outside_its_range_there_is_no_table(volume: float, within: float) -> None:
    with pytest.raises(OutOfRange):
        balance_table([("fine", FINE)], [volume], within=within)


def test_a_balance_of_the_catalogue_without_a_figure_is_taken_to_scatter_by_two_steps() -> None:
    known, unknown = load().balance("balance-0.1-mg"), load().balance("balance-class-iii")
    assert balance_of(known).repeatability_g == pytest.approx(float(known.repeatability_g or 0))
    assert unknown.repeatability_g is None
    assert balance_of(unknown).repeatability_g == pytest.approx(2 * float(unknown.readability_g))


def test_every_balance_of_the_catalogue_stands_in_the_table_and_ones_own_first() -> None:
    names = [one.name for one in load().balances]
    assert [row.name for row in which_balance(VOLUMES_ML, 0.05).rows] == names
    assert [row.name for row in which_balance([0.5], 0.05, FINE).rows] == ["the balance used", *names]


def test_the_table_is_read_from_the_boxes_of_a_sheet() -> None:
    found = read_which_balance({})
    assert (found.volumes_mL, found.within) == (VOLUMES_ML, 0.05)
    own = read_which_balance({"target": "0.4 mL", "within": "0.02 mL", "step": "1 mg"})
    assert own.volumes_mL == (0.4,)
    assert own.within == pytest.approx(0.05)
    assert own.rows[0].smallest_g == smallest_net_mass(Balance(readability_g=0.001, repeatability_g=0.002))
    with pytest.raises(Refused) as refusal:
        read_which_balance({"target": "0.4 mg", "within": "0 %", "repeatability": "x"})
    assert [fault.field for fault in refusal.value.faults] == ["target", "within", "repeatability"]


def test_words_of_the_table() -> None:
    coarse = Balance(readability_g=0.01, repeatability_g=0.01)
    fine, other = balance_table([("fine", FINE), ("coarse", coarse)], [0.01, 0.5, 2.5], within=0.05)
    assert [fit_words(fit) for fit in fine.fits] == [
        "for this tolerance only (guard band 20 % of the tolerance)", "good enough", "good enough",
    ]  # fmt: skip
    assert [fit_words(fit) for fit in other.fits] == [
        "too coarse (guard band more than all of the tolerance)",
        "too coarse (guard band more than all of the tolerance)",
        "for this tolerance only (guard band 24 % of the tolerance)",
    ]
    assert smallest_words(fine) == "82 mg, about 0.082 mL"
    assert smallest_words(other) == "20 g, about 20 mL"
