"""Drops of a named dropper."""

import pytest

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    ("drops", {"volume": "0.5 mL", "drops_per_mL": "20"}, "number of drops", "10 drops"),
    ("drops", {"drops": "10", "drops_per_mL": "20"}, "volume of the drops", "0.5 mL"),
    ("drops", {"drops_per_mL": "20"}, "volume per drop", "0.05 mL"),
    ("drops", {"drops": "20", "volume": "1 mL"}, "drops per mL", "20 drops/mL"),
    ("drops", {"mass": "5 mg", "drops": "20"}, "mass per drop", "0.25 mg"),
    ("drops", {"strength": "5 mg/mL", "drops_per_mL": "20"}, "mass per drop", "0.25 mg"),
    ("drops", {"dose": "2.5 mg", "dose_per_drop": "0.25 mg"}, "", "10 drops"),
    ("drops", {"dose_rate": "1 drops/kg", "weight": "9 kg"}, "", "9 drops"),
    ("drops", {"drops": "40", "strength": "0.25 mg/mL", "drops_per_mL": "20"}, "mass in the drops", "0.5 mg"),
    (
        "drops",
        {"dose_rate": "0.05 mg/kg", "weight": "10 kg", "strength": "5 mg/mL", "drops_per_mL": "20"},
        "dose in drops",
        "2 drops",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_drops_need_their_dropper() -> None:
    assert faults("drops", drops="10", strength="5 mg/mL")


def test_drops_taken_as_mL() -> None:
    assert wrong("drops", drops="10", strength="5 mg/mL", drops_per_mL="20")["drops taken as mL"] == "50 mg"


@pytest.mark.parametrize("text", ["20", "20 drops/mL"])
def test_drops_in_1_mL_with_or_without_the_unit(text: str) -> None:
    assert is_answer(work("drops", {"drops": "10 drops", "drop_factor": text}), "0.5 mL")


def test_strength_of_a_drop() -> None:
    assert is_answer(work("drops", {"drops": "10", "strength": "0.25 mg/drop"}), "2.5 mg")
    assert is_answer(work("drops", {"drop_volume": "0.05 mL", "volume": "1 mL"}, asked="number of drops"), "20 drops")
