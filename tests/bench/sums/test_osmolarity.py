"""Osmolarity."""

import pytest

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    ("osmolarity", {"strength": "5 %", "molar_mass": "180 g/mol", "particles": "1"}, "", "2500/9 mOsm/L"),
    (
        "osmolarity",
        {"mass": "9 g", "volume": "1 L", "molar_mass": "58.5 g/mol", "particles": "2"},
        "",
        "4000/13 mOsm/L",
    ),
    (
        "osmolarity",
        {"strength": "0.9 %", "volume": "500 mL", "molar_mass": "58.5 g/mol", "particles": "2"},
        "",
        "2000/13 mOsm",
    ),
    ("osmolarity", {"strength": "154 mmol/L", "particles": "2"}, "", "308 mOsm/L"),
    ("osmolarity", {"molarity": "0.154 M", "particles": "2"}, "", "308 mOsm/L"),
    ("osmolarity", {"mass": "9 g/L", "molar_mass": "58.5 g/mol", "particles": "2"}, "", "4/13 Osm/L"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_particles_count() -> None:
    ways = wrong("osmolarity", molarity="0.15 mol/L", particles="2")
    assert ways["particles left out"] == "150 mOsm per L"


def test_osmotic_coefficient_and_dissociation() -> None:
    worked = work("osmolarity", {"molarity": "154 mmol/L", "particles": "2", "osmotic_coefficient": "0.93"})
    assert is_answer(worked, "286.44 mOsm/L")
    assert is_answer(work("osmolarity", {"molarity": "0.1 M", "ions": "2", "dissociation": "90 %"}), "190 mOsm/L")
    assert is_answer(work("osmolarity", {"mmol": "10 mmol", "particles": "2"}), "20 mOsm")


def test_a_mass_needs_its_molar_mass() -> None:
    assert faults("osmolarity", strength="0.9 %", particles="2")
