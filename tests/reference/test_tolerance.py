"""The two-branch rule and its inverse; a calibration between its points."""

import datetime
from fractions import Fraction
from itertools import pairwise

from hypothesis import assume, given
from hypothesis import strategies as st

from drawndose.reference import Calibration, How, Origin, Point, Tolerance

NOWHERE = Origin(source="common-practice", at="-", how=How.PRACTICE)
shares = st.fractions(min_value=0, max_value=Fraction(1, 5), max_denominator=200)
limits = st.fractions(min_value=Fraction(1, 100), max_value=Fraction(1, 2), max_denominator=100)
capacities = st.integers(1, 100).map(Fraction)


@st.composite
def rules(draw: st.DrawFn) -> Tolerance:
    """Rules whose two branches meet at half of the capacity, as printed ones do."""
    fixed, slope, fixed_above = draw(shares), draw(shares), draw(shares)
    slope_above = 2 * fixed + slope - 2 * fixed_above
    assume(slope_above >= 0 and fixed_above + slope_above > 0)
    return Tolerance(
        id="x",
        below_half_of_capacity=fixed,
        below_half_of_volume=slope,
        from_half_of_capacity=fixed_above,
        from_half_of_volume=slope_above,
        origin=NOWHERE,
    )


def error(rule: Tolerance, capacity: Fraction, volume: Fraction) -> Fraction:
    if volume < capacity / 2:
        return rule.below_half_of_capacity * capacity + rule.below_half_of_volume * volume
    return rule.from_half_of_capacity * capacity + rule.from_half_of_volume * volume


@given(rule=rules(), capacity=capacities, limit=limits, way=st.fractions(min_value=0, max_value=1, max_denominator=50))
def test_the_smallest_volume_is_where_the_rule_meets_the_limit(
    rule: Tolerance, capacity: Fraction, limit: Fraction, way: Fraction
) -> None:
    smallest = rule.smallest(capacity, limit)
    if smallest is None:
        assert all(error(rule, capacity, capacity * k / 20) > limit * capacity * k / 20 for k in range(1, 21))
        return
    assert 0 <= smallest <= capacity
    for volume in (smallest + way * (capacity - smallest), capacity):
        if volume:
            assert error(rule, capacity, volume) <= limit * volume
    below = smallest * Fraction(99, 100)
    if below and below < capacity / 2:
        assert error(rule, capacity, below) > limit * below


def test_a_rule_whose_branches_do_not_meet_starts_from_half() -> None:
    rule = Tolerance(
        id="x",
        below_half_of_capacity=Fraction(1, 10),
        below_half_of_volume=Fraction(1, 10),
        from_half_of_volume=Fraction(1, 20),
        origin=NOWHERE,
    )
    assert rule.smallest(Fraction(10), Fraction(1, 20)) == 5


@given(st.data())
def test_between_two_points_the_bias_runs_straight_and_beyond_them_nothing_is_known(data: st.DataObject) -> None:
    volumes = data.draw(st.lists(st.integers(1, 50), min_size=1, max_size=5, unique=True))
    small = st.fractions(min_value=Fraction(1, 100), max_value=1, max_denominator=100)
    points = tuple(
        Point(set=Fraction(one), delivered=one + data.draw(small), uncertainty=data.draw(small))
        for one in sorted(volumes)
    )
    found = Calibration(on=datetime.date(2026, 11, 20), by="lab", points=points)
    assert [found.at(one.set) for one in points] == list(points)
    assert found.at(points[0].set - Fraction(1, 100)) is None
    assert found.at(points[-1].set + Fraction(1, 100)) is None
    for one, other in pairwise(points):
        middle = found.at((one.set + other.set) / 2)
        assert middle is not None
        assert middle.bias == (one.bias + other.bias) / 2
        assert middle.uncertainty == max(one.uncertainty, other.uncertainty)
