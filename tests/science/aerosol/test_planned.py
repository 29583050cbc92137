"""What a plan's fill will do in the device of its order: told beside the plan, which it never changes."""

from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction

import pytest

from drawndose.bench.findings import Level
from drawndose.bench.plan_data import plan_data
from drawndose.quantities import Refused
from drawndose.reference import load, read_instruments
from drawndose.science.aerosol.planned import Planned, for_fill, for_plan, named_in
from tests.bench.benches import BOTTLE, made

SPAN = 'source = "common-practice", at = "-", how = "common practice" }'
OURS = read_instruments(
    f'[[nebulizer]]\nid = "ours"\nname = "our jet"\nkind = "small-volume jet"\nresidual = {{ from = "1 mL", to = "1.1 mL", {SPAN}\n'
    'source = "common-practice"\nat = "-"\nhow = "common practice"\n',
    "ours.toml",
).nebulizers
HELIOX = read_instruments(
    '[[nebulizer]]\nid = "light"\nname = "x"\nkind = "small-volume jet"\ndriven_by = "heliox"\n'
    'source = "common-practice"\nat = "-"\nhow = "common practice"\n',
    "ours.toml",
).nebulizers


def found(text: str, *idents: str, cup: str = "cup-6", **more: object) -> Planned:
    return for_plan(made(text, *(idents or (BOTTLE,)), cup=cup), **more)  # type: ignore[arg-type]


def test_a_plan_is_not_changed() -> None:
    plan = made("albuterol 2.5 mg by jet nebulizer, made up to 2 mL", BOTTLE)
    before = plan_data(plan)
    for_plan(plan)
    assert plan_data(plan) == before


def test_the_fill_that_works_and_why() -> None:
    told = found("albuterol 2.5 mg by jet nebulizer, made up to 2 mL")
    assert (told.nebulizer.id, told.assumed, told.fill_mL) == ("jet", False, 2)
    assert told.recommends == "3 to 4 mL for a small-volume jet nebulizer"
    assert [one.says for one in told.fills] == ["2 mL", "3 mL", "4 mL"]
    assert told.because[1].endswith("of the charge more than of 2 mL.")
    assert [(one.level, one.rule) for one in told.findings] == [(Level.CAUTION, "aerosol-low-fill")]
    assert told.time in told.says[0]


def test_a_fill_that_works_is_not_cautioned() -> None:
    told = found("albuterol 2.5 mg by jet nebulizer, made up to 3 mL")
    assert told.findings == ()
    assert told.time == "1 to 9 min"


def test_an_order_without_a_nebulizer_means_the_usual_one_and_says_so() -> None:
    told = found("albuterol 2.5 mg by nebulizer, made up to 3 mL")
    assert (told.assumed, told.nebulizer.id) == (True, "jet")
    assert told.says[0] == "The order names no nebulizer: a small-volume jet nebulizer is taken."


def test_where_no_text_says_a_least_fill_none_is_recommended() -> None:
    told = found("albuterol 2.5 mg by mesh nebulizer, made up to 3 mL")
    assert (told.recommends, told.fills, told.findings, told.least) == ("", (), (), None)
    assert told.time == "4 to 14 min"
    assert len(told.says) == 2


def test_whole_unit_doses_as_supplied_are_only_noted() -> None:
    told = found("levalbuterol 1.25 mg by jet nebulizer", "levalbuterol-1.25mg-3ml")
    assert told.findings == ()
    supplied = for_plan(made("budesonide 0.5 mg by jet nebulizer", "budesonide-0.5mg-unit-dose-2ml"))
    assert [one.level for one in supplied.findings] == [Level.NOTE]
    assert "its label's" in supplied.findings[0].do


def test_a_fill_that_all_stays_has_no_time_and_is_cautioned() -> None:
    plan = made("albuterol 2.5 mg by jet nebulizer, made up to 3 mL", BOTTLE)
    assert plan.fill is not None
    told = for_plan(replace(plan, fill=replace(plan.fill, in_hand=None, drawn=None, whole=0)))
    assert (told.fill_mL, told.time, told.fills) == (Fraction(1, 2), "", ())
    assert [one.rule for one in told.findings] == ["aerosol-low-fill"]
    assert told.says == ("It works from 3 to 4 mL for a small-volume jet nebulizer.",)


def test_own_nebulizers_stand_before_their_kind() -> None:
    order = "albuterol 2.5 mg by jet nebulizer, made up to 3 mL"
    kind, own, at_hand = found(order), found(order, own=OURS), found(order, nebulizer=OURS[0])
    assert (own.nebulizer.id, at_hand.nebulizer.id) == ("ours", "ours")
    assert (kind.recommends, own.recommends) == ("3 to 4 mL for a small-volume jet nebulizer", "3 to 4 mL for our jet")
    assert own.emitted is not None
    assert kind.emitted is not None
    assert own.emitted.high - own.emitted.low < kind.emitted.high - kind.emitted.low
    assert found("albuterol 2.5 mg by mesh nebulizer, made up to 3 mL", own=OURS).nebulizer.id == "mesh"
    assert found(order, nebulizer=HELIOX[0]).time == ""


def test_hours_last_by_the_orders_output_and_are_filled_anew() -> None:
    order = "10 mg/h albuterol by large-volume nebulizer for 8 h, output 25 mL/h"
    begins = datetime(2026, 11, 25, 8, tzinfo=UTC)
    told = found(order, cup="reservoir-240", begins=begins)
    assert told.hours is not None
    assert (told.nebulizer.id, told.minutes) == ("large-volume", None)
    low, high = told.hours.lasts_h
    assert (float(low), float(high)) == ((200 - 20) / 25, (200 - 5) / 25)
    assert told.time == "about 7.2 to 7.8 h"
    assert [f"{one:%H:%M}" for one in told.hours.refills] == ["14:57"]
    assert any(line.startswith("The fill of 200 mL lasts about") for line in told.says)
    no_begin = found(order, cup="reservoir-240", nebulizer=load().nebulizers[4])
    assert no_begin.hours is not None
    assert no_begin.hours.refills == ()
    exact = Planned(nebulizer=told.nebulizer, assumed=False, fill_mL=told.fill_mL, least=None, hours=told.hours)
    assert exact.recommends == ""


@pytest.mark.parametrize(
    ("order", "early", "refills"),
    [
        ("10 mg/h albuterol by large-volume nebulizer for 1 h, output 25 mL/h", 6, ["06", "12", "18", "24", "30", "36", "42", "48", "54"]),
        ("1 mg/h albuterol by large-volume nebulizer for 72 h, output 3 mL/h", 15, ["05"]),
    ],
)  # fmt: skip
def test_short_and_long_fillings_are_told_too(order: str, early: int, refills: list[str]) -> None:
    hours = found(order, cup="reservoir-240", begins=datetime(2026, 11, 25, 8, tzinfo=UTC)).hours
    assert hours is not None
    assert hours.early_min == early
    assert [f"{one:%M}" for one in hours.refills] == refills


@pytest.mark.parametrize(
    ("text", "cup"),
    [
        ("albuterol 2.5 mg by jet nebulizer, made up to 3 mL", "cup-6"),
        ("albuterol 2.5 mg by nebulizer, made up to 3 mL", "cup-6"),
        ("10 mg/h albuterol by large-volume nebulizer for 8 h, output 25 mL/h", "reservoir-240"),
    ],
)
def test_a_fill_without_its_plan_is_told_alike(text: str, cup: str) -> None:
    plan = made(text, BOTTLE, cup=cup)
    assert plan.fill is not None
    begins = datetime(2026, 11, 25, 8, tzinfo=UTC)
    whole, alone = (
        for_plan(plan, begins=begins, own=OURS),
        for_fill(plan.order, plan.fill.total, begins=begins, own=OURS),
    )
    assert replace(whole, fills=(), findings=()) == alone


def test_only_a_plan_that_is_ready_is_filled() -> None:
    with pytest.raises(Refused, match="only a plan that is ready is filled"):
        found("10 mg/h albuterol by large-volume nebulizer for 8 h, output 25 mL/h")  # the cup is too small


@pytest.mark.parametrize(
    ("device", "wanted"),
    [
        ("jet nebulizer", "jet"),
        ("small volume nebulizer with mask", "jet"),
        ("vibrating mesh nebulizer", "mesh"),
        ("breath actuated nebulizer with mouthpiece", "breath-actuated"),
        ("breath enhanced nebulizer", "breath-enhanced"),
        ("ultrasonic nebulizer", "ultrasonic"),
        ("large volume nebulizer", "large-volume"),
        ("mask", None),
        ("", None),
    ],
)
def test_the_words_of_an_order_mean_a_kind(device: str, wanted: str | None) -> None:
    named = named_in(device, load().nebulizers)
    assert (named.id if named is not None else None) == wanted


def test_every_device_that_an_order_can_name_is_known() -> None:
    for word in (
        "small-volume",
        "large-volume",
        "jet",
        "mesh",
        "vibrating mesh",
        "ultrasonic",
        "breath-actuated",
        "breath-enhanced",
    ):
        plan = made(f"albuterol 2.5 mg by {word} nebulizer, made up to 3 mL", BOTTLE)
        assert named_in(plan.order.device, load().nebulizers) is not None, plan.order.device
