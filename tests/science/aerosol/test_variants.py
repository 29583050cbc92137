"""One thing changed at a time: the change itself has a band, because the same draws stand before and after."""

from drawndose.science.aerosol.boxes import read_setup
from drawndose.science.aerosol.variants import by_fill, by_stopping, by_tapping

JET = read_setup(["jet", "fill=3 mL"])


def test_more_fill_lets_more_out_in_every_trial() -> None:
    found = by_fill(JET)
    assert [one.says for one in found] == ["2 mL", "3 mL", "4 mL", "5 mL"]
    assert found[0].more is None
    assert found[0].gain == ""
    for one in found[1:]:
        assert one.more is not None
        assert one.more.low > 0.0
        assert one.gain.endswith("of the charge more")
    gains = [one.more.middle for one in found[1:] if one.more is not None]
    assert gains == sorted(gains, reverse=True)  # each further mL brings less


def test_a_fill_that_all_stays_is_left_away() -> None:
    assert [one.says for one in by_fill(JET, [0.5, 3.0])] == ["3 mL"]


def test_tapping_lets_more_out_and_takes_longer() -> None:
    plain, tapped = by_tapping(JET)
    assert tapped.more is not None
    assert tapped.more.low > 0.0
    assert tapped.minutes.middle > plain.minutes.middle
    assert by_tapping(read_setup(["mesh", "fill=3 mL"])) == ()
    assert by_tapping(read_setup(["jet", "fill=3 mL", "residual=1 mL"])) == ()


def test_stopping_early_leaves_drug_behind_and_less_may_come_out() -> None:
    found = by_stopping(JET, [4.0, 2.0])
    assert [one.says for one in found] == ["stopped after 2 min", "stopped after 4 min", "to the first sputter"]
    assert all(one.more is None or one.more.low >= 0.0 for one in found)
    fewer = by_fill(JET, [3.0, 2.0])[::-1]
    assert fewer[0].gain != ""


def test_less_is_told_as_less() -> None:
    from drawndose.science.aerosol.bands import Found
    from drawndose.science.aerosol.variants import Variant

    some = Found(low=0.1, middle=0.2, high=0.3, mean=0.2)
    less = Found(low=-0.2, middle=-0.1, high=-0.05, mean=-0.1)
    assert Variant(says="x", emitted=some, minutes=some, more=less).gain == "5 to 20 % of the charge less"
