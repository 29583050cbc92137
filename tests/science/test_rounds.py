"""A round of weighings: all of it judged, or every fault with its row."""

import pytest

from drawndose.quantities import Refused
from drawndose.science.rounds import look_over, weigh_round
from drawndose.science.sheet import Sheet
from drawndose.science.slips import Kind
from drawndose.science.verdict import Call
from drawndose.science.weighing import Balance, Blank, Weighing

BALANCE = Balance(readability_g=0.0001, repeatability_g=0.0002)
HALF = Weighing(without_g=12.3456, with_g=12.8442)


def sheet(**more: object) -> Sheet:
    values: dict[str, object] = {
        "balance": BALANCE, "t_degC": 20.0, "p_hPa": 1013.0, "rh_percent": 50.0, "target_mL": 0.5, "tolerance_mL": 0.025,
        "evaporation": Blank(lost_g=0.0003, lost_u_g=0.0001),
    }  # fmt: skip
    return Sheet(**values | more)  # type: ignore[arg-type]


def rows(*masses: float) -> list[tuple[str, Weighing]]:
    return [(f"row {at}", Weighing(without_g=0.0, with_g=mass)) for at, mass in enumerate(masses, start=1)]


def test_every_draw_is_judged_and_the_series_counts_what_all_share() -> None:
    found = weigh_round([("row 1", HALF), ("row 2", Weighing(without_g=12.3456, with_g=12.9))], sheet())
    assert [one.verdict.call for one in found.weighed] == [Call.WITHIN, Call.OUTSIDE]
    assert found.names == ("row 1", "row 2")
    assert found.doubts == ()
    assert found.series is not None
    assert found.series.count == 2
    shared = [one.volume.shared_u for one in found.weighed]
    assert found.series.shared_u_mL == pytest.approx(sum(shared) / 2)
    assert found.not_in_it == (
        "calibration of the balance: check it with a weight",
        "drift of the balance: read the empty vessel once more",
    )


def test_every_fault_of_a_round_comes_with_its_row_and_nothing_is_half_done() -> None:
    swapped, milligrams = Weighing(without_g=12.8, with_g=12.3), Weighing(without_g=0.0, with_g=500.0)
    with pytest.raises(Refused) as refusal:
        weigh_round([("row 2", swapped), ("row 3", HALF), ("row 4", milligrams)], sheet())
    assert [fault.field for fault in refusal.value.faults] == ["row 2, readings", "row 4, readings"]


def test_a_sheet_at_fault_stops_the_round_and_its_rows_can_still_be_looked_over() -> None:
    hot = sheet(t_degC=72.0)
    with pytest.raises(Refused, match="Fahrenheit"):
        weigh_round(rows(0.5, 500.0), hot)
    assert [fault.field for fault in look_over(rows(0.5, 500.0), hot)] == ["row 2, readings"]


def test_one_draw_shows_no_spread_and_equal_draws_none_either() -> None:
    one, same = weigh_round(rows(0.5), sheet()), weigh_round(rows(0.5, 0.5, 0.5), sheet())
    assert (one.series, same.series) == (None, None)
    assert one.no_series == "One draw shows no spread: weigh ten."
    assert same.no_series == "All draws weigh the same: this balance shows no spread between them."


def test_doubts_about_what_is_the_same_for_all_are_told_once() -> None:
    found = weigh_round(rows(0.49, 0.50, 0.51, 0.48), sheet(p_hPa=760.0))
    assert [slip.kind for slip in found.doubts] == [Kind.PRESSURE, Kind.DIGITS]
    assert [one.doubts for one in found.weighed] == [()] * 4
