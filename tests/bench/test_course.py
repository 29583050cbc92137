"""How many doses an order asks for in all."""

from __future__ import annotations

import pytest

from drawndose.bench.course import course
from tests.bench.order.asked import order

BASE = "albuterol 2.5 mg by nebulizer, made up to 3 mL"


@pytest.mark.parametrize(
    ("words", "doses"),
    [
        ("every 20 min for 3 doses", 3), ("every 4 hours x 3", 3), ("three times daily, 15 doses", 15), ("tid x 4", 4),
        ("every 6 hours for 5 days", 20), ("three times daily for 5 days", 15), ("BID for 2 weeks", 28), ("daily x 5 days", 5),
        ("every 5 hours for 3 days", 15), ("every 4 hours for 24 hours", None),
        ("every 4 hours for 6 doses as needed for wheeze", 6), ("every 4 hours for 3 days as needed for wheeze", None),
        ("every 4 hours over 10 min", None), ("every 4 hours", None), ("once", None), ("", None),
    ],
)  # fmt: skip
def test_the_count_is_named_or_worked_out_of_days_and_hours(words: str, doses: int | None) -> None:
    assert course(order(f"{BASE} {words}")) == doses
