"""What a key says that is to be drawn."""

from datetime import UTC, datetime
from fractions import Fraction

import pytest

from drawndose.bench.draws import Draw
from drawndose.lab.tasks.answer_key import fills_words
from drawndose.lab.tasks.task_set import task_set

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
HALF, QUARTER = Fraction(1, 2), Fraction(1, 4)


@pytest.mark.parametrize(
    ("fills", "said"),
    [
        ((HALF,), ""),
        ((HALF, HALF, HALF), " (3 times 0.5 mL)"),
        ((HALF, QUARTER), " (0.5 mL, then 0.25 mL)"),
    ],
)
def test_a_key_says_how_often_an_instrument_is_filled(fills: tuple[Fraction, ...], said: str) -> None:
    tasks = [task for seat in task_set("spring", 5, NOON).seats for task in seat.tasks]
    draw = next(take.draw for task in tasks for take in task.plan.takes if take.draw is not None)
    assert fills_words(Draw(instrument=draw.instrument, asked=sum(fills, Fraction(0)), fills=fills)) == said
