"""Parts to parts."""

import pytest

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    ("ratio_parts", {"ratio": "1:3", "total_volume": "200 mL"}, "volume of the drug part", "50 mL"),
    (
        "ratio_parts",
        {"ratio": "1:4, read as 1 part in 4 of the total", "total_volume": "200 mL"},
        "volume of the drug part",
        "50 mL",
    ),
    ("ratio_parts", {"ratio": "2:3:5", "total_mass": "500 g"}, "", "100 g"),
    ("ratio_parts", {"ratio": "1:4", "total_volume": "200 mL"}, "volume of the diluent part", "160 mL"),
    ("solubility_volume", {"mass": "2 g", "parts_water": "1.5"}, "", "3 mL"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_the_other_reading_is_the_wrong_way() -> None:
    assert wrong("ratio_parts", ratio="1:4", total_volume="200 mL") == {"the other reading of the ratio": "50 mL"}
    assert wrong("ratio_parts", ratio="1 in 4", total_volume="200 mL") == {"the other reading of the ratio": "40 mL"}
    assert wrong("ratio_parts", ratio="1:2:2", total_mass="50 g") == {}


def test_from_the_first_part() -> None:
    worked = work("ratio_parts", {"ratio": "1:4", "part": "10 mL"})
    assert is_answer(worked, "40 mL")
    assert is_answer(work("ratio_parts", {"ratio": "1:4", "part": "10 mL"}, asked="total volume"), "50 mL")


@pytest.mark.parametrize("ratio", ["many", "0:4", "5 in 4"])
def test_what_is_no_ratio_is_refused(ratio: str) -> None:
    assert [field for field, _ in faults("ratio_parts", ratio=ratio, total_volume="10 mL")] == ["ratio"]


def test_a_ratio_alone_is_not_enough() -> None:
    assert faults("ratio_parts", ratio="1:4")[0][0] == "ratio_parts"
    assert faults("ratio_parts", total_volume="10 mL")[0][0] == "ratio_parts"


def test_what_dissolves() -> None:
    assert is_answer(work("solubility_volume", {"volume": "7.5 mL", "parts_water": "2.5"}), "3 g")
