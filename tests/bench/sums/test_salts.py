"""Salts, bases and units."""

import pytest

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    ("salt_base", {"salt_mass": "325 mg", "base_mass": "65 mg"}, "percent", "20 %"),
    ("salt_base", {"salt_mass": "3 mg", "base_mass": "2.5 mg"}, "salt mass per base mass", "6/5 ratio"),
    (
        "salt_base",
        {"salt_molar_mass": "576.7 g/mol", "base_molar_mass": "239.31 g/mol", "base_per_salt": "2"},
        "fraction of base",
        "47862/57670 fraction",
    ),
    ("salt_base", {"potency": "600 mcg base per mg salt", "salt_mass": "500 mg"}, "mass of base", "300 mg"),
    ("salt_base", {"salt_mass": "3 mg", "base_mass": "2.5 mg", "base_wanted": "5 mg"}, "", "6 mg"),
    (
        "salt_base",
        {"base_mass": "100 mg", "salt_molar_mass": "200 g/mol", "base_molar_mass": "100 g/mol"},
        "mass of salt",
        "200 mg",
    ),
    ("unit_dose_strength", {"mass": "1.25 mg", "volume": "0.5 mL"}, "strength", "2.5 mg/mL"),
    ("unit_dose_strength", {"mass": "1.25 mg", "volume": "0.5 mL"}, "strength in percent", "1/4 %"),
    ("units_mass", {"units": "1000000 units", "iu_per_mg": "12500"}, "mass of salt", "80 mg"),
    ("units_mass", {"base_mass": "150 mg", "mg_per_million_iu": "30"}, "", "5000000 IU"),
    ("units_mass", {"units": "2000000", "mg_per_million_iu": "80 mg"}, "", "160 mg"),
    ("units_mass", {"salt_mass": "80 mg", "units": "1000000 units"}, "", "12500 units/mg"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_salt_taken_for_base_is_the_first_wrong_way() -> None:
    given = {"salt_mass": "3 mg", "salt_molar_mass": "576.7", "base_molar_mass": "239.31", "base_per_salt": "2"}
    ways = wrong("salt_base", **given)
    assert next(iter(ways.items())) == ("salt taken as base", "3 mg")


def test_label_salt_uses_the_molar_masses_of_its_name() -> None:
    given = {"mass": "2.5 mg", "volume": "3 mL", "salt_mass": "3 mg"}
    worked = work("unit_dose_strength", given, drug="albuterol sulfate")
    assert worked.lines[0].startswith("molar masses: albuterol sulfate 576.7 g/mol")
    assert is_answer(worked, "71793/28835 mg")


def test_label_salt_of_an_unknown_name_is_refused() -> None:
    assert faults("unit_dose_strength", mass="1 mg", volume="3 mL", salt_mass="1.2 mg")


def test_units_come_back() -> None:
    assert is_answer(work("units_mass", {"potency": "12500 units/mg", "salt_mass": "80 mg"}), "1000000 units")


@pytest.mark.parametrize("text", ["600 mcg", "600 mcg per 0 mg", "much per mg"])
def test_what_is_no_relation_is_refused(text: str) -> None:
    assert [field for field, _ in faults("salt_base", potency=text, base_wanted="1 mg")] == ["potency"]
