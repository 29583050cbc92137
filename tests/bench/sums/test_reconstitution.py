"""Powders made up."""

import pytest

from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, label, outcome, wrong

ROWS: list[Row] = [
    ("powder_displacement", {"mass": "500 mg", "strength": "225 mg/mL", "diluent": "2 mL"}, "", "2/9 mL"),
    ("reconstitution_strength", {"mass": "1 g", "final_volume": "10 mL"}, "", "100 mg/mL"),
    (
        "reconstitution_strength",
        {"mass": "5 million units", "diluent": "8 mL", "powder_volume": "2 mL"},
        "",
        "500000 units/mL",
    ),
    ("reconstitution_strength", {"units": "5000000 units", "final_volume": "10 mL"}, "", "500000 units/mL"),
    ("reconstitution_volume", {"diluent": "2 mL", "powder_volume": "0.2 mL"}, "", "2.2 mL"),
    ("reconstitution_volume", {"final_volume": "10 mL", "powder_volume": "0.8 mL"}, "diluent to add", "9.2 mL"),
    (
        "reconstitution_volume",
        {"mass": "250 mg", "strength": "125 mg/mL", "powder_volume": "0.2 mL"},
        "diluent to add",
        "1.8 mL",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_the_powder_takes_up_room() -> None:
    ways = wrong("reconstitution_strength", mass="500 mg", diluent="1.8 mL", powder_volume="0.2 mL")
    assert ways["powder volume left out"] == "2500/9 mg per mL (about 278 mg per mL)"


def test_a_powder_volume_is_never_taken_for_nothing() -> None:
    assert faults("reconstitution_strength", mass="500 mg", diluent="2 mL")


def test_less_than_the_diluent_is_refused() -> None:
    assert faults("powder_displacement", diluent="3 mL", final_volume="2.5 mL")
