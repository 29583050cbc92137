"""Where a line may not end."""

import pytest

from drawndose.paper import held


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("2.5 mg in 3 mL", "2.5_mg_in_3_mL"),
        ("born 05 Nov 1961, no. 204 118", "born 05_Nov_1961, no._204_118"),
        ("0.9 % for 8 hours", "0.9_% for 8_hours"),
        ("words alone are left", "words alone are left"),
    ],
)
def test_an_amount_a_moment_and_an_identifier_stay_on_one_line(text: str, kept: str) -> None:
    assert held(text).replace("\u00a0", "_") == kept
