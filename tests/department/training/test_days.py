"""A day: the same seed gives the same cards; it is opened, its stations are given, it closes when nothing is half-done."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from drawndose.quantities import Refused
from tests.department.training.school import SEED, ZONE, programme, school

pytestmark = pytest.mark.usefixtures("storage")


def test_every_seat_has_a_card_at_every_station_and_one_to_stop_at() -> None:
    from drawndose.department.training import days
    from drawndose.department.training.cards import task_of

    on = school()
    stations = list(on.day.station_set.order_by("number"))
    assert len(stations) == 4
    for learner in days.seated(on.day):
        cards = [card for one in stations for card in days.cards_for(one, learner)]
        assert sorted(card["kind"] for card in cards) == ["prepare"] * 4 + ["stop"]
    card = stations[0].cards[0]
    assert task_of(card, on.day.at).order == card["order"]
    assert any(one["simulated"].startswith("water") for one in on.day.supplies)


def test_the_same_seed_sets_the_same_day() -> None:
    from drawndose.department.training import days

    on = school()
    wanted = days.Wanted(title="Again", on=on.day.on, zone=ZONE, seed=SEED)
    again = days.plan_day(on.cohort, wanted, by=on.fay)
    cards = [[card["id"] for card in one.cards] for one in on.day.station_set.order_by("number")]
    assert [[card["id"] for card in one.cards] for one in again.station_set.order_by("number")] == cards
    other = days.plan_day(on.cohort, replace(wanted, seed="another"), by=on.fay)
    assert [[card["id"] for card in one.cards] for one in other.station_set.order_by("number")] != cards


def test_a_day_needs_a_rule_a_title_and_somebody() -> None:
    from drawndose.department.training import cohort, days

    on = school()
    empty = cohort.open_cohort("Empty", by=on.max)
    wanted = days.Wanted(title=" ", on=date(2026, 5, 5), zone=ZONE, seed=SEED)
    with pytest.raises(Refused) as told:
        days.plan_day(empty, wanted, by=on.fay)
    assert [fault.field for fault in told.value.faults] == ["learners", "title"]
    cohort.close_cohort(on.cohort, by=on.max, version=on.cohort.version)
    with pytest.raises(Refused, match="the class is closed"):
        days.plan_day(on.cohort, replace(wanted, title="x"), by=on.fay)


def test_without_a_rule_no_day() -> None:
    from drawndose.department.ledger.models import Kind
    from drawndose.department.ledger.storage import found
    from drawndose.department.people.roles import Role
    from drawndose.department.training import cohort, days
    from tests.department.people.staff import person

    found(Kind.PRACTICE, actor="setup")
    fay = person("fay", "Fay", Role.EVALUATOR)
    made = cohort.open_cohort("A", by=fay)
    with pytest.raises(Refused, match="no rule yet"):
        days.plan_day(made, days.Wanted(title="x", on=date(2026, 5, 5), zone=ZONE, seed="1"), by=fay)
    assert programme  # the usual programme writes one


def test_stations_are_given_to_evaluators_only() -> None:
    from drawndose.department.training import days

    on = school()
    with pytest.raises(Refused) as told:
        days.give_stations(on.day, {1: on.max, 9: on.fay}, by=on.max)
    assert [fault.field for fault in told.value.faults] == ["station 1", "station"]
    days.give_stations(on.day, {1: on.fay, 2: on.gil, 3: None}, by=on.max)
    assert [one.evaluator for one in on.day.station_set.order_by("number")] == [on.fay, on.gil, None, None]


def test_a_day_is_not_closed_over_an_open_try() -> None:
    from drawndose.department.training import days

    on = school()
    on.begin("101")
    with pytest.raises(Refused, match="Lea Model at station 1"):
        days.close_day(on.day, by=on.fay, version=on.day.version)


def test_a_planned_day_is_dropped_with_its_reason() -> None:
    from drawndose.department.training import days

    on = school(opened=False)
    days.drop_day(on.day, by=on.fay, version=on.day.version, reason="snow")
    assert on.day.state == "dropped"
