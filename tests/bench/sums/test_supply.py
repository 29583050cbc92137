"""How long a supply lasts."""

import pytest

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    ("supply_count", {"total": "120 mL", "dose": "5 mL"}, "", "24 doses"),
    ("supply_count", {"total": "20 mL", "dose": "2.5 mg", "strength": "0.5 %"}, "", "40 doses"),
    ("supply_count", {"doses_per_day": "4", "days": "30"}, "", "120 doses"),
    ("supply_count", {"doses_per_day": "4", "days": "30"}, "", "120 vials"),
    ("supply_count", {"total": "30 tablets", "dose": "2 tablets"}, "", "15 doses"),
    ("supply_count", {"total": "10 mL", "dose": "0.5 mL"}, "", "20 doses"),
    ("supply_days", {"total": "60 tablets", "per_day": "3 tablets"}, "", "20 days"),
    ("supply_days", {"total": "120 mL", "dose": "5 mL", "doses_per_day": "3"}, "", "8 days"),
    ("supply_days", {"total": "20 mL", "dose": "2.5 mg", "strength": "0.5 %", "doses_per_day": "4"}, "", "10 days"),
    ("supply_days", {"total": "200 puffs", "dose": "2 puffs", "doses_per_day": "4"}, "", "25 days"),
    ("supply_days", {"total": "5 mL", "drops_per_mL": "20", "per_day": "4 drops"}, "", "25 days"),
    ("supply_days", {"total": "5 mL", "drops_per_mL": "20", "dose": "1 drop", "doses_per_day": "4"}, "", "25 days"),
    ("supply_days", {"total": "10 mL", "strength": "100 units/mL", "per_day": "35 units"}, "", "200/7 days"),
    ("supply_days", {"total": "60", "per_day": "4"}, "", "15 days"),
    ("supply_days", {"total": "60 vials", "per_day": "4 vials"}, "", "15 days"),
    ("supply_volume", {"dose": "250 mg", "stock": "125 mg per 5 mL", "doses_per_day": "3", "days": "10"}, "", "300 mL"),
    ("supply_volume", {"per_day": "15 mL", "days": "10"}, "", "150 mL"),
    ("supply_volume", {"dose": "0.5 mL", "interval": "6 h", "days": "30"}, "", "60 mL"),
    ("supply_volume", {"dose": "5 mL", "doses": "21"}, "", "105 mL"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_a_part_of_a_day_is_not_a_day() -> None:
    assert wrong("supply_days", total="1000 units", per_day="35 units") == {"rounded up": "29 days"}
    assert wrong("supply_days", total="120 mL", dose="5 mL", doses_per_day="3")["one dose a day"] == "24 days"


def test_mL_do_not_divide_by_mg_without_a_strength() -> None:
    assert faults("supply_count", total="20 mL", dose="2.5 mg")


def test_count_words_are_counts() -> None:
    assert is_answer(work("supply_days", {"total": "30 capsules", "per_day": "2 capsules/day"}), "15 days")


def test_packs() -> None:
    given = {"dose": "3 mL", "doses_per_day": "4", "days": "10", "total": "60 mL"}
    assert is_answer(work("supply_volume", given, asked="number of packs"), "2 packs")


def test_used_in_a_day_with_or_without_the_words() -> None:
    for per_day in ("4 puffs", "4 puffs/day"):
        assert is_answer(work("supply_days", {"total": "200 puffs", "per_day": per_day}), "50 days")
