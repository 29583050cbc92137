"""Infusions, pumps and flow."""

import pytest

from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, label, outcome, wrong

ROWS: list[Row] = [
    ("flow_time", {"volume": "1000 mL", "rate": "125 mL/h"}, "time", "8 h"),
    ("flow_time", {"volume": "1000 mL", "time": "8 h", "drops_per_mL": "15"}, "drop rate", "31.25 drops/min"),
    ("flow_time", {"volume": "100 mL", "time": "30 min"}, "pump rate", "200 mL/h"),
    ("flow_time", {"rate": "125 mL/h", "time": "4 h"}, "volume", "500 mL"),
    ("flow_time", {"volume": "3 mL", "rate": "0.3 mL/min"}, "time", "10 min"),
    ("infusion_dose", {"pump_rate": "20 mL/h", "stock": "25000 units per 500 mL"}, "", "1000 units/h"),
    (
        "infusion_dose",
        {"pump_rate": "15 mL/h", "mass": "400 mg", "volume": "250 mL", "weight": "80 kg"},
        "",
        "5 mcg/kg/min",
    ),
    (
        "infusion_dose",
        {"pump_rate": "15 mL/h", "stock": "400 mg per 250 mL", "weight": "176 lb", "lb_per_kg": "2.2"},
        "",
        "5 mcg/kg/min",
    ),
    ("infusion_dose", {"pump_rate": "30 mL/h", "stock": "2 g per 500 mL"}, "", "2 mg/min"),
    ("infusion_dose", {"pump_rate": "6 mL/h", "stock": "50 mg per 250 mL"}, "", "20 mcg/min"),
    ("infusion_rate", {"dose_rate": "5 mcg/kg/min", "weight": "80 kg", "stock": "400 mg per 250 mL"}, "", "15 mL/h"),
    ("infusion_rate", {"dose_rate": "1000 units/h", "stock": "25000 units per 500 mL"}, "", "20 mL/h"),
    (
        "infusion_rate",
        {"dose_rate": "18 units/kg/h", "weight": "70 kg", "stock": "25000 units per 250 mL"},
        "",
        "63/5 mL/h",
    ),
    ("infusion_rate", {"dose_rate": "5 mg/h", "stock": "100 mg per 100 mL"}, "", "5 mL/h"),
    ("infusion_rate", {"dose_rate": "2 mg/min", "mass": "1 g", "volume": "250 mL"}, "", "30 mL/h"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_minutes_and_hours_are_told_apart() -> None:
    assert wrong("infusion_rate", dose_rate="10 mcg/min", stock="50 mg per 250 mL")["factor 60"] == "0.05 mL per h"
    assert wrong("infusion_dose", pump_rate="15 mL/h", stock="400 mg per 250 mL", weight="80 kg")["factor 60"] == (
        "300 mcg per kg per min"
    )


def test_a_rate_for_each_kg_needs_the_weight() -> None:
    assert faults("infusion_rate", dose_rate="5 mcg/kg/min", stock="400 mg per 250 mL")


def test_drops_in_a_minute() -> None:
    row = ("infusion_dose", {"pump_rate": "15 drops/min", "drops_per_mL": "60", "stock": "4 mg/mL"}, "", "1 mg/min")
    status, came = outcome(row)
    assert status is Status.PASSED, came
