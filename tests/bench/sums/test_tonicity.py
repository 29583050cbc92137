"""Tonicity."""

import pytest

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    (
        "e_value",
        {"molar_mass": "288 g/mol", "i_factor": "2.6", "nacl_molar_mass": "58.5 g/mol", "nacl_i": "1.8"},
        "",
        "169/576",
    ),
    ("freezing_point", {"molality": "0.1 mol/kg", "kf": "1.86 deg per molal"}, "", "0.186 degC"),
    ("i_factor", {"ions": "3", "dissociation": "80 %"}, "", "13/5"),
    ("i_factor", {"ions": "3", "dissociation": "0.8"}, "", "2.6"),
    ("isotonic_percent", {"e_value": "0.18", "isotonic": "0.9 %"}, "", "5 %"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_dissociation_is_of_the_ions_beyond_one() -> None:
    ways = wrong("i_factor", ions="2", dissociation="90 %")
    assert ways == {"ions counted whole": "2", "ions not lessened by one": "2.8"}


def test_lowering_from_percents_and_from_masses() -> None:
    given = {"strength": "2 %", "depression": "0.11 deg"}
    assert is_answer(work("freezing_point", given), "0.22 degC")
    masses = {"mass": "5.85 g", "diluent_mass": "1 kg", "molar_mass": "58.5 g/mol", "kf": "1.86", "i_factor": "2"}
    assert is_answer(work("freezing_point", masses), "0.372 degC")
    assert is_answer(work("freezing_point", {"molarity": "0.1 mol/L", "kf": "1.86 deg"}), "0.186 degC")


def test_other_ways_to_the_same_things() -> None:
    assert is_answer(work("e_value", {"depression": "0.12 deg", "nacl_depression": "0.576 deg"}), "5/24")
    assert is_answer(work("isotonic_percent", {"target": "0.52 deg", "depression": "0.13 deg"}), "4 %")
    assert is_answer(work("i_factor", {"i_factor": "1.8", "ions": "2"}), "80 %")


def test_what_is_no_temperature_difference_is_refused() -> None:
    assert [field for field, _ in faults("freezing_point", kf="cold", molality="1 molal")] == ["kf"]
