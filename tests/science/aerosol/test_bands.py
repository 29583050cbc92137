"""Ranges of inputs and answers: a range goes up, an answer is told outward and never past what can be."""

from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.quantities import Refused
from drawndose.science.aerosol.bands import (
    Band,
    amount_range,
    minutes_words,
    most_words,
    outward,
    range_words,
    share_words,
)


@pytest.mark.parametrize("ends", [(2.0, 1.0), (nan, 1.0), (0.0, inf), (-inf, 0.0)])
def test_a_range_goes_up_and_ends(ends: tuple[float, float]) -> None:
    with pytest.raises(Refused, match="a range goes up"):
        Band(*ends)


@given(low=st.floats(0.0, 900.0), width=st.floats(0.0, 90.0), step=st.sampled_from([0.1, 0.5, 1.0, 5.0, 10.0]))
def test_a_told_range_holds_what_was_found_and_is_no_wider_than_two_steps_more(
    low: float, width: float, step: float
) -> None:
    below, above = outward(low, low + width, step)
    assert below <= low + 1e-6
    assert above >= low + width - 1e-6
    assert above - below <= width + 2 * step + 1e-6


@pytest.mark.parametrize(
    ("came", "wanted"),
    [
        (range_words(0.8, 2.0, 0.1, "mL"), "0.8 to 2 mL"),
        (range_words(1999.0, 2501.0, 10.0, "psi"), "1,990 to 2,510 psi"),
        (share_words(0.999, 1.0), "99 to 100 %"),
        (share_words(-0.0, 0.2), "0 to 20 %"),
        (share_words(0.98, 1.0, step_percent=5.0), "95 to 100 %"),
        (most_words(0.999), "at most 100 %"),
        (minutes_words(0.0, 0.4), "0 to 0.5 min"),
        (minutes_words(59.2, 60.0), "59 to 60 min"),
        (amount_range(0.0004, 0.00123, "mg"), "0.0004 to 0.0013 mg"),
        (amount_range(120.0, 240.0, "mcg"), "120 to 240 mcg"),
    ],
)
def test_ranges_in_words(came: str, wanted: str) -> None:
    assert came == wanted
