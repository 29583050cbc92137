"""One strength in its several forms."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from drawndose.quantities import Quantity
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    ("mg_per_mL", {"mass": "1 g", "volume": "20 mL"}, "", "50 mg/mL"),
    ("mg_per_mL_to_percent", {"strength": "5 mg/mL"}, "", "1/2 %"),
    ("mg_per_mL_to_percent", {"strength": "250 mcg/mL"}, "", "1/40 %"),
    ("mg_per_mL_to_percent", {"strength": "2.5 mg per 3 mL"}, "", "1/12 %"),
    ("mg_per_mL_to_percent", {"mass": "2.5 mg", "volume": "3 mL"}, "", "1/12 %"),
    ("mg_to_percent", {"mass": "5 g", "total_mass": "100 g"}, "", "5 %"),
    ("mg_to_percent", {"mass": "5 g", "final_volume": "100 mL"}, "", "5 %"),
    ("mg_to_percent", {"mass": "2 g", "diluent_mass": "38 g"}, "", "5 %"),
    ("mg_to_percent", {"volume_of_part": "35 mL", "total_volume": "500 mL"}, "", "7 %"),
    ("mg_to_percent", {"strength": "80 mg per 2 mL"}, "", "4 %"),
    ("mg_to_percent", {"mass": "60 mg per 100 mL"}, "", "0.06 %"),
    ("mg_to_percent", {"mass": "1 mg", "volume": "10 mL"}, "", "0.01 %"),
    ("mg_to_ratio", {"mass": "1 mg", "volume": "1 mL"}, "", "1000 parts"),
    ("mg_to_ratio", {"strength": "0.1 mg/mL"}, "", "10000 parts"),
    ("mg_to_ratio", {"volume_of_part": "5 mL", "volume": "100 mL"}, "", "20 parts"),
    ("percent_to_ratio", {"strength": "0.02 %"}, "", "5000 parts"),
    ("ppm_to_percent", {"strength": "1 ppm"}, "", "0.0001 %"),
    ("ratio_to_mg_per_mL", {"strength": "1:200"}, "", "5 mg/mL"),
    ("ratio_to_mg_per_mL", {"strength": "1:100"}, "", "10 mg/mL"),
    ("ratio_to_percent", {"strength": "1:1000"}, "", "0.1 %"),
    ("ratio_to_percent", {"strength": "1:500 ratio (w/v)"}, "", "0.2 %"),
    ("ratio_to_percent", {"strength": "1:4"}, "", "25 %"),
    ("unit_dose_percent", {"mass": "2.5 mg", "volume": "3 mL"}, "", "1/12 %"),
    ("unit_dose_percent", {"mass": "0.63 mg", "volume": "3 mL"}, "", "21/1000 %"),
    ("percent_to_mg_per_mL", {"strength": "0.083 %"}, "", "0.83 mg/mL"),
    ("percent_to_mg_per_mL", {"strength": "0.02%"}, "", "200 mcg/mL"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_working_names_the_hundred() -> None:
    assert work("mg_per_mL_to_percent", {"strength": "10 mg/mL"}).lines == (
        "10 mg per mL = 1 g in 100 mL",
        "1 g in 100 mL = 1 %",
    )


def test_percent_kept_as_a_figure_is_a_named_wrong_way() -> None:
    assert wrong("percent_to_mg_per_mL", strength="0.5 %")["percent read as mg per mL"] == "0.5 mg per mL"
    assert wrong("percent_to_ratio", strength="0.5 %")["percent taken as x"] == "0.5 parts"


def test_units_have_no_percent() -> None:
    assert faults("mg_per_mL_to_percent", strength="100 units/mL")


def test_more_than_everything_is_refused() -> None:
    assert faults("percent_to_mg_per_mL", strength="150 %") == [("strength", "a share is not more than the whole")]
    assert faults("ratio_to_percent", strength="5:1")
    assert faults("ratio_to_percent", strength="1:0")


@given(st.integers(1, 99_999), st.integers(1, 9_999))
def test_percent_and_ratio_and_mg_per_mL_are_inverses(n: int, d: int) -> None:
    percent = Fraction(n, d)
    if percent > 100:
        return
    per_mL = work("percent_to_mg_per_mL", {"strength": f"{percent} %"}).answer
    assert isinstance(per_mL, Quantity)
    assert is_answer(work("mg_per_mL_to_percent", {"strength": f"{per_mL.value} mg/mL"}), f"{percent} %")
    x = work("percent_to_ratio", {"strength": f"{percent} %"}).answer
    assert isinstance(x, Quantity)
    assert x.value * percent == 100


def test_units_in_a_volume() -> None:
    given_texts = {"mass": "5 million units", "volume": "10 mL"}
    assert is_answer(work("mg_per_mL", given_texts), "500,000 units/mL")
