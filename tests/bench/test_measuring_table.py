"""Volumes against instruments, with permissible errors worked out by hand."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.bench.measuring_table import VOLUMES, Fit, measuring_table
from drawndose.quantities import Refused
from drawndose.reference import load

TEN = Fraction(10, 100)


def cell(ident: str, volume: str, limit: Fraction = TEN) -> tuple[Fit, Fraction | None]:
    table = measuring_table([load().instrument(ident)], limit=limit, volumes=[Fraction(volume)])
    only = table.rows[0].cells[0]
    return only.fit, only.share


@pytest.mark.parametrize(
    ("ident", "volume", "fit", "share"),
    [
        ("syringe-1", "0.5", Fit.ACCEPTABLE, "0.05"),
        ("syringe-1", "0.2", Fit.ACCEPTABLE, "0.095"),
        ("syringe-1", "0.1", Fit.CAUTION, "0.17"),
        ("syringe-1", "0.05", Fit.NOT, "0.32"),
        ("syringe-1", "1.5", Fit.NOT, None),
        ("syringe-3", "0.5", Fit.CAUTION, "0.11"),
        ("syringe-3", "0.75", Fit.BETWEEN, "0.08"),
        ("syringe-10", "1", Fit.CAUTION, "0.16"),
        ("dropper-0.25-0.5", "0.5", Fit.CAUTION, "0.15"),
        ("dropper-0.25-0.5", "0.4", Fit.BETWEEN, None),
        ("dropper-0.25-0.5", "0.01", Fit.BETWEEN, None),
        ("cylinder-100", "20", Fit.ACCEPTABLE, "0.05"),
        ("cylinder-100", "15", Fit.CAUTION, "1/15"),
        ("cylinder-100", "8", Fit.CAUTION, "0.125"),
        ("cylinder-100", "4", Fit.NOT, "0.25"),
        ("cylinder-25", "12.3", Fit.BETWEEN, "17/615"),
    ],
)
def test_a_cell_says_how_the_instrument_fits(ident: str, volume: str, fit: Fit, share: str | None) -> None:
    assert cell(ident, volume) == (fit, Fraction(share) if share else None)


def test_the_smallest_volume_of_a_row_is_the_old_rule_of_a_fifth_of_the_capacity() -> None:
    rows = {row.instrument.id: row.smallest for row in measuring_table(load().instruments, limit=TEN).rows}
    assert rows["syringe-1"] == Fraction("0.1875")
    assert rows["syringe-10"] == Fraction(10, 6)
    assert rows["dropper-0.25-0.5"] is None


@pytest.mark.parametrize("limit", [Fraction(0), Fraction(-1, 10), Fraction(11, 10)])
def test_a_limit_that_is_no_share_is_refused(limit: Fraction) -> None:
    with pytest.raises(Refused, match="limit: the limit is a share"):
        measuring_table(load().instruments, limit=limit)


@given(limit=st.fractions(min_value=Fraction(1, 50), max_value=Fraction(1, 2), max_denominator=100))
def test_a_wider_limit_never_makes_a_cell_worse(limit: Fraction) -> None:
    order = {Fit.ACCEPTABLE: 0, Fit.CAUTION: 1, Fit.BETWEEN: 1, Fit.NOT: 2}
    tight, wide = (measuring_table(load().instruments, limit=one) for one in (limit, limit * 3 / 2))
    for narrow, broad in zip(tight.rows, wide.rows, strict=True):
        assert len(narrow.cells) == len(VOLUMES)
        for one, other in zip(narrow.cells, broad.cells, strict=True):
            assert order[other.fit] <= order[one.fit]
