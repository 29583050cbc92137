"""One value in its other forms."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.bench.conversion import convert, counted_otherwise
from drawndose.bench.sums.quantity_words import tell
from drawndose.quantities import Refused, show
from drawndose.reference import load


def forms(text: str, wanted: str = "") -> dict[str, str]:
    return {form.name: tell(form.value) for form in convert(text, wanted).forms}


def test_a_strength_in_every_form() -> None:
    assert forms("0.5 %") == {
        "percent w/v": "0.5 %",
        "mg per mL": "5 mg per mL",
        "mcg per mL": "5,000 mcg per mL",
        "g per L": "5 g per L",
        "ratio 1:x": "200 parts",
    }
    assert convert("0.5 %").line == "0.5 % = 0.5 g in 100 mL = 5 mg per mL"
    assert "ratio 1:x" not in forms("0 %")


def test_shares_by_weight_and_by_volume() -> None:
    assert forms("25 % w/w") == {"percent w/w": "25 %", "ratio 1:x": "4 parts"}
    assert forms("70 % v/v", "%") == {"percent v/v": "70 %"}
    assert forms("0 % w/w") == {"percent w/w": "0 %"}
    assert forms("1 g in 4 g") == {"percent w/w": "25 %", "ratio 1:x": "4 parts"}


def test_amounts_in_other_units() -> None:
    assert forms("2.5 mg", "mcg") == {"mcg": "2,500 mcg"}
    assert forms("2.5 mg", "micrograms") == {"micrograms": "2,500 mcg"}
    assert forms("90 min")["h"] == "1.5 h"
    assert forms("100 units") == {"units": "100 units"}
    assert forms("0.15 mg/kg") == {"mg/kg": "0.15 mg per kg"}
    assert forms("100 units/mL") == {"as it is, in 1 mL": "100 units per mL"}
    assert forms("1 mL/h", "mL/min") == {"mL/min": "1/60 mL per min (about 0.0167 mL per min)"}


@pytest.mark.parametrize(
    ("text", "wanted", "field"),
    [
        ("5 mg", "mL", "to"),
        ("5 mg", "%", "to"),
        ("0 %", "ratio", "to"),
        ("100 units/mL", "mg/mL", "to"),
        ("12 % w/w", "mg/mL", "to"),
        ("5 mg", "cc", "to"),
        ("much", "", "value"),
        ("200 %", "", "value"),
        ("5 mg/cow", "", "value"),
    ],
)
def test_what_does_not_convert_is_refused(text: str, wanted: str, field: str) -> None:
    with pytest.raises(Refused) as refusal:
        convert(text, wanted)
    assert refusal.value.faults[0].field == field


@given(st.integers(1, 10**9), st.integers(1, 10**4))
def test_there_and_back(n: int, d: int) -> None:
    there = convert(f"{n}/{d} mg", "mcg").forms[0].value
    back = convert(f"{there.value} mcg", "mg").forms[0].value
    assert back.value * d == n


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("3 mg albuterol sulfate", [("albuterol", "2.5 mg")]),
        ("2.5 mg of salbutamol", [("albuterol sulfate", "3 mg")]),
        (
            "1 million units colistimethate",
            [
                ("colistin base activity", "30 mg"),
                ("colistin base activity", "33 mg"),
                ("colistimethate sodium", "80 mg"),
            ],
        ),
    ],
)
def test_a_named_moiety_is_counted_otherwise_by_every_stated_ratio(text: str, expected: list[tuple[str, str]]) -> None:
    made = counted_otherwise(text, catalogue=load())
    assert made is not None
    assert [(form.name.partition(",")[0], show(form.value)) for form in made.forms] == expected


def test_a_moiety_without_a_stated_ratio_is_refused_and_a_bare_amount_is_none_of_its_business() -> None:
    with pytest.raises(Refused, match="no ratio between"):
        counted_otherwise("5 mg budesonide", catalogue=load())
    assert counted_otherwise("5 mg", catalogue=load()) is None
