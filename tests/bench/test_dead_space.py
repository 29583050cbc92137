"""What a change of needle does to the dose: the five cases by hand, 0.5 mL with a needle that keeps 0.05 mL."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawndose.bench.dead_space import Change, delivered
from drawndose.quantities import Refused
from tests.bench.benches import ready

HALF, KEEPS, NOZZLE = Fraction(1, 2), Fraction(5, 100), Fraction(2, 100)
small = st.fractions(min_value=0, max_value=1, max_denominator=100)


@pytest.mark.parametrize(
    ("change", "reaches", "wasted"),
    [
        (Change.SAME, "0.5", "0.07"),
        (Change.DRY_AFTER, "0.45", "0.07"),
        (Change.PRIMED, "0.5", "0.12"),
        (Change.OTHER_DRUG, "0.57", "0"),
        (Change.RINSED, "0.57", "0"),
    ],
)
def test_each_case_delivers_what_the_geometry_says(change: Change, reaches: str, wasted: str) -> None:
    made = delivered(HALF, change, keeps=KEEPS, nozzle=NOZZLE)
    assert (made.volume, made.wasted) == (Fraction(reaches), Fraction(wasted))


def test_a_dry_needle_takes_a_tenth_of_half_a_millilitre_and_says_so() -> None:
    said = delivered(HALF, Change.DRY_AFTER, keeps=KEEPS).says
    assert said == "dry needle put on after the line was set: 0.45 mL reaches the cup, 0.05 mL less than the line."
    assert delivered(HALF, Change.SAME, keeps=KEEPS).says.endswith("0.5 mL reaches the cup.")


@pytest.mark.parametrize(
    ("volume", "change", "keeps", "nozzle"),
    [
        ("0", Change.SAME, "0.05", "0"),
        ("0.05", Change.DRY_AFTER, "0.05", "0"),
        ("1", Change.SAME, "-1", "0"),
        ("1", Change.SAME, "0", "-1"),
    ],
)
def test_what_cannot_be_is_refused(volume: str, change: Change, keeps: str, nozzle: str) -> None:
    with pytest.raises(Refused, match="volume: "):
        delivered(Fraction(volume), change, keeps=Fraction(keeps), nozzle=Fraction(nozzle))


@given(volume=st.fractions(min_value=2, max_value=60), keeps=small, nozzle=small)
def test_only_a_dry_needle_gives_less_and_nothing_is_lost_from_sight(
    volume: Fraction, keeps: Fraction, nozzle: Fraction
) -> None:
    reached = {change: delivered(volume, change, keeps=keeps, nozzle=nozzle).volume for change in Change}
    assert reached[Change.DRY_AFTER] == volume - keeps
    assert all(value >= volume for change, value in reached.items() if change is not Change.DRY_AFTER)


def test_a_plan_that_needs_the_last_drop_says_what_the_needle_keeps() -> None:
    told = [
        one.says
        for one in ready("epinephrine 5 mg by nebulizer once", "epinephrine-1mg-1ml-ampoule").findings
        if one.rule == "needed-to-the-last-drop"
    ]
    assert told == [
        "5 containers hold 5 mL by label and 5 mL is needed, in 5 entries; needle and nozzle keep up to 0.17 mL; each is "
        "recommended to hold about 0.1 mL more."
    ]


def test_a_plan_that_leaves_enough_says_nothing() -> None:
    made = ready("acetylcysteine 600 mg by nebulizer", "acetylcysteine-20pct")
    assert [one for one in made.findings if one.rule == "needed-to-the-last-drop"] == []


def test_a_powder_has_no_recommended_excess_to_name() -> None:
    made = ready("colistin base 147 mg by nebulizer to 3 mL with normal saline", "colistimethate-150mg-vial")
    told = [one.says for one in made.findings if one.rule == "needed-to-the-last-drop"]
    # 147 mg of 75 mg per mL is 1.96 mL of the 2 mL in the vial
    assert told == [
        "1 container holds 2 mL by label and 1.96 mL is needed, in 2 entries; needle and nozzle keep up to 0.28 mL."
    ]
