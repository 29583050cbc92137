"""Air, oxygen and helium."""

import pytest

from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, label, outcome, wrong

ROWS: list[Row] = [
    ("gas_flow", {"indicated": "8 L/min", "factor": "1.6"}, "", "12.8 L/min"),
    ("gas_flow", {"desired_flow": "18 L/min", "factor": "1.8"}, "flow to set", "10 L/min"),
    ("gas_mix", {"air": "10 L/min", "oxygen": "5 L/min", "air_fraction": "0.21"}, "oxygen percent", "142/3 %"),
    ("gas_mix", {"fio2": "0.4", "air_fraction": "0.2"}, "air to oxygen ratio", "3 parts"),
    ("gas_mix", {"oxygen": "10 L/min", "fio2": "40 %", "air_fraction": "0.2"}, "total flow", "40 L/min"),
    ("gas_mix", {"total_flow": "60 L/min", "fio2": "0.6", "air_fraction": "0.21"}, "oxygen flow", "2340/79 L/min"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_the_airs_own_oxygen_counts() -> None:
    ways = wrong("gas_mix", air="10 L/min", oxygen="6 L/min", air_fraction="0.21")
    assert ways == {"the air's own oxygen left out": "37.5 %"}


def test_less_oxygen_than_air_has_is_refused() -> None:
    assert faults("gas_mix", fio2="0.2", air_fraction="0.21", oxygen="5 L/min")
