"""One volume on one instrument: its line or its two neighbours, its errors, and the readings."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose import load
from drawndose.bench.one_volume import by_difference, misreadings, one_volume
from drawndose.quantities import Quantity, Refused
from drawndose.reference import Instrument, Kind

BOOK = load()
SYRINGE = BOOK.instrument("syringe-3")
DROPPER = BOOK.instrument("dropper-0.25-0.5")
PER_ML = Quantity.of_text(5, "mg/mL", "albuterol")


def ml(text: str) -> Fraction:
    return Fraction(text)


def test_a_volume_on_a_line_is_that_line_with_its_error_as_volume_percent_and_dose() -> None:
    found = one_volume(ml("0.4"), SYRINGE, PER_ML)
    (line,) = found.lines
    assert found.on_a_line
    assert (line.volume, line.deviation) == (ml("0.4"), 0)
    assert (line.error, line.share) == (ml("0.053"), ml("0.1325"))
    assert line.gives is not None
    assert line.error_amount is not None
    assert (line.gives.to("mg").value, line.error_amount.to("mg").value) == (2, ml("0.265"))
    assert line.reading.endswith("on the 0.4 mL line, the fourth line past 0")


def test_a_volume_off_the_lines_is_its_two_neighbours_and_never_rounded() -> None:
    found = one_volume(ml("0.35"), SYRINGE)
    assert not found.on_a_line
    assert [(line.volume, line.deviation, line.gives) for line in found.lines] == [
        (ml("0.3"), Fraction(-1, 7), None),
        (ml("0.4"), Fraction(1, 7), None),
    ]


def test_below_the_first_mark_only_the_mark_is_offered() -> None:
    assert [line.volume for line in one_volume(ml("0.1"), DROPPER).lines] == [ml("0.25")]


@pytest.mark.parametrize("volume", ["0", "3.1", "-1"])
def test_off_the_scale_is_refused(volume: str) -> None:
    with pytest.raises(Refused, match="measures more than 0 and at most 3 mL in one fill"):
        one_volume(ml(volume), SYRINGE)


def test_the_smallest_volumes_are_those_of_the_rule() -> None:
    assert one_volume(ml("1"), SYRINGE).smallest == ((ml("0.05"), ml("1.5")), (ml("0.1"), ml("0.5625")))
    assert one_volume(ml("0.25"), DROPPER).smallest == ((ml("0.05"), None), (ml("0.1"), None))


def test_a_reading_is_off_by_half_a_step_or_a_quarter_and_twice_that_between_two_marks() -> None:
    found = {(one.how, one.readings): one.at_most for one in misreadings(SYRINGE)}
    assert found == {
        ("nearest line", 1): ml("0.05"),
        ("estimated half line", 1): ml("0.025"),
        ("nearest line", 2): ml("0.1"),
        ("estimated half line", 2): ml("0.05"),
    }
    assert misreadings(DROPPER) == ()


def test_a_difference_states_both_marks_and_both_errors() -> None:
    found = by_difference(ml("3"), ml("0.4"), SYRINGE)
    assert (found.start, found.end, found.error) == (3, ml("2.6"), ml("0.15") + ml("0.13"))
    assert found.says == (
        "Set the stopper edge nearest the tip on the 3 mL line; then give until the stopper edge nearest the tip on the "
        "2.6 mL line, the first line past 2.5 mL."
    )
    emptied = by_difference(ml("0.4"), ml("0.4"), SYRINGE)
    assert (emptied.error, emptied.says[-9:]) == (ml("0.053"), "the stop.")


@pytest.mark.parametrize(
    ("start", "volume", "fields", "accepted"),
    [
        ("3", "0.45", ["volume"], "2.5 mL or 2.6 mL"),
        ("2.95", "0.4", ["from", "volume"], "2.9 mL or 3 mL"),
        ("4", "3", ["from"], "up to 3 mL"),
        ("0.05", "0.05", ["from"], "0 mL or 0.1 mL"),
        ("1", "2", ["volume"], "up to 1 mL"),
        ("1", "0", ["volume"], "up to 1 mL"),
        ("1", "-1", ["volume"], "up to 1 mL"),
    ],
)
def test_a_difference_that_has_no_marks_is_refused_with_every_fault(
    start: str, volume: str, fields: list[str], accepted: str
) -> None:
    with pytest.raises(Refused) as refused:
        by_difference(ml(start), ml(volume), SYRINGE)
    assert [fault.field for fault in refused.value.faults] == fields
    assert accepted in refused.value.faults[0].accepted


@given(st.sampled_from(BOOK.measures), st.fractions(min_value=0, max_value=1, max_denominator=1000))
def test_the_neighbours_enclose_the_volume_and_are_lines(one: Instrument, way: Fraction) -> None:
    volume = one.capacity * way
    if not volume:
        return
    found = one_volume(volume, one)
    assert all(one.shows(line.volume) for line in found.lines)
    assert found.lines[-1].volume >= volume
    if not found.on_a_line:
        assert len(found.lines) == 1 or found.lines[0].volume < volume
        if one.kind is not Kind.DROPPER:
            assert found.lines[-1].volume - volume < one.step
