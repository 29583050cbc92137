"""Due doses: topped up once however often it is asked, asked for as needed with the interval held, and said not to be given."""

from __future__ import annotations

import itertools
from datetime import date, timedelta

import pytest

from drawndose.quantities import Refused, show
from tests.department.scene import ORDER, labelled, order, scene

pytestmark = pytest.mark.usefixtures("storage")
AS_NEEDED = "albuterol 2.5 mg by nebulizer, made up to 3 mL, every 4 hours as needed for wheeze"


def times(made) -> list:
    return list(made.duedose_set.order_by("due_at").values_list("due_at", flat=True))


def names() -> list[str]:
    from drawndose.department.ledger.models import Event

    return list(Event.objects.order_by("number").values_list("name", flat=True))


def test_doses_are_topped_up_once_and_without_a_gap() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import orders

    made = order(scene())
    before, moment = times(made), now()
    assert len(before) == 7
    assert orders.top_up(moment) == []
    assert times(made) == before
    later = moment + timedelta(hours=9)
    orders.top_up(later)
    after = times(made)
    assert after[: len(before)] == before
    assert len(after) == 9
    assert {b - a for a, b in itertools.pairwise(after)} == {timedelta(hours=4)}
    events = len(names())
    orders.top_up(later)
    assert (times(made), len(names())) == (after, events)


def test_what_was_due_while_nobody_looked_is_planned_and_late() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import orders

    made = order(scene())
    orders.top_up(now() + timedelta(days=3))
    doses = times(made)
    assert len(doses) == 24
    assert {b - a for a, b in itertools.pairwise(doses)} == {timedelta(hours=4)}


def test_an_order_on_hold_or_ended_owes_nothing() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import orders

    on = scene()
    made, other = order(on), order(on)
    orders.hold(made, by=on.ana, version=made.version, reason="in surgery")
    orders.end(other, by=on.ana, version=other.version, reason="goes home")
    before = times(made), times(other)
    orders.top_up(now() + timedelta(days=2))
    assert (times(made), times(other)) == before


def test_what_was_missed_on_hold_is_dropped_and_not_made_up_for(clock) -> None:
    from drawndose.department.work import orders

    on = scene()
    made = order(on)
    orders.hold(made, by=on.ana, version=made.version, reason="in surgery")
    clock.passes(days=2)
    later = clock.at
    orders.resume(made, by=on.ana, version=made.version)
    states = set(made.duedose_set.values_list("state", flat=True))
    assert states == {"dropped"}
    made.refresh_from_db()
    assert later <= made.next_at < later + timedelta(hours=4)
    orders.top_up(later)
    assert made.duedose_set.filter(state="due").order_by("due_at").first().due_at == made.next_at


def test_an_order_that_can_no_longer_be_read_is_named_and_stops_nobody() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import orders
    from drawndose.department.work.models import Order

    on = scene()
    broken, good = order(on), order(on)
    Order.objects.filter(pk=broken.pk).update(text="no words of ours")
    assert orders.top_up(now() + timedelta(hours=9)) == [broken]
    assert len(times(good)) == 9


def test_a_dose_as_needed_is_asked_for_one_at_a_time() -> None:
    from drawndose.department.work import orders

    on = scene()
    made = order(on, AS_NEEDED)
    assert times(made) == []
    dose = orders.on_demand(made, by=on.ana, version=made.version)
    assert (dose.state, dose.due_at, dose.from_at) == ("due", dose.to_at, dose.to_at)
    with pytest.raises(Refused, match="one is asked for already"):
        orders.on_demand(made, by=on.ana, version=made.version)
    with pytest.raises(Refused, match="as needed only"):
        orders.on_demand(order(on), by=on.ana, version=2)


def test_a_dose_as_needed_too_soon_is_told_and_goes_on_with_a_reason() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work import giving, orders

    on = scene()
    made, _, _ = labelled(on)
    giving.give(made, "204118", "1961-11-05", by=on.cleo, version=made.version)
    needed = order(on, AS_NEEDED)
    before = names()
    (found,) = orders.on_demand(needed, by=on.ana, version=needed.version)
    assert (found.rule, found.level.value) == ("last-dose-too-near", "caution")
    assert "every 4 h" in found.says
    assert names() == before
    dose = orders.on_demand(needed, by=on.ana, version=needed.version, reason="Dr. Invented asked for it")
    assert dose.state == "due"
    event = Event.objects.get(name="order.asked")
    assert (event.reason, event.content["why"]) == ("Dr. Invented asked for it", [found.says])


def test_another_drug_is_not_too_near() -> None:
    from drawndose.department.work import giving, orders

    on = scene()
    made, _, _ = labelled(on)
    giving.give(made, "204118", "1961-11-05", by=on.cleo, version=made.version)
    needed = order(on, "ipratropium 0.5 mg by nebulizer every 6 hours as needed for wheeze")
    assert orders.on_demand(needed, by=on.ana, version=needed.version).state == "due"


def test_a_dose_that_nobody_began_is_not_given_with_a_reason() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work import due

    on = scene()
    dose = order(on).duedose_set.order_by("due_at").first()
    with pytest.raises(Refused) as refused:
        due.not_given(dose, by=on.ana, version=dose.version, reason="", told=" ")
    assert [one.field for one in refused.value.faults] == ["reason", "told"]
    due.not_given(dose, by=on.ana, version=dose.version, reason="refused by the patient", told="Dr. Invented")
    assert dose.state == "not given"
    event = Event.objects.get(name="dose.not_given")
    assert (event.reason, event.content) == ("refused by the patient", {"told": "Dr. Invented"})
    with pytest.raises(Refused, match="the dose is not given"):
        due.not_given(dose, by=on.ana, version=dose.version, reason="again", told="Dr. Invented")


def test_a_dose_by_weight_waits_for_the_weight_and_keeps_the_one_it_was_completed_with() -> None:
    from drawndose.department.work import orders
    from drawndose.department.work.models import Patient
    from drawndose.department.work.reading import reading_for

    on = scene()
    Patient.objects.filter(pk=on.patient.pk).update(born=date(2025, 6, 1))
    on.patient.refresh_from_db()
    made = order(on, "albuterol 0.15 mg/kg by nebulizer, made up to 3 mL, every 4 hours")
    assert (made.state, times(made)) == ("entered", [])
    with pytest.raises(Refused, match="weigh"):
        orders.complete(made, by=on.ana, version=made.version)
    Patient.objects.filter(pk=on.patient.pk).update(weight_g=8_000, weighed_on=date(2026, 1, 2))
    made.patient.refresh_from_db()
    orders.complete(made, by=on.ana, version=made.version)
    assert (made.state, made.weight_g, len(times(made))) == ("complete", 8_000, 7)
    Patient.objects.filter(pk=on.patient.pk).update(weight_g=9_000)
    made.patient.refresh_from_db()
    assert show(reading_for(made).patient.weight) == "8 kg"


def test_what_the_order_says_of_the_patient_goes_first_and_what_cannot_be_is_asked() -> None:
    from drawndose.department.work.models import Patient

    on = scene()
    Patient.objects.filter(pk=on.patient.pk).update(weight_g=8_000, weighed_on=date(2026, 1, 2))
    on.patient.refresh_from_db()
    text = "albuterol 0.15 mg/kg by nebulizer, made up to 3 mL, every 4 hours"
    assert order(on, text).state == "entered"
    assert order(on, f"{text}, weight 60 kg").state == "complete"


@pytest.mark.parametrize(
    ("born", "told"),
    [
        ("2026-11-20", "5 days"),
        ("2026-10-25", "1 month"),
        ("2024-11-26", "23 months"),
        ("2024-11-25", "2 years"),
        ("1961-11-26", "64 years"),
    ],
)
def test_an_age_is_told_as_the_trade_tells_it(born: str, told: str) -> None:
    from drawndose.department.work.reading import age_on

    assert show(age_on(date.fromisoformat(born), date(2026, 11, 25))) == told


def test_a_first_dose_before_its_order_or_far_ahead_is_refused() -> None:
    from drawndose.department.ledger.append import now

    on = scene()
    for first in (now() - timedelta(hours=2), now() + timedelta(days=32)):
        with pytest.raises(Refused, match="first dose"):
            order(on, ORDER, first_at=first)


def test_a_worker_plans_what_is_owed_though_nobody_looks_at_the_board(clock, monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.keeping import working

    made = order(scene())
    before = times(made)
    clock.passes(hours=9)
    monkeypatch.setattr(working, "close_old_connections", lambda: None)
    assert working.step("a worker") is False
    assert len(times(made)) == len(before) + 2
