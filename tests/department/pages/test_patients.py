"""Patients as forms are sent: found by the whole number or by name, added, weighed, corrected; nothing half-done."""

from __future__ import annotations

import pytest

from tests.department.furnished import furnished, ward
from tests.department.scene import order
from tests.pages import said, signed, words

pytestmark = pytest.mark.usefixtures("storage")


def events() -> int:
    from drawndose.department.ledger.models import Event

    return Event.objects.count()


def test_a_number_with_one_digit_wrong_finds_nobody_and_says_so() -> None:
    made = ward()
    browser = signed(made.on.ana)
    found = said(browser.get("/patients/?q=204118"))
    assert "Model, Dora born 05 Nov 1961 no. 204118" in found
    wrong = said(browser.get("/patients/?q=204119"))
    assert "No patient here has the number 204119" in wrong
    assert "Model, Dora" not in wrong
    assert "Specimen, Eli" in said(browser.get("/patients/?q=spec"))
    assert "No patient's name begins with zz" in said(browser.get("/patients/?q=zz"))


def test_patients_with_orders_stand_first_and_the_list_leads_to_an_order() -> None:
    made = ward()
    order(made.on)
    browser = signed(made.on.ana)
    page = browser.get("/patients/").content.decode()
    assert "Model, Dora" in words(page)
    assert "Specimen, Eli" not in words(page)
    assert f'href="/orders/new/?patient={made.on.patient.pk}"' in browser.get("/patients/?for=order").content.decode()


def test_a_patient_is_added_with_what_was_typed_kept_when_it_is_refused() -> None:
    from drawndose.department.work.models import Patient

    made = ward()
    browser = signed(made.on.ana)
    sent = {"name": "Example, Noa", "born": "11/05/1961", "number": "77", "key": "a"}
    refused = browser.post("/patients/new/", sent)
    assert (refused.status_code, 'value="11/05/1961"' in refused.content.decode()) == (422, True)
    assert "so that it can be read in one way only" in said(refused)
    answer = browser.post("/patients/new/", sent | {"born": "05 Nov 1961"})
    noa = Patient.objects.get(number="77")
    assert answer["Location"] == f"/patients/{noa.pk}/"
    assert browser.post("/patients/new/", sent | {"born": "05 Nov 1961"})["Location"] == answer["Location"]
    assert Patient.objects.filter(number="77").count() == 1


def test_the_same_name_and_birthday_is_asked_about_before_a_second_number() -> None:
    made = ward()
    browser = signed(made.on.ana)
    sent = {"name": "Model, Dora", "born": "1961-11-05", "number": "204119", "key": "a"}
    asked = browser.post("/patients/new/", sent)
    assert (asked.status_code, "no. 204118" in said(asked), 'name="other"' in asked.content.decode()) == (
        422,
        True,
        True,
    )
    assert browser.post("/patients/new/", sent | {"other": "another person, both seen"}).status_code == 302


def test_the_page_of_a_patient_shows_everything_and_takes_weight_and_allergies() -> None:
    from drawndose.department.ledger.append import now

    made = furnished()
    browser, address = signed(made.on.ana), f"/patients/{made.eli.pk}/"
    text = said(browser.get(address))
    for part in ("Specimen, Eli", "no. 310472", "20 kg", "Allergies: not asked", "as needed for wheeze", "Due"):
        assert part in text
    made.eli.refresh_from_db()
    sent = {"do": "weigh", "weight": "21", "weighed_on": f"{now():%d %b %Y}", "version": made.eli.version, "key": "a"}
    refused = browser.post(address, sent)
    assert (refused.status_code, "21 kg" in said(refused), 'value="21"' in refused.content.decode()) == (
        422,
        True,
        True,
    )
    doubtful = browser.post(address, sent | {"weight": "2.1 kg"})
    assert (doubtful.status_code, 'name="sure"' in doubtful.content.decode()) == (422, True)
    assert browser.post(address, sent | {"weight": "21 kg"}).status_code == 302
    assert browser.post(address, sent | {"weight": "21 kg"}).status_code == 302
    made.eli.refresh_from_db()
    assert (made.eli.weight_g, made.eli.version) == (21_000, 3)
    stale = browser.post(address, {"do": "allergies", "allergies": "sulfites", "version": 1, "key": "b"})
    assert (stale.status_code, "it changed meanwhile" in said(stale)) == (409, True)
    good = {"do": "allergies", "allergies": "sulfites, latex", "version": 3, "key": "c"}
    assert browser.post(address, good).status_code == 302
    assert "Allergies: sulfites, latex" in said(browser.get(address))


def test_a_correction_stands_in_the_history_with_its_reason() -> None:
    made = ward()
    browser, address = signed(made.on.ana), f"/patients/{made.eli.pk}/"
    sent = {"do": "correct", "name": "Specimen, Elias", "born": "2020-05-01", "number": "310472", "version": 1}
    assert browser.post(address, sent | {"key": "a"}).status_code == 422
    assert browser.post(address, sent | {"key": "a", "reason": "misheard"}).status_code == 302
    assert "Corrected by ana misheard was Specimen, Eli, no. 310472" in said(browser.get(address))


def test_who_may_what() -> None:
    made = ward()
    before = events()
    address = f"/patients/{made.eli.pk}/"
    checker = signed(made.on.ben)
    assert checker.get(address).status_code == 200
    assert checker.get("/patients/new/").status_code == 403
    for do in ("weigh", "allergies", "correct", "anything"):
        assert checker.post(address, {"do": do, "version": 1}).status_code == 403, do
    giver = signed(made.on.cleo)
    assert giver.post(address, {"do": "correct", "version": 1}).status_code == 403
    assert giver.post(address, {"do": "anything", "version": 1}).status_code == 422
    assert events() == before
    assert giver.get("/patients/999999/").status_code == 404


def test_a_long_paste_into_a_box_is_refused_whole() -> None:
    made = ward()
    browser, address = signed(made.on.ana), f"/patients/{made.eli.pk}/"
    before = events()
    long = browser.post(address, {"do": "allergies", "allergies": "latex, " * 2_000, "version": 1, "key": "a"})
    assert (long.status_code, "at most 500 characters" in said(long)) == (422, True)
    huge = browser.post("/patients/new/", {"name": "x" * 5_000_000, "born": "2020-05-01", "number": "1"})
    assert huge.status_code == 413
    assert browser.get("/patients/?q=" + "9" * 5_000).status_code == 200
    assert events() == before


def test_due_doses_stand_under_their_order_day_by_day() -> None:
    made = ward()
    made.on.patient = made.ida
    ordered = order(made.on)
    from drawndose.department.pages.patients import due_times

    (found, days), *more = due_times(ordered.duedose_set.order_by("due_at"))
    assert (found, more) == (ordered, [])
    assert sum(len(clocks.split(", ")) for _, clocks in days) == ordered.duedose_set.count() > 1
    text = said(signed(made.on.ana).get(f"/patients/{made.ida.pk}/"))
    assert all(f"{day} {clocks}" in text for day, clocks in days)
