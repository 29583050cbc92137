"""Settings of a judgement out of the boxes that people fill."""

from math import inf

import pytest

from drawndose.quantities import Refused
from drawndose.science.drawing import Conditions, Operator, Reading
from drawndose.science.settings import read_conditions


def test_empty_boxes_are_the_defaults() -> None:
    assert read_conditions() == Conditions()
    assert read_conditions(spread=" ", draws="  ", away=" ") == Conditions()


def test_every_box_is_read() -> None:
    found = read_conditions(
        half_line=True, two_marks=True, spread="2.5 %", draws="12", holds_reading=True, away="3 degC"
    )
    assert found == Conditions(
        reading=Reading.HALF_LINE,
        readings=2,
        away_degC=3.0,
        operator=Operator(cv=0.025, nu=11.0, holds_reading=True),
    )


def test_a_spread_without_weighed_draws_is_a_setting_known_without_doubt() -> None:
    assert read_conditions(spread="3 %").operator == Operator(cv=0.03, nu=inf)


@pytest.mark.parametrize(
    ("boxes", "at"),
    [
        ({"spread": "0 %"}, ["spread"]),
        ({"spread": "51 %"}, ["spread"]),
        ({"spread": "3"}, ["spread"]),
        ({"spread": "3 mL"}, ["spread"]),
        ({"spread": "a little"}, ["spread"]),
        ({"spread": "3 %", "draws": "1"}, ["draws"]),
        ({"spread": "3 %", "draws": "10001.5"}, ["draws"]),
        ({"spread": "3 %", "draws": "10002"}, ["draws"]),
        ({"draws": "10"}, ["spread"]),
        ({"holds_reading": True}, ["spread"]),
        ({"away": "15.1"}, ["away"]),
        ({"away": "five"}, ["away"]),
        ({"away": "5 K"}, ["away"]),
        ({"spread": "much", "draws": "no", "away": "-1"}, ["spread", "draws", "away"]),
    ],
)
def test_what_cannot_be_read_is_named_at_its_own_box(boxes: dict[str, object], at: list[str]) -> None:
    with pytest.raises(Refused) as refusal:
        read_conditions(**boxes)  # type: ignore[arg-type]
    assert [fault.field for fault in refusal.value.faults] == at


def test_the_edges_are_inside() -> None:
    found = read_conditions(spread="50 %", draws="10001", away="15")
    assert (found.operator.cv, found.operator.nu, found.away_degC) == (0.5, 10_000.0, 15.0)  # type: ignore[union-attr]
    assert read_conditions(away="0").away_degC == 0.0
