"""Orders as forms are sent: read before they are entered, spoken ones read back, changed, held, ended; bad input changes nothing."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from tests.department.furnished import AS_NEEDED, BY_WEIGHT, ward
from tests.department.scene import ORDER, order
from tests.pages import said, signed

pytestmark = pytest.mark.usefixtures("storage")


def hidden(answer, name: str) -> str:
    found = re.search(rf'name="{name}" value="([^"]*)"', answer.content.decode())
    return found[1] if found else ""


def form(browser, patient, text: str = ORDER, **more):
    """The fields of an order, read once, as the page then holds them."""
    sent = {"patient": patient.pk, "order": text, "prescriber": "Dr. Invented", "came": "written", "do": "read"}
    answer = browser.get(f"/orders/new/?patient={patient.pk}")
    for name in ("ordered", "first"):
        sent[name] = re.search(rf'name="{name}" value="([^"]*)"', answer.content.decode())[1]
    sent |= more
    read = browser.post("/orders/new/", sent)
    return sent | {"read": hidden(read, "read"), "key": hidden(read, "key"), "do": "enter"}


def orders() -> int:
    from drawndose.department.work.models import Order

    return Order.objects.count()


def events() -> int:
    from drawndose.department.ledger.models import Event

    return Event.objects.count()


def test_an_order_is_read_and_then_entered_and_its_doses_are_due() -> None:
    from drawndose.department.work.models import Order

    made = ward()
    browser = signed(made.on.ana)
    sent = form(browser, made.on.patient)
    read = browser.post("/orders/new/", sent | {"do": "read"})
    text = said(read)
    for piece in ("drug albuterol", "dose 2.5 mg", "fill made up to 3 mL", "frequency every 4 hours", "Due at"):
        assert piece in text
    assert "Reading is right: enter" in text
    assert orders() == 0
    answer = browser.post("/orders/new/", sent)
    entered = Order.objects.get()
    assert (answer.status_code, answer["Location"]) == (302, f"/orders/{entered.pk}/")
    page = said(browser.get(answer["Location"]))
    for part in ("Model, Dora", "born 05 Nov 1961", "no. 204118", "complete", "Dr. Invented", "Entered by ana"):
        assert part in page
    assert entered.duedose_set.count() == 7


def test_words_that_changed_after_they_were_read_are_not_entered() -> None:
    made = ward()
    browser = signed(made.on.ana)
    sent = form(browser, made.on.patient)
    before = events()
    answer = browser.post("/orders/new/", sent | {"order": ORDER.replace("2.5", "5")})
    assert (answer.status_code, "changed after they were read" in said(answer)) == (422, True)
    assert "dose 5 mg" in said(answer)
    assert (orders(), events()) == (0, before)


def test_what_is_not_understood_is_named_and_everything_typed_is_kept() -> None:
    made = ward()
    browser = signed(made.on.ana)
    answer = browser.post(
        "/orders/new/",
        {
            "patient": made.on.patient.pk,
            "order": "albuterol 2.5 mg by nebulizer QD with pixie dust",
            "prescriber": "Dr. Kept",
            "ordered": "9:61",
            "first": "tomorrow",
            "came": "spoken",
            "do": "enter",
        },
    )
    text = said(answer)
    assert answer.status_code == 422
    for fault in ("pixie dust", "QD is read as QID", "ordered", "first dose", "read back"):
        assert fault in text
    page = answer.content.decode()
    for kept in ('value="Dr. Kept"', 'value="9:61"', 'value="tomorrow"', "pixie dust</textarea>"):
        assert kept in page
    assert orders() == 0


def test_a_spoken_order_waits_for_its_read_back() -> None:
    from drawndose.department.work.models import Order

    made = ward()
    browser = signed(made.on.ana)
    sent = form(browser, made.on.patient, came="spoken")
    refused = browser.post("/orders/new/", sent)
    assert (refused.status_code, "written down, read back and confirmed" in said(refused)) == (422, True)
    assert orders() == 0
    browser.post("/orders/new/", sent | {"read_back": "yes"})
    entered = Order.objects.get()
    assert (entered.spoken, entered.read_back) == (True, True)
    assert "spoken, read back and confirmed" in said(browser.get(f"/orders/{entered.pk}/"))


def test_the_same_form_twice_enters_one_order() -> None:
    made = ward()
    browser = signed(made.on.ana)
    sent = form(browser, made.on.patient)
    first, second = (browser.post("/orders/new/", sent) for _ in range(2))
    assert (first.status_code, second["Location"]) == (302, first["Location"])
    assert orders() == 1


def test_a_pressed_answer_goes_into_the_words_and_is_read_again() -> None:
    made = ward()
    browser = signed(made.on.ana)
    sent = form(browser, made.on.patient, "albuterol 2.5 mg in 3 mL saline by nebulizer every 4 hours")
    read = browser.post("/orders/new/", sent | {"do": "read"})
    assert "mean 3 mL in all, or 3 mL added" in said(read)
    press = re.search(r'name="answer" value="(fill\|made up to 3 mL\|[^"]*)"', read.content.decode())[1]
    answer = browser.post("/orders/new/", sent | {"answer": press.replace("&quot;", '"')})
    assert (
        "albuterol 2.5 mg made up to 3 mL with saline by nebulizer every 4 hours</textarea>" in answer.content.decode()
    )
    assert orders() == 0


def test_an_order_that_lacks_something_is_entered_and_no_dose_is_due() -> None:
    from drawndose.department.work import patients
    from drawndose.department.work.models import Order

    made = ward()
    browser = signed(made.on.ana)
    answer = browser.post("/orders/new/", form(browser, made.eli, BY_WEIGHT))
    entered = Order.objects.get()
    page = said(browser.get(answer["Location"]))
    assert (entered.state, "What does the patient weigh" in page) == ("entered", True)
    assert "Complete the order" not in page
    today = entered.ordered_at.date()
    patients.weigh(made.eli, "20 kg", today, by=made.on.ana, version=made.eli.version, today=today)
    page = browser.get(answer["Location"])
    assert "Nothing is missing any more" in said(page)
    act = {"do": "complete", "version": entered.version, "key": hidden(page, "key")}
    assert browser.post(answer["Location"], act).status_code == 302
    entered.refresh_from_db()
    assert (entered.state, entered.weight_g, entered.duedose_set.count()) == ("complete", 20_000, 7)


def test_a_dose_outside_everything_published_is_stopped_where_it_is_typed() -> None:
    made = ward()
    browser = signed(made.on.ana)
    sent = form(browser, made.on.patient, "albuterol 25 mg by nebulizer, made up to 3 mL, every 4 hours")
    read = browser.post("/orders/new/", sent | {"do": "read"})
    assert "above every published dose" in said(read)
    assert '<button class="go" form="order-form" name="do" value="enter">' not in read.content.decode()


def test_another_order_of_the_same_drug_is_told() -> None:
    made = ward()
    order(made.on)
    browser = signed(made.on.ana)
    read = browser.post("/orders/new/", form(browser, made.on.patient) | {"do": "read"})
    assert "has an order of the same drug already" in said(read)


def test_an_allergy_stands_beside_the_order() -> None:
    from drawndose.department.work import patients

    made = ward()
    patients.set_allergies(made.on.patient, "sulfites", none_known=False, by=made.on.ana, version=1)
    page = said(signed(made.on.ana).get(f"/orders/new/?patient={made.on.patient.pk}"))
    assert "Allergies: sulfites" in page


@pytest.mark.parametrize("asked", ["", "x", "999999", "9" * 40])
def test_without_a_patient_one_is_chosen_first(asked: str) -> None:
    made = ward()
    answer = signed(made.on.ana).get(f"/orders/new/?patient={asked}")
    assert answer["Location"] == "/patients/?for=order"
    assert "Whose order is it?" in said(signed(made.on.ana).get(answer["Location"]))


def test_an_order_is_held_taken_up_changed_and_ended() -> None:
    made = ward()
    entered = order(made.on)
    browser, address = signed(made.on.ana), f"/orders/{entered.pk}/"

    def act(do: str, **more) -> int:
        page = browser.get(address)
        entered.refresh_from_db()
        sent = {"do": do, "version": entered.version, "key": hidden(page, "key")} | more
        return browser.post(address, sent).status_code

    assert act("hold") == 422
    assert act("hold", reason="in surgery") == 302
    assert "on hold" in said(browser.get(address))
    assert act("resume") == 302
    new = form(browser, made.on.patient, "albuterol 1.25 mg by nebulizer, made up to 3 mL, every 6 hours")
    entered.refresh_from_db()
    change = new | {"version": entered.version}
    assert browser.post(f"{address}change/", change).status_code == 422
    later = browser.post(f"{address}change/", change | {"reason": "less wheeze"})
    entered.refresh_from_db()
    assert (entered.state, later["Location"]) == ("changed", f"/orders/{entered.replaced_by.pk}/")
    assert set(entered.duedose_set.values_list("state", flat=True)) == {"dropped"}
    again = browser.post(f"{address}change/", change | {"reason": "less wheeze"})
    assert again["Location"] in {later["Location"], address}
    assert orders() == 2
    entered, address = entered.replaced_by, later["Location"]
    assert act("end", reason="goes home") == 302
    page = said(browser.get(address))
    assert "ended" in page
    assert "Put on hold" not in page


def test_two_tabs_cannot_both_change_an_order() -> None:
    made = ward()
    entered = order(made.on)
    browser, address = signed(made.on.ana), f"/orders/{entered.pk}/"
    old = {"do": "hold", "reason": "in surgery", "version": entered.version}
    assert browser.post(address, old | {"key": "a"}).status_code == 302
    answer = browser.post(address, {"do": "end", "reason": "goes home", "version": entered.version, "key": "b"})
    assert (answer.status_code, "it changed meanwhile" in said(answer)) == (409, True)
    assert 'value="goes home"' in answer.content.decode()
    entered.refresh_from_db()
    assert entered.state == "on hold"
    assert browser.post(address, old | {"key": "a"}).status_code == 302


def test_a_dose_as_needed_is_asked_for_and_held_to_its_interval() -> None:
    from drawndose.department.work import giving
    from tests.department.scene import labelled

    made = ward()
    given, _, _ = labelled(made.on)
    giving.give(given, "204118", "1961-11-05", by=made.on.cleo, version=given.version)
    needed = order(made.on, AS_NEEDED)
    browser, address = signed(made.on.cleo), f"/orders/{needed.pk}/"
    assert "A dose is needed now" in said(browser.get(address))
    near = browser.post(address, {"do": "ask", "version": needed.version, "key": "a"})
    text = said(near)
    assert (near.status_code, "Reason to go on" in text) == (422, True)
    assert "the order says every 4 h" in text
    assert needed.duedose_set.count() == 0
    sure = {"do": "ask", "version": needed.version, "key": "a", "reason": "Dr. Invented asked for it"}
    assert browser.post(address, sure).status_code == 302
    assert needed.duedose_set.count() == 1


def test_a_due_dose_is_not_given_with_reason_and_who_was_told() -> None:
    made = ward()
    entered = order(made.on)
    dose = entered.duedose_set.order_by("due_at").first()
    browser, address = signed(made.on.cleo), f"/orders/{entered.pk}/doses/{dose.pk}/"
    assert "This dose is not given" in said(browser.get(address))
    sent = {"version": dose.version, "key": "a", "reason": "refused"}
    refused = browser.post(address, sent)
    assert (refused.status_code, 'value="refused"' in refused.content.decode()) == (422, True)
    assert browser.post(address, sent | {"told": "Dr. Invented"}).status_code == 302
    dose.refresh_from_db()
    assert dose.state == "not given"
    other = order(made.on)
    assert browser.get(f"/orders/{other.pk}/doses/{dose.pk}/").status_code == 404


def test_what_a_person_may_not_do_is_refused_whatever_is_sent() -> None:
    made = ward()
    entered = order(made.on)
    before = events()
    for who in (made.on.ben, made.on.cleo):
        browser = signed(who)
        assert browser.get("/orders/new/").status_code == 403
        assert browser.get(f"/orders/{entered.pk}/change/").status_code == 403
        for do in ("hold", "resume", "end", "complete", "anything"):
            answer = browser.post(
                f"/orders/{entered.pk}/", {"do": do, "reason": "x", "version": entered.version, "key": "k"}
            )
            assert answer.status_code == 403, (who, do)
    assert signed(made.on.ben).post(f"/orders/{entered.pk}/", {"do": "ask"}).status_code == 403
    assert signed(made.on.ana).post(f"/orders/{entered.pk}/", {"do": "anything"}).status_code == 422
    assert events() == before


def test_a_paste_of_five_megabytes_is_told_and_does_nothing() -> None:
    made = ward()
    browser = signed(made.on.ana)
    answer = browser.post(
        "/orders/new/", {"patient": made.on.patient.pk, "order": "albuterol " * 500_000, "do": "read"}
    )
    assert (answer.status_code, "no form here takes more" in said(answer)) == (413, True)
    long = browser.post("/orders/new/", {"patient": made.on.patient.pk, "order": "albuterol " * 2_000, "do": "read"})
    assert (long.status_code, "at most 10,000 characters" in said(long)) == (422, True)
    assert orders() == 0


def test_the_reading_comes_alone_while_typing() -> None:
    made = ward()
    browser = signed(made.on.ana)
    answer = browser.post(
        "/orders/new/", {"patient": made.on.patient.pk, "order": ORDER}, headers={"hx-request": "true"}
    )
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "<html" not in page
    assert 'id="reading"' in page
    assert 'name="read"' in page


def test_a_weight_that_changed_since_is_told_with_both_numbers() -> None:
    from drawndose.department.work import patients

    made = ward()
    today = made.on.patient.born + timedelta(days=23_000)
    patients.weigh(made.eli, "20 kg", today, by=made.on.ana, version=made.eli.version, today=today)
    made.on.patient = made.eli
    entered = order(made.on, BY_WEIGHT)
    patients.weigh(made.eli, "22 kg", today, by=made.on.ana, version=made.eli.version, today=today)
    page = said(signed(made.on.ana).get(f"/orders/{entered.pk}/"))
    assert "The order counts with 20 kg; the last weight is 22 kg." in page


def test_how_many_doses_there_are_in_all_stands_beside_the_reading_and_on_the_page() -> None:
    made = ward()
    browser = signed(made.on.ana)
    words = {"patient": made.on.patient.pk, "order": ORDER.replace("every 4 hours", "every 20 min for 3 doses")}
    words |= {"first": "2026-11-25 14:05"}
    read = said(browser.post("/orders/new/", words, headers={"hx-request": "true"}))
    assert "3 in all, the last one 25 Nov 2026 14:45" in read
    assert "and so on" not in read
    assert "Reading is right: enter" in read  # no press is needed for a reading that stands there
    assert "and so on" in said(browser.post("/orders/new/", words | {"order": ORDER}, headers={"hx-request": "true"}))
    from tests.department.scene import order

    row = order(made.on, words["order"])
    assert "3 in all: 3 to come. What falls due counts" in said(browser.get(f"/orders/{row.pk}/"))
