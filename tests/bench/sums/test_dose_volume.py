"""Dose, strength and volume."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from drawndose.quantities import Quantity
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    ("dose_to_volume", {"dose": "2.5 mg", "strength": "5 mg/mL"}, "", "0.5 mL"),
    ("dose_to_volume", {"dose": "0.3 mg", "strength": "1:1000"}, "", "0.3 mL"),
    ("dose_to_volume", {"dose": "500 mg", "mass": "1 g", "volume": "10 mL"}, "", "5 mL"),
    ("dose_to_volume", {"dose": "7500 units", "strength": "10000 units/mL"}, "", "0.75 mL"),
    ("dose_to_volume", {"dose": "300,000 units", "stock": "1 million units per 2 mL"}, "", "0.6 mL"),
    ("dose_to_volume", {"dose": "20 mmol", "stock": "2 mmol/mL"}, "", "10 mL"),
    ("dose_to_volume", {"dose": "125 mcg", "stock": "0.25 mg per mL"}, "", "1/2 mL"),
    ("dose_to_volume", {"dose": "11.25 mg", "strength": "2.25 % w/v"}, "", "1/2 mL"),
    ("dose_to_volume", {"dose": "1 g", "strength": "20 %"}, "", "5 mL"),
    ("mass_for_percent_solution", {"strength": "1:1000", "final_volume": "500 mL"}, "", "500 mg"),
    ("mass_for_percent_solution", {"strength": "0.9 %", "volume": "1 L"}, "", "9 g"),
    ("mass_for_percent_solution", {"strength": "10 % w/w", "final_mass": "60 g"}, "", "6 g"),
    ("mass_for_percent_solution", {"strength": "70 % v/v", "final_volume": "500 mL"}, "", "350 mL"),
    ("mass_for_percent_solution", {"strength": "2.5 %", "total_mass": "1 kg"}, "", "25 g"),
    ("mass_to_volume", {"mass": "5 g", "strength": "1:200"}, "", "1000 mL"),
    ("mass_to_volume", {"mass": "500 mg", "strength": "25 mg/mL"}, "", "20 mL"),
    ("mass_to_volume", {"mass": "10 g", "strength": "5 % w/w"}, "", "200 g"),
    ("partial_unit_dose", {"dose": "1.25 mg", "stock": "2.5 mg per 3 mL"}, "", "3/2 mL"),
    ("partial_unit_dose", {"dose": "1.25 mg", "mass": "2.5 mg", "volume": "3 mL"}, "", "3/2 mL"),
    ("partial_unit_dose", {"dose_rate": "0.15 mg/kg", "weight": "8 kg", "stock": "2.5 mg per 3 mL"}, "", "36/25 mL"),
    ("ratio_to_mass", {"strength": "1:1000", "volume": "1 L"}, "", "1 g"),
    ("ratio_to_mass", {"strength": "1:500 ratio (w/w)", "total_mass": "100 g"}, "", "1/5 g"),
    ("reconstitution_dose_volume", {"dose": "250 mg", "mass": "500 mg", "final_volume": "2.2 mL"}, "", "1.1 mL"),
    (
        "reconstitution_dose_volume",
        {"dose": "250 mg", "mass": "500 mg", "diluent": "1.8 mL", "powder_volume": "0.2 mL"},
        "",
        "1 mL",
    ),
    ("reconstitution_dose_volume", {"dose": "600,000 units", "strength": "500,000 units/mL"}, "", "1.2 mL"),
    ("two_step_mcg_mg", {"dose": "500 mcg", "stock": "1 mg per 2 mL"}, "", "1 mL"),
    ("two_step_mcg_percent", {"dose": "500 mcg", "strength": "0.025 %"}, "", "2 mL"),
    ("two_step_mcg_ratio", {"dose": "300 mcg", "strength": "1:1000"}, "", "0.3 mL"),
    ("two_step_mcg_ratio", {"dose": "10 mcg", "step": "1 mL of 1:1000 made up to 100 mL"}, "", "1 mL"),
    ("units_to_volume", {"dose": "7500 units", "strength": "5000 units/mL"}, "", "1.5 mL"),
    ("volume_to_mass", {"volume": "3 mL", "strength": "0.083 %"}, "", "2.49 mg"),
    ("volume_to_mass", {"volume": "10 mL", "strength": "1:1000"}, "", "10 mg"),
    ("volume_to_mass", {"volume_taken": "0.5 mL", "mass": "100 mg", "volume": "20 mL"}, "", "2.5 mg"),
    ("volume_to_mass", {"volume": "500 mL", "strength": "70 % v/v"}, "", "350 mL"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


amounts = st.builds(Fraction, st.integers(1, 10**6), st.integers(1, 10**3))


def test_working_shows_the_units_cancelling() -> None:
    worked = work("dose_to_volume", {"dose": "2.5 mg", "strength": "0.5 %"})
    assert worked.lines == ("0.5 % = 0.5 g in 100 mL = 5 mg per mL", "2.5 mg ÷ 5 mg per mL = 0.5 mL")


def test_wrong_ways_are_named_with_their_answers() -> None:
    assert wrong("dose_to_volume", dose="2.5 mg", strength="0.25 %") == {
        "percent read as mg per mL": "10 mL",
        "dose given as volume": "2.5 mL",
        "factor 10 too little": "0.1 mL",
    }
    assert wrong("dose_to_volume", dose="0.3 mg", strength="1:10000")["ratio read as mg in mL"] == "3,000 mL"
    assert wrong("dose_to_volume", dose="500 mcg", strength="2 mg/mL")["factor 1000"] == "250 mL"
    assert "factor 1000" not in wrong("dose_to_volume", dose="500 mg", strength="2 mg/mL")
    assert wrong("volume_to_mass", volume="4 mL", strength="5 mg/mL")["inverted"] == "0.8 mg"


def test_dose_in_units_does_not_come_out_of_a_strength_in_mg() -> None:
    ((field, rule),) = faults("dose_to_volume", dose="100 units", strength="5 mg/mL")
    assert field == "needed"
    assert "do not fit together" in rule


def test_missing_and_unneeded_inputs_are_named() -> None:
    assert faults("dose_to_volume", dose="2.5 mg")[0][0] == "dose_to_volume"
    assert [field for field, _ in faults("dose_to_volume", dose="1 mg", strength="1 %", volume="3 mL")] == ["volume"]


@given(amounts, amounts)
def test_the_volume_of_a_dose_holds_the_dose(dose: Fraction, strength: Fraction) -> None:
    volume = work("dose_to_volume", {"dose": f"{dose} mg", "strength": f"{strength} mg/mL"}).answer
    assert isinstance(volume, Quantity)
    back = work("volume_to_mass", {"volume": f"{volume.value} mL", "strength": f"{strength} mg/mL"})
    assert is_answer(back, f"{dose} mg")


def test_a_percent_is_by_volume_only_where_a_volume_is_asked_for() -> None:
    texts = {"strength": "70 %", "final_volume": "500 mL"}
    assert is_answer(work("mass_for_percent_solution", texts), "350 g")
    assert is_answer(work("mass_for_percent_solution", texts, asked="volume of solute"), "350 mL")
    assert is_answer(work("ratio_to_volume", {"stock": "1:50", "final_volume": "500 mL"}), "10 mL")
    assert is_answer(work("mass_for_percent_solution", texts | {"strength": "70 % v/v"}), "350 mL")


def test_an_amount_in_a_volume_is_never_a_share_by_volume() -> None:
    assert faults("ratio_to_volume", stock="5 mg/mL", final_volume="500 mL")
    worked = work("volume_to_mass", {"final_strength": "5 mg/mL", "volume": "2 mL"}, asked="volume of solute")
    assert is_answer(worked, "10 mg")


def test_a_number_that_came_without_its_unit_is_named_and_no_other() -> None:
    assert faults("dose_to_volume", dose="2.5", strength="0.5 %") == [("dose", "a number needs a unit here")]
    rules = [rule for _, rule in faults("ratio_to_volume", stock="5 mg/mL", final_volume="500 mL")]
    assert "a number needs a unit here" not in rules
