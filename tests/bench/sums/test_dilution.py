"""Dilution to a volume, by volume and by mass."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from drawndose.quantities import Quantity
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    ("diluent_mass", {"start_mass": "50 g", "start_strength": "10 %", "final_strength": "4 %"}, "", "75 g"),
    ("diluent_mass", {"final_mass": "100 g", "strength": "10 %", "final_strength": "4 %"}, "", "60 g"),
    ("diluent_volume", {"start_volume": "100 mL", "start_strength": "15 %", "final_strength": "5 %"}, "", "200 mL"),
    ("diluent_volume", {"volume_taken": "0.5 mL", "final_volume": "3 mL"}, "", "2.5 mL"),
    ("diluent_volume", {"dose": "2.5 mg", "strength": "0.5 %", "final_volume": "3 mL"}, "", "2.5 mL"),
    ("diluent_volume", {"mass": "1 g", "volume": "10 mL", "final_strength": "20 mg/mL"}, "", "40 mL"),
    ("diluent_volume", {"stock": "1:10", "final_strength": "1:50", "final_volume": "100 mL"}, "", "80 mL"),
    (
        "diluent_volume",
        {"start_volume": "100 mL", "start_strength": "70 % v/v", "final_strength": "40 % v/v"},
        "",
        "75 mL",
    ),
    (
        "diluent_volume",
        {"start_volume": "10 mL", "start_strength": "1:1000", "final_strength": "0.1 mg/mL"},
        "",
        "90 mL",
    ),
    ("diluent_volume", {"mass": "500 mg", "final_strength": "25 mg/mL", "start_volume": "2 mL"}, "", "18 mL"),
    (
        "diluent_volume",
        {"start_volume": "60 mL", "start_strength": "5 mEq/mL", "final_strength": "2 mEq/mL"},
        "",
        "90 mL",
    ),
    ("dilution_c1v1", {"stock": "50 %", "volume_taken": "20 mL", "final_volume": "100 mL"}, "final strength", "10 %"),
    ("dilution_c1v1", {"stock": "50 %", "volume_taken": "20 mL", "final_strength": "10 %"}, "final volume", "100 mL"),
    (
        "dilution_c1v1",
        {"volume_taken": "20 mL", "final_volume": "100 mL", "final_strength": "10 %"},
        "strength of stock",
        "50 %",
    ),
    ("dilution_c1v1", {"stock": "1:50", "final_volume": "1 L", "final_strength": "1:1000"}, "volume of stock", "50 mL"),
    (
        "dilution_c1v1",
        {"stock": "20 % w/w", "final_mass": "500 g", "final_strength": "5 % w/w"},
        "mass of stock",
        "125 g",
    ),
    ("dilution_c1v1", {"stock": "10 %", "final_mass": "500 g", "final_strength": "5 %"}, "", "250 g"),
    (
        "dilution_c1v1",
        {"stock": "1000 units/mL", "final_volume": "10 mL", "final_strength": "100 units/mL"},
        "",
        "1 mL",
    ),
    ("dilution_c1v1", {"mass": "5 g", "stock": "20 %"}, "volume of stock", "25 mL"),
    ("dilution_c1v1", {"stock": "0.5 M", "final_volume": "100 mL", "final_strength": "0.1 mol/L"}, "", "20 mL"),
    ("dilution_c1v1", {"stock": "100 %", "final_strength": "70 %", "final_volume": "500 mL"}, "", "350 mL"),
    ("dilution_final_ratio", {"volume_taken": "10 mL", "stock": "1:10", "diluent": "90 mL"}, "", "100 parts"),
    ("dilution_final_ratio", {"start_volume": "10 mL", "stock": "5 %", "final_volume": "500 mL"}, "", "1000 parts"),
    ("dilution_final_ratio", {"mass": "250 mg", "final_volume": "500 mL"}, "", "2000 parts"),
    ("dilution_final_strength", {"volume_taken": "100 mL", "stock": "20 %", "final_volume": "500 mL"}, "", "4 %"),
    ("dilution_final_strength", {"start_volume": "100 mL", "start_strength": "20 %", "diluent": "300 mL"}, "", "5 %"),
    ("dilution_final_strength", {"start_mass": "100 g", "start_strength": "20 %", "diluent_mass": "300 g"}, "", "5 %"),
    ("dilution_final_strength", {"dose": "2.5 mg", "final_volume": "3 mL"}, "", "5/6 mg/mL"),
    ("dilution_final_strength", {"volume_taken": "1 mL", "stock": "1:1000", "final_volume": "10 mL"}, "", "100 mcg/mL"),
    (
        "dilution_final_strength",
        {"volume_taken": "250 mL", "stock": "70 % v/v", "final_volume": "1000 mL"},
        "",
        "35/2 %",
    ),
    ("dilution_final_strength", {"volume_taken": "1 mL", "stock": "40 mg/mL", "final_volume": "10 mL"}, "", "0.4 %"),
    (
        "dilution_final_volume",
        {"start_volume": "50 mL", "start_strength": "1:20", "final_strength": "1:1000"},
        "",
        "2500 mL",
    ),
    ("dilution_final_volume", {"mass": "2 g", "final_strength": "0.5 %"}, "", "400 mL"),
    ("ratio_to_volume", {"mass": "5 mg", "stock": "1:1000"}, "", "5 mL"),
    ("ratio_to_volume", {"dose": "0.5 mg", "strength": "1:1000"}, "", "0.5 mL"),
    ("ratio_to_volume", {"dose": "250 mcg", "stock": "1:5000"}, "", "1.25 mL"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_diluting_to_is_not_adding() -> None:
    ways = wrong("diluent_volume", volume_taken="0.5 mL", final_volume="3 mL")
    assert ways["total taken as diluent"] == "3 mL"
    assert ways["drug volume taken as diluent"] == "0.5 mL"


def test_final_strength_above_the_stock_is_refused() -> None:
    ((_, rule),) = faults("diluent_volume", start_volume="10 mL", start_strength="5 %", final_strength="10 %")
    assert "is more than" in rule


def test_by_weight_and_by_volume_do_not_mix() -> None:
    assert faults("diluent_volume", stock="10 % w/w", final_strength="5 mg/mL", final_volume="10 mL")


def test_forms_of_the_final_strength_are_the_same_value() -> None:
    worked = work("dilution_final_strength", {"volume_taken": "0.5 mL", "stock": "0.5 %", "final_volume": "3 mL"})
    (also,) = worked.results[0].also
    assert str(also.unit) == "%"
    assert also.value * 12 == 1


@given(st.integers(1, 9_999), st.integers(1, 9_999), st.integers(1, 9_999))
def test_c1v1_comes_back(stock: int, part: int, whole: int) -> None:
    final = Fraction(stock * part, part + whole)
    given_texts = {"stock": f"{stock} mg/mL", "final_strength": f"{final} mg/mL", "final_volume": f"{whole} mL"}
    taken = work("dilution_c1v1", given_texts).answer
    assert isinstance(taken, Quantity)
    back = {"stock": f"{stock} mg/mL", "volume_taken": f"{taken.value} mL", "final_volume": f"{whole} mL"}
    assert is_answer(work("dilution_final_strength", back), f"{final} mg/mL")
    assert taken.value < whole


def test_what_to_take_for_a_diluent_that_is_there() -> None:
    given_texts = {"stock": "10 %", "final_strength": "2 %", "diluent": "80 mL"}
    assert is_answer(work("dilution_c1v1", given_texts), "20 mL")
