"""From an order to a closed record, and everything that must stop on the way. Nothing half-done is left behind a refusal."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from drawndose.quantities import Refused
from tests.department.scene import BOTTLE, ORDER, SALINE, labelled, order, planned, received, scene, written

pytestmark = pytest.mark.usefixtures("storage")


def events() -> list[str]:
    from drawndose.department.ledger.models import Event

    return list(Event.objects.order_by("number").values_list("name", flat=True))


def whole() -> bool:
    from drawndose.department.ledger.chain import first_broken
    from drawndose.department.ledger.models import Event

    return first_broken(Event.objects.order_by("number")) is None


def folded(container) -> int:
    """What is left by the ledger alone."""
    from drawndose.department.ledger.models import Event

    left = 0
    for event in Event.objects.filter(subject_kind="container", subject=str(container.pk)).order_by("number"):
        left += int(event.content.get("holds_nl", 0)) - int(event.content.get("volume_nl", 0))
        left = 0 if event.name == "container.emptied" else left
    return left


def test_a_due_dose_becomes_a_closed_record() -> None:
    from drawndose.department.work import giving, preparing

    on = scene()
    made, bottle, saline = planned(on)
    assert preparing.drawn(made, ["0.5 mL"], by=on.ana, version=made.version) == ()
    bottle.refresh_from_db()
    saline.refresh_from_db()
    assert (bottle.state, bottle.left_nl, bottle.owner, bottle.discard_after) == (
        "opened",
        19_500_000,
        on.patient,
        None,
    )
    assert (saline.state, saline.left_nl) == ("opened", 500_000)
    assert [folded(one) for one in (bottle, saline)] == [19_500_000, 500_000]
    lines = {line.name: line.text for line in preparing.label(made, by=on.ana, version=made.version)}
    assert lines["dose"] == "albuterol 2.5 mg in 3 mL"
    assert lines["person"] == "Model, Dora, born 05 Nov 1961, no. 204118"
    assert (made.state, made.dose.state) == ("labelled", "prepared")
    giving.give(made, "204118", "1961-11-05", by=on.cleo, version=made.version, observed={"pulse": "88"})
    assert (made.state, made.dose.state, made.given_by) == ("given", "given", on.cleo)
    closing = {"given_nl": 3_000_000, "wasted_nl": 0, "left_nl": 0, "by": on.cleo, "version": made.version}
    assert giving.close(made, **closing) == ()
    saline.refresh_from_db()
    assert (made.state, saline.state) == ("closed", "discarded")
    assert whole()
    giving.note(made, "Family was told.", by=on.ana, version=made.version)
    assert events()[-1] == "preparation.noted"


def test_a_tenfold_reading_stops_and_draws_nothing() -> None:
    from drawndose.department.work import preparing

    made, bottle, _ = planned(scene())
    before = events()
    (finding,) = preparing.drawn(made, ["5 mL"], by=made.by, version=made.version)
    assert "10 times the plan" in finding.says
    bottle.refresh_from_db()
    assert (made.state, bottle.left_nl, events()) == ("planned", 20_000_000, before)


@pytest.mark.parametrize("readings", [[], ["0.5 mL", "0.5 mL"], ["half"], ["0.5 mg"]])
def test_a_reading_that_is_none_is_refused_and_draws_nothing(readings: list[str]) -> None:
    from drawndose.department.work import preparing

    made, bottle, _ = planned(scene())
    before = events()
    with pytest.raises(Refused):
        preparing.drawn(made, readings, by=made.by, version=made.version)
    bottle.refresh_from_db()
    assert (made.state, bottle.left_nl, events()) == ("planned", 20_000_000, before)


def test_a_form_sent_twice_does_it_once() -> None:
    from drawndose.department.ledger.append import Replayed
    from drawndose.department.work import preparing

    made, bottle, _ = planned(scene())
    version = made.version
    preparing.drawn(made, ["0.5 mL"], by=made.by, version=version, key="form-7")
    made.refresh_from_db()
    with pytest.raises((Replayed, Refused)):
        preparing.drawn(made, ["0.5 mL"], by=made.by, version=version, key="form-7")
    bottle.refresh_from_db()
    assert bottle.left_nl == 19_500_000


def test_two_tabs_cannot_both_change_it() -> None:
    from drawndose.department.work import preparing
    from drawndose.department.work.change import Moved

    made, bottle, saline = planned(scene())
    seen = made.version
    preparing.choose(made, [bottle, saline], [], "cup-6", by=made.by, version=seen)
    with pytest.raises(Moved):
        preparing.drawn(made, ["0.5 mL"], by=made.by, version=seen)
    bottle.refresh_from_db()
    assert bottle.left_nl == 20_000_000


@pytest.mark.parametrize(
    ("number", "born", "matched"),
    [("204118", "1961-11-06", "1 of"), ("204181", "1961-11-05", "1 of"), ("", "", "0 of")],
)
def test_both_identifiers_must_match(number: str, born: str, matched: str) -> None:
    from drawndose.department.work import giving

    on = scene()
    made, _, _ = labelled(on)
    with pytest.raises(Refused, match=matched):
        giving.give(made, number, born, by=on.cleo, version=made.version)
    made.refresh_from_db()
    assert made.state == "labelled"


def test_past_its_limit_it_is_not_given(clock) -> None:
    from drawndose.department.work import giving

    on = scene()
    made, _, _ = labelled(on)
    clock.passes(minutes=61)
    with pytest.raises(Refused, match="giving was to start by"):
        giving.give(made, "204118", "1961-11-05", by=on.cleo, version=made.version)
    giving.not_given(made, by=on.cleo, version=made.version, reason="past its limit", told="Dr. Invented")
    assert (made.state, made.dose.state) == ("not given", "not given")


def test_what_does_not_add_up_needs_a_reason() -> None:
    from drawndose.department.work import giving

    on = scene()
    made, _, _ = labelled(on)
    giving.give(made, "204118", "1961-11-05", by=on.cleo, version=made.version)
    short = {"given_nl": 2_500_000, "wasted_nl": 0, "left_nl": 0, "by": on.cleo, "version": made.version}
    assert "2.5 mL given" in giving.close(made, **short)[0].says
    assert made.state == "given"
    assert giving.close(made, **short, reason="0.5 mL ran out of the cup") == ()


def test_a_second_reader_is_wanted_another_person_and_of_one_mind() -> None:
    from drawndose.department.work import preparing
    from drawndose.department.work.policy import choose

    on = scene()
    choose("second_reading", "concentrate", reason="asked by the manager", by=on.cleo)
    made, _, _ = planned(on)
    preparing.drawn(made, ["0.5 mL"], by=on.ana, version=made.version)
    with pytest.raises(Refused, match="second person"):
        preparing.label(made, by=on.ana, version=made.version)
    assert preparing.read_again(made, ["0.5 mL"], by=on.ana, version=made.version)[0].rule == "second-reader-is-first"
    assert preparing.read_again(made, ["0.4 mL"], by=on.ben, version=made.version)[0].rule == "readings-differ"
    made.refresh_from_db()
    assert made.read_by is None
    assert preparing.read_again(made, ["0.5 mL"], by=on.ben, version=made.version) == ()
    assert made.read_by == on.ben
    assert "second reader Ben Example" in preparing.label(made, by=on.ana, version=made.version)[-1].text


def test_breaking_off_makes_the_dose_due_again() -> None:
    from drawndose.department.work import giving, preparing

    on = scene()
    made, bottle, saline = planned(on)
    preparing.drawn(made, ["0.5 mL"], by=on.ana, version=made.version)
    with pytest.raises(Refused, match="reason"):
        preparing.break_off(made, by=on.ana, version=made.version, reason=" ")
    preparing.break_off(made, by=on.ana, version=made.version, reason="spilled")
    assert (made.state, made.dose.state) == ("broken off", "due")
    giving.close(made, given_nl=0, wasted_nl=3_000_000, left_nl=0, by=on.ana, version=made.version)
    again = preparing.begin(made.order, by=on.ana, dose=made.dose)
    with pytest.raises(Refused, match="it is discarded"):
        preparing.choose(again, [bottle, saline], [], "cup-6", by=on.ana, version=again.version)
    fresh = received(on, SALINE, "3 mL")
    found = preparing.choose(again, [bottle, fresh], [], "cup-6", by=on.ana, version=again.version)
    assert "life after opening" in found.findings[0].says


def test_a_bottle_is_used_again_only_when_the_facility_has_decided_how_long() -> None:
    from drawndose.department.work import preparing
    from drawndose.department.work.policy import choose

    on = scene()
    choose("bottle_life", "28 d", reason="pharmacy committee", by=on.cleo)
    made, bottle, _ = labelled(on)
    bottle.refresh_from_db()
    opened_on = bottle.opened_at.astimezone(ZoneInfo("America/Chicago")).date()
    assert bottle.discard_after == opened_on + timedelta(days=28)
    second = preparing.begin(made.order, by=on.ana, dose=made.order.duedose_set.filter(state="due").first())
    found = preparing.choose(
        second, [bottle, received(on, SALINE, "3 mL")], [], "cup-6", by=on.ana, version=second.version
    )
    assert found.status.value == "ready", [one.says for one in found.findings]


def test_another_persons_bottle_is_stopped() -> None:
    from drawndose.department.work import preparing, shelf
    from drawndose.department.work.models import Patient
    from drawndose.department.work.policy import choose

    on = scene()
    choose("bottle_life", "28 d", reason="pharmacy committee", by=on.cleo)
    other = Patient.objects.create(name="Other, Otto", born=date(1950, 1, 1), number="204181")
    made = preparing.begin(order(on), by=on.ana)
    bottle = received(on, BOTTLE, "20 mL")
    shelf.open_it(bottle, by=on.ana, version=bottle.version, owner=other)
    found = preparing.choose(made, [bottle, received(on, SALINE, "3 mL")], [], "cup-6", by=on.ana, version=made.version)
    assert "belongs to 204181" in found.findings[0].says
    made.refresh_from_db()
    assert made.state == "begun"


def test_volumes_are_exact_to_the_nanolitre() -> None:
    from drawndose.department.work.change import millilitres, nanolitres, volume_words

    assert nanolitres(Fraction(1, 2)) == 500_000
    assert millilitres(500_000) == Fraction(1, 2)
    assert volume_words(2_500_000) == "2.5 mL"
    with pytest.raises(Refused, match="nanolitre"):
        nanolitres(Fraction(1, 3))
    with pytest.raises(Refused, match="below nothing"):
        nanolitres(Fraction(-1))


def test_an_order_that_leaves_something_open_is_not_complete() -> None:
    on = scene()
    open_ = order(on, "albuterol 2.5 mg/kg by nebulizer")
    assert open_.state == "entered"
    assert open_.duedose_set.count() == 0
    from drawndose.department.work import preparing

    with pytest.raises(Refused, match="the order is entered"):
        preparing.begin(open_, by=on.ana)


def test_every_fault_of_an_order_is_named() -> None:
    from drawndose.department.ledger.append import now

    on = scene()
    with pytest.raises(Refused) as refused:
        order(on, prescriber=" ", spoken=True, ordered_at=now() + timedelta(hours=1))
    assert {fault.field for fault in refused.value.faults} == {"prescriber", "read back", "ordered"}


def test_due_doses_follow_the_frequency_with_the_window_of_the_policy() -> None:
    from drawndose.department.work import orders

    on = scene()
    made = order(on)
    doses = list(made.duedose_set.order_by("due_at"))
    assert {b.due_at - a.due_at for a, b in pairwise(doses)} == {timedelta(hours=4)}
    assert {dose.to_at - dose.due_at for dose in doses} == {timedelta(hours=1)}
    assert orders.plan_doses(made, doses[0].due_at, by=on.ana, until=doses[-1].due_at) == doses
    assert order(on, f"{ORDER} as needed for wheeze").duedose_set.count() == 0
    assert order(on, "budesonide 0.5 mg by nebulizer once").duedose_set.count() == 1


def test_an_order_is_held_resumed_changed_and_ended() -> None:
    from drawndose.department.work import orders

    on = scene()
    first = order(on)
    orders.hold(first, by=on.ana, version=first.version, reason="off the ward")
    assert first.state == "on hold"
    orders.resume(first, by=on.ana, version=first.version)
    changed = written(ORDER.replace("4", "6"))
    second = orders.replace(first, changed, by=on.ana, version=first.version, reason="less wheeze")
    assert (first.state, second.replaces, second.state) == ("changed", first, "complete")
    assert set(first.duedose_set.values_list("state", flat=True)) == {"dropped"}
    orders.end(second, by=on.ana, version=second.version, reason="goes home")
    assert second.state == "ended"
    assert whole()


def test_what_is_done_to_a_container() -> None:
    from drawndose.department.work import shelf

    on = scene()
    bottle = received(on, BOTTLE, "20 mL")
    shelf.move(bottle, "room 12", by=on.ana, version=bottle.version, bedside=True)
    assert (bottle.place, bottle.bedside) == ("room 12", True)
    with pytest.raises(Refused, match="treatment area"):
        shelf.open_it(bottle, by=on.ana, version=bottle.version)
    shelf.doubt(bottle, by=on.ana, version=bottle.version, reason="cap was off")
    with pytest.raises(Refused, match="what is doubtful cannot be moved"):
        shelf.move(bottle, "shelf", by=on.ana, version=bottle.version)
    shelf.discard(bottle, by=on.ana, version=bottle.version, reason="cap was off")
    assert bottle.state == "discarded"


def test_every_fault_of_what_comes_to_the_shelf_is_named() -> None:
    on = scene()
    with pytest.raises(Refused) as refused:
        received(on, "nothing", "20 mL", lot="", expiry=date(2020, 1, 1), count=0)
    assert {fault.field for fault in refused.value.faults} == {"container", "lot", "count", "expiry"}
    with pytest.raises(Refused, match="does not come in this size"):
        received(on, BOTTLE, "21 mL")


def test_policy_is_chosen_with_a_reason_and_only_tightened() -> None:
    from drawndose.department.work.policy import choose, policy

    on = scene()
    for name, text in (("vial_life", "29 d"), ("start_within", "5 h"), ("colour", "blue"), ("bottle_life", "long")):
        with pytest.raises(Refused):
            choose(name, text, reason="because", by=on.cleo)
    with pytest.raises(Refused, match="reason"):
        choose("start_within", "4 h", reason="", by=on.cleo)
    assert policy().start_within.to("h").value == 1
    choose("start_within", "4 h", reason="chapter of 2023", by=on.cleo)
    assert policy().start_within.to("h").value == 4
    choose("start_within", "", reason="back to the shorter", by=on.cleo)
    assert policy().start_within.to("h").value == 1
