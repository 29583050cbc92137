"""What a department may ask beyond the engine: a reason in the order, more rights at giving, an order of drugs, a reaction with its lots."""

from __future__ import annotations

from datetime import timedelta

import pytest

from drawndose.quantities import Refused
from tests.department.scene import labelled, order, scene

pytestmark = pytest.mark.usefixtures("storage")

WHO = ("204118", "1961-11-05")
AS_NEEDED = "albuterol 2.5 mg by nebulizer every 4 hours as needed"


def choose(on, name: str, text: str) -> None:
    from drawndose.department.work.policy import choose

    choose(name, text, reason="written policy", by=on.cleo)


def test_an_order_as_needed_names_its_reason_in_its_words_or_beside_them() -> None:
    from drawndose.department.work.models import Order

    on = scene()
    with pytest.raises(Refused, match="what the drug is for is named here"):
        order(on, AS_NEEDED)
    assert not Order.objects.exists()
    assert order(on, f"{AS_NEEDED} for wheezing").reason == ""
    assert order(on, AS_NEEDED, reason="wheeze").reason == "wheeze"
    assert order(on).reason == ""


def test_which_orders_name_their_reason_is_a_setting() -> None:
    from drawndose.department.ledger.models import Event

    on = scene()
    choose(on, "reason_in_order", "every one")
    with pytest.raises(Refused, match="of orders: every one"):
        order(on)
    assert order(on, reason="asthma").reason == "asthma"
    assert Event.objects.filter(name="order.entered").latest("number").content["reason"] == "asthma"
    assert order(on, f"{AS_NEEDED} for wheezing").reason == ""
    choose(on, "reason_in_order", "none")
    assert order(on, AS_NEEDED).reason == ""


def test_nothing_is_given_before_every_right_of_the_policy_is_confirmed() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work import giving

    on = scene()
    made, _, _ = labelled(on)
    assert giving.more_rights() == ()
    choose(on, "more_rights", "reason, right to refuse")
    with pytest.raises(Refused) as refused:
        giving.give(made, *WHO, by=on.cleo, version=made.version, rights=("reason",))
    assert [one.field for one in refused.value.faults] == ["right to refuse"]
    assert made.state == "labelled"
    giving.give(made, *WHO, by=on.cleo, version=made.version, rights=("reason", "right to refuse"))
    given = Event.objects.get(name="preparation.given")
    assert given.content["rights"] == ["reason", "right to refuse"]


def test_a_reaction_is_kept_with_every_lot_and_told_to_the_manager() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.ledger.models import Event
    from drawndose.department.work import giving
    from drawndose.department.work.day import day
    from drawndose.department.work.places import local

    on = scene()
    made, _, _ = labelled(on)
    giving.give(made, *WHO, by=on.cleo, version=made.version)
    known = {"given_nl": made.total_nl, "wasted_nl": 0, "left_nl": 0, "by": on.cleo, "version": made.version}
    assert giving.close(made, **known, reaction=" airways tightened ") == ()
    event = Event.objects.get(name=giving.REACTION)
    assert (event.subject, event.reason, event.content["seen"]) == (
        str(made.pk),
        "airways tightened",
        "airways tightened",
    )
    assert len(event.content["of"]) == 2
    assert all(one.endswith("lot 4K21") for one in event.content["of"])
    report = day(local(on.site, now()).date(), on.site, now())
    (told,) = [one for one in report.told if one.event == event]
    assert told.about.startswith(f"sheet {made.pk}, Model, Dora, no. 204118")


def test_without_a_reaction_there_is_no_event_of_one() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work import giving

    on = scene()
    made, _, _ = labelled(on)
    giving.give(made, *WHO, by=on.cleo, version=made.version)
    giving.close(made, given_nl=made.total_nl, wasted_nl=0, left_nl=0, by=on.cleo, version=made.version, reaction="  ")
    assert not Event.objects.filter(name=giving.REACTION).exists()


def test_drugs_that_the_house_gives_first_are_named_when_they_are_due_too() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import inhaled_order
    from drawndose.department.work.models import Patient

    on = scene()
    late, steroid = (
        order(on, "tobramycin 300 mg by nebulizer twice daily"),
        order(on, "budesonide 0.5 mg by nebulizer twice daily"),
    )
    opener, unlisted = order(on), order(on, "ipratropium 0.5 mg by nebulizer every 6 hours")
    order(on, "levalbuterol 0.63 mg by nebulizer every 8 hours", first_at=now() + timedelta(hours=3))
    of = {one: one.duedose_set.order_by("due_at").first() for one in (late, steroid, opener, unlisted)}
    assert inhaled_order.before(of[steroid]) == ()
    choose(on, "order_of_drugs", "levalbuterol, albuterol, tobramycin, budesonide")
    assert [one.order for one in inhaled_order.before(of[steroid])] == [opener, late]
    assert [one.order for one in inhaled_order.before(of[late])] == [opener]
    assert inhaled_order.before(of[opener]) == ()
    assert inhaled_order.before(of[unlisted]) == ()
    assert Patient.objects.count() == 1


def test_words_that_can_no_longer_be_read_have_no_place_in_the_order() -> None:
    from drawndose.department.work import inhaled_order

    on = scene()
    choose(on, "order_of_drugs", "albuterol, budesonide")
    first, second = order(on), order(on, "budesonide 0.5 mg by nebulizer twice daily")
    first.text = "a drug of yesterday"
    first.save(update_fields=["text"])
    dose = second.duedose_set.order_by("due_at").first()
    assert inhaled_order.before(dose) == ()
