"""Oxygen cylinders and liquid oxygen."""

import pytest

from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, label, outcome, wrong

ROWS: list[Row] = [
    ("cylinder_contents", {"pressure": "2200 psi", "factor": "3.14 L/psi"}, "", "6908 L"),
    ("cylinder_contents", {"pressure": "150 bar", "water_volume": "10 L"}, "", "1500 L"),
    ("cylinder_contents", {"cubic_feet": "22", "litres_per_cubic_foot": "28.3"}, "", "3113/5 L"),
    ("cylinder_duration", {"pressure": "2000 psi", "factor": "0.28 L/psi", "flow": "4 L/min"}, "", "140 min"),
    ("cylinder_duration", {"pressure": "2000 psi", "factor": "0.28 L/psi", "flow": "4 L/min"}, "duration", "7/3 h"),
    (
        "cylinder_duration",
        {"pressure": "2000 psi", "factor": "0.16", "flow": "2 L/min", "reserve": "200 psi"},
        "duration",
        "144 min",
    ),
    ("cylinder_duration", {"duration": "140 min"}, "whole hours", "2 h"),
    ("cylinder_duration", {"contents": "622 L", "flow": "3 L/min"}, "", "622/3 min"),
    ("cylinder_duration", {"volume": "622 L", "flow": "3 L/min"}, "", "622/3 min"),
    (
        "cylinder_duration",
        {
            "full_volume": "622 L",
            "full_pressure": "2200 psi",
            "pressure": "1000 psi",
            "reserve": "200 psi",
            "flow": "10 L/min",
        },
        "",
        "1244/55 min",
    ),
    ("cylinder_minimum_pressure", {"flow": "10 L/min", "time": "0.5 h", "factor": "0.28 L/psi"}, "", "7500/7 psi"),
    (
        "liquid_oxygen_days",
        {"mass": "40 lb", "lb_per_litre": "2.5", "expansion": "860", "flow": "2 L/min"},
        "hours",
        "344/3 h",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_the_reserve_is_kept() -> None:
    ways = wrong("cylinder_duration", pressure="2000 psi", factor="0.16 L/psi", flow="2 L/min", reserve="200 psi")
    assert ways["reserve left out"] == "160 min"


def test_tenths_of_an_hour_are_not_minutes() -> None:
    assert wrong("cylinder_duration", duration="140 min")["tenths of an hour read as minutes"] == (
        "100/3 min (about 33.3 min)"
    )


def test_less_than_the_reserve_is_refused() -> None:
    assert faults("cylinder_contents", pressure="100 psi", factor="0.16 L/psi", reserve="200 psi")


def test_psi_and_bar_do_not_mix() -> None:
    assert faults("cylinder_contents", pressure="100 bar", factor="0.16 L/psi")


def test_no_flow_is_refused() -> None:
    assert faults("cylinder_duration", contents="100 L", flow="0 L/min")
