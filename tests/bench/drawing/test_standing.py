"""A container on the shelf: its level is the share of the contents that is left; a powder has none."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.bench import drawing
from drawndose.bench.drawing.containers import FLOOR, INSIDE
from drawndose.reference import Container
from tests.bench.drawing.seen import NUMBER_STYLE, lines, said

FULL = Fraction(20)


@pytest.mark.parametrize("kind", Container)
@given(left=st.integers(0, 40).map(lambda half: Fraction(half, 2)))
def test_the_level_is_the_share_that_is_left(kind: Container, left: Fraction) -> None:
    made = drawing.standing("c", kind, "a bottle", left, FULL)
    [(volume, height)] = lines(made.svg, "level")
    assert volume == left
    assert abs(height - (FLOOR - INSIDE * left / FULL)) <= Fraction(1, 100)
    assert "band-edge" not in made.svg
    assert [text for text in said(made) if NUMBER_STYLE.search(text)] == []


def test_words_say_what_is_left_and_a_powder_has_no_level() -> None:
    assert drawing.standing("c", Container.BULK, "bottle", Fraction(9, 2), FULL).name == "bottle: 4.5 mL of 20 mL left."
    assert drawing.standing("c", Container.BULK, "bottle", FULL, FULL).name == "bottle: full, 20 mL."
    powder = drawing.standing("c", Container.POWDER_VIAL, "vial", None, FULL)
    assert powder.name == "vial: powder, not made up."
    assert lines(powder.svg, "level") == []
    assert "liquid-body" not in powder.svg
