"""How far from its due time a dose may be given."""

import pytest

from drawndose import Policy
from drawndose.bench.windows import window
from tests.bench.benches import order

ALBUTEROL = "albuterol 2.5 mg by nebulizer, made up to 3 mL"


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        (f"{ALBUTEROL}, every 2 hours", 30),
        (f"{ALBUTEROL}, every 4 hours", 60),
        (f"{ALBUTEROL}, 3 times daily", 60),
        ("budesonide 0.5 mg by nebulizer daily", 120),
    ],
)
def test_the_window_goes_by_how_often(text: str, minutes: int) -> None:
    found = window(order(text), Policy())
    assert found is not None
    assert found.to("min").value == minutes


@pytest.mark.parametrize("text", [f"{ALBUTEROL} once", f"{ALBUTEROL} every 4 hours as needed for wheeze", ALBUTEROL])
def test_single_and_as_needed_doses_have_none(text: str) -> None:
    assert window(order(text), Policy()) is None


def test_a_time_critical_drug_has_the_shortest() -> None:
    found = window(order(f"{ALBUTEROL}, every 4 hours"), Policy(time_critical=("albuterol",)))
    assert found is not None
    assert found.to("min").value == 30
