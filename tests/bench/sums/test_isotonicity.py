"""What to add to make a solution isotonic."""

import pytest

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    (
        "isotonicity_e_value",
        {"volume": "30 mL", "drug_a": "1 %, E 0.23", "isotonic": "0.9 %"},
        "sodium chloride to add",
        "0.201 g",
    ),
    (
        "isotonicity_e_value",
        {"volume": "30 mL", "strength": "1 %", "e_value": "0.23", "isotonic": "0.9 %"},
        "sodium chloride to add",
        "201 mg",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


FREEZING = {"nacl_depression": "0.576 deg per 1 %", "target": "0.52 deg"}


def test_working_by_equivalents() -> None:
    given = {"volume": "30 mL", "drug_a": "0.3 g, E 0.2", "isotonic": "0.9 %"}
    worked = work("isotonicity_e_value", given)
    assert worked.lines == (
        "0.9 % of 30 mL = 0.27 g of sodium chloride in all",
        "0.3 g × E 0.2 = 0.06 g",
        "0.27 g − 0.06 g = 0.21 g of sodium chloride",
    )
    assert wrong("isotonicity_e_value", **given) == {"drugs left out": "0.27 g"}
    assert wrong("isotonicity_e_value", **given | {"drug_a": "0.1 g, E 0.2"})["E left out"] == "0.17 g"


def test_another_agent_and_saline() -> None:
    given = {"final_volume": "100 mL", "mass": "1 g", "e_value": "0.4", "isotonic": "0.9 %", "agent_e": "0.5"}
    assert is_answer(work("isotonicity_e_value", given), "1 g")
    worked = work("isotonicity_e_value", given, asked="sodium chloride to add")
    assert is_answer(worked, "0.5 g")
    saline = {"volume": "30 mL", "strength": "1 %", "depression": "0.14 deg", "saline": "0.9 %", **FREEZING}
    assert work("isotonicity_freezing_point", saline).results[0].name == "saline"


def test_already_more_than_isotonic_is_refused() -> None:
    ((field, rule),) = faults("isotonicity_e_value", volume="10 mL", drug_a="1 g, E 0.5", isotonic="0.9 %")
    assert field == "isotonic"
    assert "nothing to add" in rule


def test_all_faults_come_together() -> None:
    given = {"drug_a": "1 g", "drug_b": "1 %, 0.2", "drug_c": "much, E 0.2", "strength": "1 %"}
    found = [field for field, _ in faults("isotonicity_e_value", volume="10 mL", isotonic="0.9 %", **given)]
    assert found == ["drug_a", "drug_b", "drug_c", "e_value"]
    assert [field for field, _ in faults("isotonicity_freezing_point", volume="10 mL")] == ["target", "nacl_depression"]


def test_without_a_volume_the_answer_is_a_percent() -> None:
    assert is_answer(work("isotonicity_e_value", {"drug_a": "1 %, E 0.23", "isotonic": "0.9 %"}), "0.67 %")
    worked = work("isotonicity_freezing_point", {"strength": "1 %", "depression": "0.122 deg", **FREEZING})
    assert is_answer(worked, "199/288 %")


def test_no_drug_is_refused() -> None:
    assert faults("isotonicity_e_value", volume="10 mL", isotonic="0.9 %") == [("drug_a", "a drug is needed")]
