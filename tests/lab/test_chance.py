"""Chance out of a seed: the same everywhere, evenly spread, and refused where there is nothing to choose from."""

from statistics import fmean, stdev

import pytest

from drawndose.lab.chance import BITS, Chance


def test_the_same_seed_gives_the_same_draws_and_another_path_others() -> None:
    first = [Chance("seed", "a").below(1000) for _ in range(3)]
    assert len(set(first)) == 1
    stream = Chance("seed", "a")
    assert len({stream.below(10**9) for _ in range(50)}) == 50
    assert Chance("seed", "b").below(10**9) != Chance("seed", "a").below(10**9)


def test_the_stream_is_pinned_by_its_definition() -> None:
    """SHA-256 of "seed", a separator and "1": worked by hand, so that a set of last year can be drawn again."""
    from hashlib import sha256

    expected = int.from_bytes(sha256(b"seed\x1f1").digest()[:8], "big") % 10
    assert Chance("seed").below(10) == expected


def test_every_number_comes_about_as_often() -> None:
    stream = Chance("even")
    counts = [0] * 6
    for _ in range(6000):
        counts[stream.below(6)] += 1
    assert all(880 < one < 1120 for one in counts)  # 1000 within four standard deviations


def test_a_draw_that_would_favour_small_numbers_is_drawn_again(monkeypatch: pytest.MonkeyPatch) -> None:
    drawn = iter([2**BITS - 1, 4])
    monkeypatch.setattr(Chance, "_next", lambda self: next(drawn))
    assert Chance("x").below(3) == 1


def test_shuffling_loses_nothing() -> None:
    assert sorted(Chance("s").shuffled(range(20))) == list(range(20))
    assert Chance("s").shuffled([]) == []
    assert Chance("s").pick("abc") in "abc"


def test_nothing_to_choose_from_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing to choose from"):
        Chance("s").pick([])


def test_shares_and_normal_numbers_are_spread_as_they_say() -> None:
    stream = Chance("normal")
    made = [stream.normal(10.0, 2.0) for _ in range(4000)]
    assert fmean(made) == pytest.approx(10.0, abs=0.13)
    assert stdev(made) == pytest.approx(2.0, abs=0.09)
    assert 0.27 < fmean(stream.happens(0.3) for _ in range(4000)) < 0.33
    assert not stream.happens(0.0)
