"""What is delivered, and what comes along."""

import pytest

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    ("delivered_percent", {"nominal": "2.5 mg", "inhaled": "0.3 mg"}, "", "12 %"),
    ("delivered_percent", {"nominal": "2500 mcg", "delivered_percent": "10 %"}, "", "250 mcg"),
    ("preservative_carried", {"volume": "0.5 mL", "preservative_strength": "0.01 %"}, "", "50 mcg"),
    (
        "preservative_carried",
        {"drug_mass": "2.5 mg", "drug_strength": "0.5 %", "preservative_strength": "0.01 %"},
        "",
        "50 mcg",
    ),
    (
        "preservative_carried",
        {"drug_mass": "10 mg/h", "drug_strength": "5 mg/mL", "preservative_strength": "0.01 %"},
        "",
        "200 mcg/h",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_upside_down() -> None:
    assert wrong("delivered_percent", inhaled="500 mcg", nominal="2500 mcg")["upside down"] == "500 %"
    assert "the part that is lost" not in wrong("delivered_percent", inhaled="3 mg", nominal="2 mg")


def test_the_nominal_dose_for_a_delivered_mass() -> None:
    assert is_answer(work("delivered_percent", {"inhaled": "0.25 mg", "fraction": "0.1"}), "2.5 mg")


def test_nothing_put_in_is_refused() -> None:
    assert faults("delivered_percent", inhaled="1 mg", nominal="0 mg")
