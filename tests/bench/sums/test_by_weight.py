"""Doses by weight."""

import pytest

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    ("weight_based_dose", {"dose_rate": "0.15 mg/kg", "weight": "20 kg"}, "", "3 mg"),
    ("weight_based_dose", {"dose_rate": "50 mg/kg/day", "weight": "20 kg", "doses_per_day": "4"}, "", "250 mg"),
    ("weight_based_dose", {"dose_rate": "50 mg/kg/day", "weight": "20 kg"}, "daily dose", "1000 mg"),
    ("weight_based_dose", {"dose_rate": "50 mg/kg/day", "weight": "20 kg", "interval": "8 h"}, "", "1000/3 mg"),
    ("weight_based_dose", {"dose_rate": "10 mg/kg/dose", "weight": "44 lb", "lb_per_kg": "2.2"}, "", "200 mg"),
    (
        "weight_based_dose",
        {"dose_rate": "10 mg/kg", "weight": "44 lb", "lb_per_kg": "2.2", "doses_per_day": "3"},
        "daily dose",
        "600 mg",
    ),
    ("weight_based_dose", {"dose_rate": "0.1 mL/kg", "weight": "20 kg"}, "", "2 mL"),
    ("weight_based_dose", {"dose_rate": "25000 units/kg", "weight": "10 kg"}, "", "250000 units"),
    ("weight_based_dose", {"dose_rate": "5 mg per kg per day", "weight": "12 kg", "doses_per_day": "2"}, "", "30 mg"),
    (
        "weight_based_dose",
        {"dose_rate": "0.01 mg/kg", "weight": "15 kg", "minimum": "0.1 mg", "maximum": "0.5 mg"},
        "",
        "0.15 mg",
    ),
    ("weight_based_dose", {"dose_rate": "3 mcg/kg/min", "weight": "70 kg"}, "dose rate", "210 mcg/min"),
    ("weight_based_max", {"dose_rate": "0.15 mg/kg", "weight": "50 kg", "maximum": "5 mg"}, "", "5 mg"),
    (
        "weight_based_max",
        {"dose_rate": "90 mg/kg/day", "weight": "50 kg", "maximum": "4 g/day", "doses_per_day": "2"},
        "",
        "2 g",
    ),
    ("weight_based_min", {"dose_rate": "0.15 mg/kg", "weight": "30 kg", "minimum": "2.5 mg"}, "", "4.5 mg"),
    (
        "weight_based_min",
        {"dose_rate": "0.15 mg/kg", "weight": "10 kg", "minimum": "2.5 mg", "strength": "0.5 %"},
        "volume",
        "0.5 mL",
    ),
    ("weight_based_volume", {"dose_rate": "0.15 mg/kg", "weight": "20 kg", "strength": "0.5 %"}, "", "0.6 mL"),
    ("weight_based_volume", {"dose_rate": "0.03 mL/kg", "weight": "10 kg"}, "", "0.3 mL"),
    (
        "weight_based_volume",
        {"dose_rate": "40 mg/kg/day", "weight": "15 kg", "doses_per_day": "3", "stock": "250 mg per 5 mL"},
        "",
        "4 mL",
    ),
    (
        "weight_based_volume",
        {"dose_rate": "0.15 mg/kg", "weight": "20 kg", "strength": "0.5 %", "maximum": "2.5 mg"},
        "",
        "0.5 mL",
    ),
    ("continuous_mg_per_h", {"dose_rate": "0.3 mg/kg/h", "weight": "20 kg"}, "", "6 mg/h"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_working_names_the_limits() -> None:
    given = {"dose_rate": "0.15 mg/kg", "weight": "10 kg", "minimum": "2.5 mg"}
    assert work("weight_based_min", given).lines == ("0.15 mg per kg × 10 kg = 1.5 mg", "not less than 2.5 mg: 2.5 mg")


def test_wrong_ways() -> None:
    ways = wrong("weight_based_dose", dose_rate="50 mg/kg/day", weight="44 lb", lb_per_kg="2.2", doses_per_day="4")
    assert ways["pounds taken for kg"] == "550 mg"
    assert ways["the day's dose each time"] == "1,000 mg"
    assert (
        wrong("weight_based_min", dose_rate="0.15 mg/kg", weight="10 kg", minimum="2.5 mg")["limit left out"]
        == "1.5 mg"
    )


def test_pounds_need_their_figure() -> None:
    assert faults("weight_based_dose", dose_rate="1 mg/kg", weight="44 lb")


def test_pounds_and_ounces_and_grams() -> None:
    ounces = work("weight_based_dose", {"dose_rate": "1 mg/kg", "weight": "4 lb 6.4 oz", "lb_per_kg": "2.2"})
    assert is_answer(ounces, "2 mg")
    assert is_answer(work("weight_based_dose", {"dose_rate": "1 mg/kg", "weight": "900 g"}), "0.9 mg")


@pytest.mark.parametrize("weight", ["0 kg", "5 mL", "heavy"])
def test_what_is_no_weight_is_refused(weight: str) -> None:
    assert [field for field, _ in faults("weight_based_dose", dose_rate="1 mg/kg", weight=weight)] == ["weight"]


@pytest.mark.parametrize("rate", ["5 mg", "5 mg/mL", "15 mg/kg every 6 h", "1 mL per 0 kg", "fast"])
def test_what_is_no_dose_rate_is_refused(rate: str) -> None:
    assert [field for field, _ in faults("weight_based_dose", dose_rate=rate, weight="10 kg")] == ["dose_rate"]


def test_a_rate_over_several_units_is_divided() -> None:
    worked = work("weight_based_dose", {"dose_rate": "10 mg per 2 kg/day", "weight": "10 kg", "doses_per_day": "2"})
    assert is_answer(worked, "25 mg")
