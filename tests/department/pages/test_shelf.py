"""The shelf as forms are sent: received by scan, opened with its discard date, moved, doubted, corrected; recall; labels."""

from __future__ import annotations

import re
from datetime import date

import pytest

from tests.department.furnished import LEVALBUTEROL, furnished, ward
from tests.department.scene import BOTTLE, SALINE, labelled, received
from tests.pages import said, signed, words

pytestmark = pytest.mark.usefixtures("storage")
GTIN = "00312345678906"
SCAN = "]d2010031234567890617700630" + "10AB12"


def events(name: str = "") -> int:
    from drawndose.department.ledger.models import Event

    return Event.objects.filter(name__startswith=name).count()


def bottle(made, **more):
    return received(made.on, BOTTLE, "20 mL", **more)


def test_the_shelf_shows_what_expires_next_doses_left_and_the_limit_with_its_source() -> None:
    made = furnished()
    answer = signed(made.on.ana).get("/shelf/")
    page, text = answer.content.decode(), said(answer)
    first = page.index(f'id="{LEVALBUTEROL}"')
    assert first < page.index(f'id="{SALINE}"') < page.index(f'id="{BOTTLE}"')
    assert page.count("standing-drawing") >= 6
    assert "4 of lot L7X" in text
    assert "From: Joint Commission" in text
    assert "Its life after opening is not decided" in text
    assert "only for Model, Dora, no. 204118" in text
    assert "Doses left 4" in text
    assert said(signed(made.on.ana).get("/shelf/?q=nothing")).count("Nothing on the shelf has nothing") == 1


def test_an_empty_shelf_says_how_to_begin() -> None:
    made = ward()
    assert "The shelf is empty. Scan the first item" in said(signed(made.on.ana).get("/shelf/"))
    assert "Scan the first item" not in said(signed(made.on.ben).get("/shelf/"))


def test_a_level_puts_a_product_on_top_to_reorder() -> None:
    made = furnished()
    browser = signed(made.max)
    sent = {"of": LEVALBUTEROL, "reorder_at": "6", "key": "a"}
    refused = browser.post("/shelf/levels/", sent)
    assert (refused.status_code, 'value="6"' in refused.content.decode()) == (422, True)
    assert browser.post("/shelf/levels/", sent | {"reason": "a day's worth"}).status_code == 302
    assert "To reorder levalbuterol 0.63 mg solution, unit dose 4 doses left reorder at 6" in said(
        browser.get("/shelf/")
    )
    assert signed(made.on.ana).get("/shelf/levels/").status_code == 403
    assert browser.get("/shelf/levels/?of=nothing").status_code == 404


def test_a_scan_fills_in_lot_and_expiry_and_an_unknown_product_is_asked_once_and_remembered() -> None:
    from drawndose.department.work.models import Container, KnownCode

    made = ward()
    browser = signed(made.on.ana)
    filled = browser.post("/shelf/receive/", {"scan": SCAN, "do": "scan", "count": "2", "place": "Cupboard 2"})
    page = filled.content.decode()
    for kept in (f'name="code" value="{GTIN}"', 'value="AB12"', 'value="30 Jun 2070"', 'value="Cupboard 2"'):
        assert kept in page, kept
    assert "not known here" in words(page)
    sent = {
        "do": "receive",
        "code": GTIN,
        "lot": "AB12",
        "expiry": "30 Jun 2099",
        "count": "2",
        "key": "a",
        "place": "C2",
    }
    asked = browser.post("/shelf/receive/", sent)
    assert (asked.status_code, "which product is it" in said(asked)) == (422, True)
    assert Container.objects.count() == KnownCode.objects.count() == 0
    answer = browser.post("/shelf/receive/", sent | {"product": f"{SALINE}|3 mL"})
    assert answer.status_code == 302
    known = KnownCode.objects.get()
    assert (known.code, known.presentation, known.pack, known.by) == (GTIN, SALINE, "3 mL", made.on.ana)
    assert Container.objects.filter(lot="AB12", code=GTIN, place="C2").count() == 2
    assert "2 on the shelf: sodium chloride 0.9 %" in said(browser.get(answer["Location"]))
    again = browser.post("/shelf/receive/", {"scan": SCAN, "do": "scan"})
    assert f'value="{SALINE}|3 mL" selected' in again.content.decode()
    assert "as Ana Sample said on" in said(again)


def test_the_same_form_twice_receives_once() -> None:
    from drawndose.department.work.models import Container

    made = ward()
    browser = signed(made.on.ana)
    sent = {"do": "receive", "product": f"{SALINE}|3 mL", "lot": "L1", "expiry": "2099-01-31", "count": "3", "key": "a"}
    first, second = (browser.post("/shelf/receive/", sent) for _ in range(2))
    assert first["Location"] == second["Location"]
    assert Container.objects.count() == 3


def test_a_number_that_means_another_product_is_matched_anew_only_with_a_reason() -> None:
    from drawndose.department.work import known_codes
    from drawndose.department.work.models import Container

    made = ward()
    known_codes.remember(GTIN, SALINE, "3 mL", by=made.on.ben)
    browser = signed(made.on.ana)
    sent = {"do": "receive", "product": f"{LEVALBUTEROL}|3 mL", "lot": "L1", "expiry": "2099-01-31", "count": "1"}
    sent |= {"code": GTIN, "key": "a"}
    refused = browser.post("/shelf/receive/", sent)
    assert (refused.status_code, "Ben Example said on" in said(refused), Container.objects.count()) == (422, True, 0)
    assert 'name="anew"' in refused.content.decode()
    assert browser.post("/shelf/receive/", sent | {"anew": "looked at the carton"}).status_code == 302
    assert known_codes.known(GTIN).presentation == LEVALBUTEROL


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "code"),
        ("hello", "it is no code"),
        ("]d20100312345678907", "check digit"),
        ("]C1" + "9" * 500, "a scan is shorter"),
        ("12345-678-90", "no product number"),
    ],
)
def test_a_code_that_is_none_says_so_and_keeps_the_form(text: str, told: str) -> None:
    made = ward()
    answer = signed(made.on.ana).post("/shelf/receive/", {"scan": text, "do": "scan", "lot": "kept", "count": "7"})
    assert answer.status_code == 422
    assert told in said(answer)
    assert 'value="kept"' in answer.content.decode()


def test_a_code_that_can_be_read_in_two_ways_is_asked() -> None:
    made = ward()
    browser = signed(made.on.ana)
    answer = browser.post("/shelf/receive/", {"scan": f"01{GTIN}10AB1217700630", "do": "scan"})
    page = answer.content.decode()
    assert "Which one is printed?" in words(page)
    reading = re.findall(r'name="reading" value="([^"]+)"', page)[1]
    filled = browser.post("/shelf/receive/", {"reading": reading, "scan": ""})
    assert "Scanned: product number" in said(filled)


@pytest.mark.parametrize(
    "wrong",
    [{"lot": ""}, {"lot": "x" * 21}, {"expiry": "06/27"}, {"expiry": "2020-01-31"}, {"count": "0"}, {"count": "many"}, {"product": "nothing|3 mL"}, {"product": f"{SALINE}|7 mL"}],
)  # fmt: skip
def test_what_cannot_be_received_is_refused_and_nothing_stands_there(wrong: dict[str, str]) -> None:
    from drawndose.department.work.models import Container, KnownCode

    made = ward()
    good = {"do": "receive", "product": f"{SALINE}|3 mL", "lot": "L1", "expiry": "2099-01-31", "count": "1", "key": "a"}
    answer = signed(made.on.ana).post("/shelf/receive/", good | {"code": GTIN} | wrong)
    assert answer.status_code == 422
    assert Container.objects.count() == KnownCode.objects.count() == events("container.") == events("code.") == 0


def test_opening_a_vial_prints_its_discard_date_on_the_spot() -> None:
    from datetime import timedelta

    from drawndose.department.work.policy import choose

    made = ward()
    choose("bottle_life", "7 d", reason="decided by the chief", by=made.max)
    row = bottle(made)
    browser, address = signed(made.on.ana), f"/shelf/{row.pk}/"
    sent = {"do": "open", "version": row.version, "key": "a"}
    nobody = browser.post(address, sent)
    assert (nobody.status_code, "the policy allows no shared ones" in said(nobody)) == (422, True)
    wrong = browser.post(address, sent | {"number": "204119", "born": "1961-11-05"})
    assert (wrong.status_code, "not those of one patient" in said(wrong)) == (422, True)
    assert 'value="204119"' in wrong.content.decode()
    answer = browser.post(address, sent | {"number": "204118", "born": "05 Nov 1961"})
    assert answer["Location"] == f"{address}?opened=1"
    row.refresh_from_db()
    assert (row.state, row.owner, row.discard_after) == ("opened", made.on.patient, row.opened_at.date() + timedelta(7))
    text = said(browser.get(answer["Location"]))
    assert "Write on it now" in text
    assert f"Discard after {row.discard_after:%d %b %Y}" in text
    pdf = browser.get(f"{address}label.pdf")
    assert (pdf.status_code, pdf["Content-Type"], pdf.content[:5]) == (200, "application/pdf", b"%PDF-")


def test_a_bottle_without_a_decided_life_has_no_label_and_says_why() -> None:
    made = ward()
    row = bottle(made)
    browser, address = signed(made.on.ana), f"/shelf/{row.pk}/"
    assert browser.get(f"{address}label.pdf")["Content-Type"] == "application/pdf"
    sent = {"do": "open", "version": row.version, "key": "a", "number": "204118", "born": "1961-11-05"}
    text = said(browser.get(browser.post(address, sent)["Location"]))
    assert "No discard date is known" in text
    assert browser.get(f"{address}label.pdf").status_code == 404


def test_a_container_is_moved_corrected_emptied_doubted_and_thrown_away() -> None:
    made = ward()
    _, row, saline = labelled(made.on)
    browser, address = signed(made.on.ana), f"/shelf/{row.pk}/"

    def act(do: str, **more) -> int:
        row.refresh_from_db()
        return browser.post(
            address, {"do": do, "version": row.version, "key": f"{do}-{row.version}"} | more
        ).status_code

    assert act("move", place="") == 422
    assert act("move", place="Room 12", bedside="yes") == 302
    assert act("correct", left="18 mL") == 422
    assert act("correct", left="18 mL", reason="seen") == 302
    assert act("doubt", reason="") == 422
    assert act("doubt", reason="touched") == 302
    assert act("empty") == 422
    assert act("discard", reason="doubtful") == 302
    text = said(browser.get(address))
    for part in (
        "discarded",
        "18 mL of 20 mL",
        "19.5 mL to 18 mL",
        "from no place to Room 12, at a bedside",
        "0.5 mL for Model, Dora, no. 204118",
        "Doubted by ana touched",
    ):
        assert part in text, part
    assert act("discard", reason="again") == 422
    assert signed(made.on.ana).get(f"/shelf/{saline.pk}/").status_code == 200


def test_two_tabs_and_a_form_sent_twice() -> None:
    made = ward()
    row = bottle(made)
    browser, address = signed(made.on.ana), f"/shelf/{row.pk}/"
    old = {"do": "move", "place": "Cart", "version": row.version, "key": "a"}
    assert browser.post(address, old).status_code == 302
    assert browser.post(address, old).status_code == 302
    assert events("container.moved") == 1
    stale = browser.post(address, {"do": "doubt", "reason": "kept words", "version": row.version, "key": "b"})
    assert (stale.status_code, 'value="kept words"' in stale.content.decode()) == (409, True)
    row.refresh_from_db()
    assert row.state == "received"


def test_what_stands_against_a_container_is_shown_and_a_caution_may_be_silenced() -> None:
    made = ward()
    row = bottle(made)
    from drawndose.department.work import shelf

    shelf.open_it(row, by=made.on.ana, version=row.version)
    browser, address = signed(made.on.ana), f"/shelf/{row.pk}/"
    page = browser.get(address).content.decode()
    link = re.search(r'href="(/rules/silence/\?[^"]+)"', page)[1].replace("&amp;", "&")
    form = browser.get(link).content.decode()
    sent = {
        name: re.search(rf'name="{name}" value="([^"]*)"', form)[1] for name in ("rule", "presentation", "back", "key")
    }
    refused = browser.post("/rules/silence/", sent | {"days": "7", "reason": ""})
    assert refused.status_code == 422
    answer = browser.post("/rules/silence/", sent | {"days": "7", "reason": "known here"})
    assert answer["Location"] == address
    again = words(browser.get(address).content.decode())
    assert "1 caution that you silenced" in again
    assert "known here" in again
    other = words(signed(made.max).get(address).content.decode())
    assert "that you silenced" not in other
    rules = words(signed(made.max).get("/rules/").content.decode())
    assert "Ana Sample" in rules
    assert "known here" in rules
    number = re.search(r'name="again" value="(\d+)"', browser.get("/rules/").content.decode())[1]
    assert signed(made.max).post("/rules/", {"again": number, "key": "x"}).status_code == 422
    assert browser.post("/rules/", {"again": number, "key": "y"}).status_code == 302
    assert "that you silenced" not in words(browser.get(address).content.decode())


def test_a_stop_has_no_link_to_silence_it_and_no_address_leads_elsewhere() -> None:
    made = ward()
    browser = signed(made.on.ana)
    page = browser.get("/rules/silence/?rule=dose-outside-published&presentation=x&back=//evil.example/")
    assert "A stop is never silenced" in said(page)
    assert "evil" not in page.content.decode()
    forced = {"rule": "dose-outside-published", "presentation": BOTTLE, "days": "7", "reason": "x", "key": "a"}
    assert browser.post("/rules/silence/", forced).status_code == 422
    assert events("caution.") == 0


def test_a_recall_says_who_got_it_what_is_left_and_where() -> None:
    made = ward()
    labelled(made.on)
    received(made.on, LEVALBUTEROL, "3 mL", lot="Q1", place="Cupboard 2")
    browser = signed(made.on.ben)
    text = said(browser.get("/shelf/recall/?lot=4k21"))
    for part in (
        "2 containers of this lot",
        "1 person got something",
        "Model, Dora born 05 Nov 1961 no. 204118",
        "19.5 mL",
        "Ward 3",
    ):
        assert part in text, part
    none = said(browser.get("/shelf/recall/?lot=Q1"))
    assert "Nobody got anything out of it" in none
    assert "Cupboard 2" in none
    wrong = said(browser.get("/shelf/recall/?lot=4K2I"))
    assert "No container of this lot" in wrong
    assert "Lots that begin like it: 4K21" in wrong
    assert "at most 20 characters" in said(browser.get("/shelf/recall/?lot=" + "9" * 5_000))
    assert "whole, as printed" in said(browser.get("/shelf/recall/"))


def test_who_may_what() -> None:
    made = ward()
    row = bottle(made)
    before = events()
    giver, checker = signed(made.on.cleo), signed(made.on.ben)
    for browser in (giver, checker):
        assert browser.get("/shelf/receive/").status_code == 403
        for do in ("open", "move", "empty", "correct", "own"):
            assert browser.post(f"/shelf/{row.pk}/", {"do": do, "version": row.version}).status_code == 403, do
    assert checker.post(f"/shelf/{row.pk}/", {"do": "doubt", "reason": "x"}).status_code == 403
    assert giver.get("/rules/silence/").status_code == 403
    assert events() == before
    assert giver.post(f"/shelf/{row.pk}/", {"do": "doubt", "reason": "fell", "version": row.version}).status_code == 302
    assert giver.get("/shelf/999999/").status_code == 404
    assert giver.get("/shelf/999999/label.pdf").status_code == 404


def test_a_row_that_differs_from_the_ledger_is_told() -> None:
    from drawndose.department.work.models import Container

    made = ward()
    row = bottle(made, expiry=date(2099, 1, 31))
    Container.objects.filter(pk=row.pk).update(left_nl=1_000_000)
    assert "the row says 1 mL: tell the manager" in said(signed(made.on.ana).get(f"/shelf/{row.pk}/"))
