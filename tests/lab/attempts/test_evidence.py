"""How a piece of evidence came out, in a word."""

import pytest

from drawndose.lab.attempts.evidence import PARTS, Held, told


@pytest.mark.parametrize("part", PARTS)
def test_each_piece_has_its_own_words_for_right_and_wrong(part: str) -> None:
    words = ("inside", "outside") if part in {"read", "weighed"} else ("right", "wrong")
    assert (told(part, Held.YES), told(part, Held.NO)) == words
    assert (told(part, Held.DOUBT), told(part, Held.ABSENT)) == ("cannot be told", "not taken yet")
