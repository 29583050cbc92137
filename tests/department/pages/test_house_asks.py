"""On the pages: what a department asks beyond the engine, and what it tells of its records."""

from __future__ import annotations

import pytest

from tests.department.crew import crew
from tests.department.pages.test_orders import form as order_form
from tests.department.pages.test_orders import signed
from tests.department.pages.test_sheet import browser, given, labelled, page, press
from tests.department.scene import order
from tests.pages import client

pytestmark = pytest.mark.usefixtures("storage")


def choose(on, name: str, text: str) -> None:
    from drawndose.department.work.policy import choose

    choose(name, text, reason="written policy", by=on.cleo)


def test_the_reason_for_the_drug_is_asked_beside_the_order_and_no_change_takes_its_place() -> None:
    from drawndose.department.work.models import Order
    from tests.department.furnished import ward

    made = ward()
    ana = signed(made.on.ana)
    sent = order_form(ana, made.on.patient, "albuterol 2.5 mg by nebulizer every 4 hours as needed")
    refused = ana.post("/orders/new/", sent)
    assert refused.status_code == 422
    assert "what the drug is for is named here" in page(refused)
    assert ana.post("/orders/new/", sent | {"for what": "wheeze"}).status_code == 302
    entered = Order.objects.get(reason="wheeze")
    assert ana.post("/orders/new/", sent | {"for what": "wheeze, QD", "key": "another"}).status_code == 302
    other = Order.objects.get(reason="wheeze, QD")
    assert 'what it is for: "QD" has been misread; write daily.' in page(ana.get(f"/orders/{other.pk}/"))
    assert "has been misread" not in page(ana.get(f"/orders/{entered.pk}/"))
    change = ana.get(f"/orders/{entered.pk}/change/")
    assert 'name="for what" value="wheeze"' in change.content.decode()


def test_the_rights_of_the_policy_are_boxes_of_their_own(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    choose(on, "more_rights", "reason, documentation")
    _, made = labelled(on, monkeypatch)
    cleo = browser(on.cleo)
    who = {"number": "204118", "born": "19611105"}
    unticked = {"right reason": "", "right documentation": ""}
    refused = press(cleo, f"/sheet/{made.pk}/give/", "give-form", do="given", **who, **unticked)
    assert refused.status_code == 422
    assert "reason: it is confirmed here" in page(refused)
    ticked = {"right reason": "yes", "right documentation": "yes"}
    assert press(cleo, f"/sheet/{made.pk}/give/", "give-form", do="given", **who, **ticked).status_code == 302
    assert "confirmed: reason, documentation" in page(cleo.get(f"/sheet/{made.pk}/record/"))


def test_a_reaction_stands_in_the_record_with_its_lots(monkeypatch: pytest.MonkeyPatch) -> None:
    on = crew()
    cleo, made = given(on, monkeypatch)
    answer = press(cleo, f"/sheet/{made.pk}/close/", "close-form", do="close", reaction="airways tightened")
    assert answer.status_code == 302, page(answer)
    record = page(cleo.get(f"/sheet/{made.pk}/record/"))
    assert "Saw a reaction airways tightened" in record
    assert "lot 4K21" in record


def test_a_sheet_begins_with_what_the_house_gives_first() -> None:
    on = crew()
    choose(on, "order_of_drugs", "albuterol, budesonide")
    first, second = order(on), order(on, "budesonide 0.5 mg by nebulizer twice daily")
    dose = {one: one.duedose_set.order_by("due_at").first() for one in (first, second)}
    ana = browser(on.ana)
    told = ana.get(f"/sheet/new/?dose={dose[second].pk}")
    assert "Given before this one here: albuterol 2.5 mg by nebulizer" in page(told)
    assert f"?dose={dose[first].pk}" in told.content.decode()
    assert "Given before this one here" not in page(ana.get(f"/sheet/new/?dose={dose[first].pk}"))


def test_how_long_records_are_kept_is_told_where_they_are_searched() -> None:
    on = crew()
    cleo = browser(on.cleo)
    assert "How long records are kept is not decided here." in page(cleo.get("/records/"))
    choose(on, "keeping_years", "10")
    assert "Kept here for 10 years by the policy. Nothing is deleted by itself." in page(cleo.get("/records/"))


def test_how_records_are_reached_in_an_emergency_is_told_before_anyone_signs_in(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from django.conf import settings

    from drawndose.department.chosen import Chosen

    crew()
    assert "in an emergency" not in page(client().get("/sign-in/"))
    words = "call the charge nurse; the copy lies in the pharmacy"
    monkeypatch.setattr(settings, "CHOSEN", Chosen(values={"emergency_access": words}))
    told = page(client().get("/sign-in/"))
    assert "Records in an emergency: call the charge nurse; the copy lies in the pharmacy" in told
