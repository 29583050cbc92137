"""Two strengths mixed to one between."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from drawndose.quantities import Quantity
from tests.bench.sums.asking import Row, faults, label, outcome, wrong

ROWS: list[Row] = [
    (
        "alligation",
        {"strong": "95 %", "weak": "50 %", "final_strength": "70 %", "final_volume": "1000 mL"},
        "volume of 95 %",
        "4000/9 mL",
    ),
    (
        "alligation",
        {"strong": "95 %", "weak": "50 %", "final_strength": "70 %", "final_volume": "1000 mL"},
        "volume of the 50 % solution",
        "5000/9 mL",
    ),
    (
        "alligation",
        {"strong": "20 %", "weak": "5 %", "final_strength": "10 %", "final_mass": "60 g"},
        "mass of strong",
        "20 g",
    ),
    (
        "alligation",
        {"strong": "20 %", "weak": "5 %", "final_strength": "10 %", "final_mass": "60 g"},
        "mass of weak",
        "40 g",
    ),
    (
        "alligation",
        {"strong": "1:10", "weak": "0 %", "final_strength": "1:50", "final_volume": "500 mL"},
        "volume of stock",
        "100 mL",
    ),
    (
        "alligation",
        {"strong": "10 mg/mL", "weak": "2 mg/mL", "final_strength": "5 mg/mL", "final_volume": "80 mL"},
        "volume of strong",
        "30 mL",
    ),
    (
        "alligation_mass",
        {"strong": "20 %", "weak": "5 %", "weak_mass": "100 g", "final_strength": "10 %"},
        "mass of strong",
        "50 g",
    ),
    (
        "alligation_mass",
        {"strong": "10 %", "strong_volume": "100 mL", "weak": "0 %", "final_strength": "4 %"},
        "volume of diluent",
        "150 mL",
    ),
    (
        "alligation_mass",
        {"strong": "10 %", "strong_mass": "100 g", "weak": "0 %", "final_strength": "4 %"},
        "final mass",
        "250 g",
    ),
    (
        "alligation_ratio",
        {"strong": "10 %", "weak": "4 %", "final_strength": "8 %"},
        "parts of weak per 1 part of strong",
        "1/2 parts",
    ),
    ("alligation_ratio", {"strong": "95 %", "weak": "50 %", "final_strength": "70 %"}, "", "4/5 ratio"),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_parts_are_shown_by_their_figures() -> None:
    worked = work("alligation_ratio", {"strong": "10 %", "weak": "4 %", "final_strength": "8 %"})
    assert worked.lines[:2] == (
        "parts of the stronger: 8 % − 4 % = 4 parts",
        "parts of the weaker: 10 % − 8 % = 2 parts",
    )


def test_parts_the_wrong_way_round() -> None:
    ways = wrong("alligation", strong="1 %", weak="0 %", final_strength="0.75 %", final_mass="454 g")
    assert ways == {"parts the wrong way round": "340.5 g"}


def test_a_strength_that_is_not_between_is_refused() -> None:
    for final in ("12 %", "3 %"):
        assert faults("alligation", strong="10 %", weak="4 %", final_strength=final, final_mass="100 g")


def test_another_wish_than_the_kind_can_answer_falls_back_to_what_it_can() -> None:
    worked = work("alligation", {"strong": "10 %", "weak": "4 %", "final_strength": "8 %"}, asked="parts of weak")
    assert [one.name for one in worked.results] == ["weak_for_one", "strong_for_one"]


@given(st.integers(0, 99), st.integers(1, 99), st.integers(1, 99))
def test_the_two_parts_make_the_whole(weak: int, up: int, more: int) -> None:
    if weak + up + more > 100:
        return
    texts = {"strong": f"{weak + up + more} %", "weak": f"{weak} %", "final_strength": f"{weak + up} %"}
    found = {one.name: one.value for one in work("alligation", {**texts, "final_volume": "60 mL"}).results}
    strong, weaker = found["need_strong_volume"], found["need_weak_volume"]
    assert isinstance(strong, Quantity)
    assert isinstance(weaker, Quantity)
    assert strong.value + weaker.value == 60
    assert strong.value * (weak + up + more) + weaker.value * weak == 60 * (weak + up)
