"""Moles and equivalents."""

import pytest

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    ("mass_to_meq", {"mass": "10 mg per 100 mL", "molar_mass": "40 g/mol", "valence": "2"}, "mEq/L", "5 mEq/L"),
    ("meq_mass", {"meq": "40 mEq", "molar_mass": "74.5 g/mol", "valence": "1"}, "", "2980 mg"),
    ("meq_mass", {"molar_mass": "74.5 g/mol", "valence": "1"}, "", "74.5 mg"),
    ("molarity", {"mass": "9 g", "volume": "1 L", "molar_mass": "58.5 g/mol"}, "", "2/13 mol/L"),
    ("molarity", {"strength": "0.9 %", "molar_mass": "58.5 g/mol"}, "", "2/13 mol/L"),
    ("molarity", {"mass": "40 g", "volume": "500 mL", "molar_mass": "40 g/mol"}, "", "2 mol/L"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_valence_left_out() -> None:
    ways = wrong("mass_to_meq", mass="1 g", molar_mass="40 g/mol", valence="2")
    assert ways == {"valence left out": "25 mEq", "divided by the valence": "12.5 mEq"}


def test_mmol_to_mass() -> None:
    assert is_answer(work("meq_mass", {"mmol": "20 mmol", "molar_mass": "74.5 g/mol"}), "1490 mg")
    assert is_answer(
        work("meq_to_percent", {"mmol": "10 mmol", "volume": "10 mL", "molar_mass": "58.5 g/mol"}), "5.85 %"
    )


def test_a_strength_in_mg_is_no_milliequivalents() -> None:
    assert faults("meq_to_percent", strength="5 mg/mL", molar_mass="58.5 g/mol", valence="1")
