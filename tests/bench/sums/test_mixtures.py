"""Lots mixed, and two drugs in one cup."""

import pytest

from drawndose.bench.sums import work
from drawndose.bench.verification import Status
from tests.bench.sums.asking import Row, faults, is_answer, label, outcome, wrong

ROWS: list[Row] = [
    ("mixture_percent", {"lots": "100 mL of 70 %, 200 mL of 40 %, 300 mL of 20 %"}, "", "35 %"),
    ("mixture_percent", {"lots": "100 mL of 10 % and 100 mL of 20 %"}, "", "15 %"),
    ("mixture_percent", {"lots": "100 g of 10 %, 400 g of base"}, "", "2 %"),
    ("mixture_percent", {"lots": "100 mL of 1:10, 100 mL of 1:50"}, "", "6 %"),
    (
        "mixture_strength",
        {"volume_a": "10 mL", "strength_a": "1 %", "volume_b": "5 mL"},
        "strength of drug A in the mixture",
        "20/3 mg/mL",
    ),
    (
        "mixture_strength",
        {"volume_a": "10 mL", "strength_a": "1 %", "volume_b": "5 mL", "strength_b": "2 %"},
        "strength of drug A in the mixture",
        "20/3 mg/mL",
    ),
    (
        "mixture_strength",
        {"volume_a": "10 mL", "strength_a": "1 %", "volume_b": "5 mL"},
        "strength of drug A in the mixture",
        "2/3 %",
    ),
]


@pytest.mark.parametrize("row", ROWS, ids=label)
def test_is_worked(row: Row) -> None:
    status, came = outcome(row)
    assert status is Status.PASSED, came


def test_strengths_are_not_averaged_without_their_amounts() -> None:
    given = {"lots": "200 g of 10 %, 50 g of 20 %"}
    assert wrong("mixture_percent", **given) == {"plain mean": "15 %"}
    assert wrong("mixture_percent", lots="50 g of 10 %, 50 g of 20 %") == {}


def test_a_lot_by_amount_in_a_volume() -> None:
    worked = work("mixture_percent", {"lots": "10 mL of 5 mg/mL, 10 mL of water"})
    assert is_answer(worked, "2.5 mg/mL")


def test_lettered_lots() -> None:
    given = {"mass_a": "10 g", "strength_a": "10 %", "mass_b": "30 g"}
    assert is_answer(work("mixture_percent", given), "2.5 %")
    assert is_answer(work("mixture_strength", given), "2.5 %")


@pytest.mark.parametrize(
    ("lots", "field"),
    [
        ("200 g", "lots"),
        ("200 mg/mL of 10 %, 50 g of 20 %", "lots"),
        ("200 g of 10 %, 50 g of strong", "lots"),
        ("200 g of 10 %", "mixture_percent"),
        ("200 g of 10 %, 50 mL of 20 %", "mixture_percent"),
        ("200 g of water, 50 g of base", "mixture_percent"),
    ],
)
def test_what_are_no_lots_is_refused(lots: str, field: str) -> None:
    assert faults("mixture_percent", lots=lots)[0][0] == field


def test_a_strength_without_an_amount_is_refused() -> None:
    assert faults("mixture_strength", strength_a="1 %", volume_b="5 mL", volume_c="5 mL")[0] == (
        "strength_a",
        "a strength of no amount",
    )
