"""Published studies against our ranges: how each stands is decided by the numbers, and what is outside says why."""

from dataclasses import replace
from fractions import Fraction

import pytest

from drawndose.reference import load
from drawndose.reference.aerosol import Side, Study
from drawndose.science.aerosol.studies import MEASURES, Stands, hold_studies, hold_study

HELD = {one.study.id: one for one in hold_studies()}
TIME = load().aerosol.studies["lung-enhanced-time"]


def placed(low: float, value: float, high: float, side: Side = Side.BOTH, study: Study = TIME) -> Stands:
    moved = {name: Fraction(number) for name, number in (("low", low), ("value", value), ("high", high))}
    return hold_study(replace(study, side=side, **moved)).stands  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("figure", "side", "wanted"),
    [
        ((9, 11, 12), Side.BOTH, Stands.INSIDE),
        ((15, 20, 25), Side.BOTH, Stands.PARTLY),
        ((30, 31, 32), Side.BOTH, Stands.OUTSIDE),
        ((1, 2, 3), Side.BOTH, Stands.OUTSIDE),
        ((40, 40, 40), Side.AT_MOST, Stands.INSIDE),
        ((9, 9, 9), Side.AT_MOST, Stands.PARTLY),
        ((2, 2, 2), Side.AT_MOST, Stands.OUTSIDE),
        ((2, 2, 2), Side.AT_LEAST, Stands.INSIDE),
        ((9, 9, 9), Side.AT_LEAST, Stands.PARTLY),
        ((40, 40, 40), Side.AT_LEAST, Stands.OUTSIDE),
    ],
)
def test_how_a_figure_stands(figure: tuple[float, float, float], side: Side, wanted: Stands) -> None:
    assert placed(*figure, side=side) is wanted


def test_a_figure_that_only_bounds_us_is_inside_below_our_most() -> None:
    bound = load().aerosol.studies["child-over-adult"]
    assert placed(0.5, 0.6, 0.7, study=bound) is Stands.INSIDE
    assert placed(0.9, 0.95, 1.2, study=bound) is Stands.OUTSIDE


def test_a_figure_that_our_range_was_made_from_proves_nothing() -> None:
    assert hold_study(replace(TIME, fitted=True)).stands is Stands.FITTED
    fitted = {"jets-tapped", "colistin-enhanced", "colistin-enhanced-charge", "vapour-one-jet", "vapour-small-jets"}
    assert {name for name, one in HELD.items() if one.stands is Stands.FITTED} == fitted


def test_what_lies_outside_or_partly_says_why() -> None:
    apart = {name for name, one in HELD.items() if one.stands in {Stands.OUTSIDE, Stands.PARTLY}}
    assert {"lung-mesh", "large-volume-drug", "pump-fed-drug"} <= apart
    assert all(HELD[name].study.remark for name in apart)
    assert sum(one.stands is Stands.INSIDE for one in HELD.values()) >= 20


def test_every_measure_is_used_and_every_study_has_one() -> None:
    assert {one.measure for one in load().aerosol.studies.values()} == set(MEASURES)
