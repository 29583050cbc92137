"""Readings one by one, as a balance types them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.science.import_readings import read_readings
from drawndose.science.reading_list import Awaited, Listed, add_reading, awaited, take_back

TWO, THREE = ("without", "with"), ("without", "with", "again")


def typed(*readings: str, columns: tuple[str, ...], text: str = "", unit: str = "g") -> Listed:
    found = Listed(text=text)
    for one in readings:
        found = add_reading(found, one, columns=columns, unit=unit)
    return found


def test_net_masses_stand_one_in_a_row() -> None:
    assert typed("0.51", " 0.49 g ", columns=("net",)) == Listed(text="0.51\n0.49 g")


def test_a_draw_joins_the_list_when_it_is_whole() -> None:
    found = typed("12.1", "12.6", "12.1", "12.2", columns=THREE)
    assert found == Listed(text="12.1; 12.6; 12.1", begun=("12.2",))
    assert awaited(found, columns=THREE) == Awaited(draw=2, column="with")


@pytest.mark.parametrize(
    ("text", "row"),
    [
        ("empty (g),full (g)\n12.1,12.6", "12.2, 12.7"),
        ("empty\tfull\n12.1\t12.6\n", "12.2\t 12.7"),
        ("no;empty;date;full", "; 12.2; ; 12.7"),
        ("12.1, 12.6", "12.2, 12.7"),
    ],
)
def test_a_row_is_written_as_the_list_above_it_is(text: str, row: str) -> None:
    found = typed("12.2", "12.7", columns=TWO, text=text)
    assert found.text == f"{text.strip()}\n{row}"
    assert read_readings(found.text, columns=TWO, unit="g")[-1].readings["with"].value.numerator == 127


def test_headings_say_how_many_readings_a_draw_has() -> None:
    found = typed("12.2", columns=("net",), text="empty;full")
    assert (found.begun, awaited(found, columns=("net",))) == (("12.2",), Awaited(draw=1, column="with"))


@pytest.mark.parametrize("reading", ["0,512", "-0.5", "half", "", "12.1; 12.6", "0.5 mL", "net"])
def test_what_is_no_mass_is_refused_and_adds_nothing(reading: str) -> None:
    with pytest.raises(Refused) as refusal:
        typed(reading, columns=TWO)
    assert {fault.field for fault in refusal.value.faults} == {"reading"}


def test_a_reading_without_a_unit_needs_one_from_somewhere() -> None:
    with pytest.raises(Refused, match="the unit is not said"):
        typed("0.5", columns=TWO, unit="")


def test_headings_that_are_not_known_are_refused() -> None:
    with pytest.raises(Refused, match="the heading is not known"):
        typed("0.5", columns=TWO, text="colour;weight")


def test_taking_back_undoes_the_last_reading_only() -> None:
    whole = typed("12.1", "12.6", "12.2", columns=TWO)
    first = take_back(whole, columns=TWO)
    assert first == Listed(text="12.1; 12.6")
    second = take_back(first, columns=TWO)
    assert second == Listed(begun=("12.1",))
    assert take_back(take_back(second, columns=TWO), columns=TWO) == Listed()
    assert take_back(Listed(text="0.51\n0.49"), columns=("net",)) == Listed(text="0.51")
    heading = Listed(text="empty;full")
    assert take_back(heading, columns=TWO) == heading
    assert take_back(Listed(text="no;net\n1;0.5"), columns=("net",)) == Listed(text="no;net")


@given(st.lists(st.integers(1, 10**6), min_size=1, max_size=12), st.sampled_from([("net",), TWO, THREE]))
def test_as_many_takings_back_as_readings_leave_nothing(steps: list[int], columns: tuple[str, ...]) -> None:
    found = typed(*(f"{one / 10_000:.4f}" for one in steps), columns=columns)
    assert len(found.text.splitlines()) == len(steps) // len(columns)
    assert len(found.begun) == len(steps) % len(columns)
    assert awaited(found, columns=columns).draw == len(steps) // len(columns) + 1
    for _ in steps:
        found = take_back(found, columns=columns)
    assert found == Listed()
