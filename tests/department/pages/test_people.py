"""The sign-in page, one's own page and the page of persons, as forms are sent."""

from __future__ import annotations

import re

import pytest

from tests.department.people.staff import OTHER, PASSWORD, PIN, WRONG, events, person, staff
from tests.pages import client, said, signed, words

pytestmark = pytest.mark.usefixtures("storage")


def sign_in(browser, username: str = "ana", password: str = PASSWORD, **more):
    return browser.post("/sign-in/", {"username": username, "password": password, **more})


def test_a_wrong_name_and_a_wrong_password_give_the_same_page() -> None:
    staff()
    guard = re.compile(r'name="csrfmiddlewaretoken" value="[^"]+"')
    pages = [
        guard.sub("", sign_in(client(), name, WRONG).content.decode()).replace(name, "") for name in ("ana", "eve")
    ]
    assert pages[0] == pages[1]
    assert "do not go together" in words(pages[0])


def test_a_lock_gives_the_same_page_for_a_name_that_nobody_has() -> None:
    staff()
    browser = client()
    for name in ("ana", "eve"):
        assert [sign_in(browser, name, WRONG).status_code for _ in range(5)] == [422] * 5
        locked = sign_in(browser, name, PASSWORD)
        assert (locked.status_code, "a try in 15 min: even the right password waits" in said(locked)) == (429, True)


def test_after_the_sign_in_it_goes_where_it_was_going_and_never_elsewhere() -> None:
    staff()
    assert sign_in(client(), next="/people/?light=day")["Location"] == "/people/?light=day"
    for away in ("https://evil.example/", "//evil.example", "javascript:alert(1)", "/\\evil.example"):
        assert sign_in(client(), next=away)["Location"] == "/board/", away
    assert sign_in(client(), "cleo")["Location"] == "/day/"


def test_the_session_has_a_new_key_and_its_cookie_is_closed_to_scripts_and_other_sites() -> None:
    staff()
    browser = client()
    browser.get("/sign-in/")
    sign_in(browser)
    first = browser.cookies["sessionid"]
    assert (first["httponly"], first["samesite"], first["max-age"]) == (True, "Strict", 12 * 3600)
    before = first.value
    sign_in(browser)
    assert browser.cookies["sessionid"].value != before


def test_another_person_who_signs_in_ends_the_session_before() -> None:
    on = staff()
    browser = client()
    sign_in(browser)
    sign_in(browser, "ben")
    assert events() == [("person.signed_in", "ana"), ("person.signed_in", "ben"), ("person.signed_off", "ana")]
    from drawndose.department.people.models import Sitting

    browser.get("/me/")
    assert [one.person for one in Sitting.objects.all()] == [on.ben]


def test_signing_off_ends_it() -> None:
    staff()
    browser = client()
    sign_in(browser)
    assert browser.get("/sign-off/").status_code == 405
    assert browser.post("/sign-off/")["Location"] == "/sign-in/"
    assert browser.get("/me/")["Location"].startswith("/sign-in/")
    assert events()[-1] == ("person.signed_off", "ana")


def test_a_first_password_opens_the_own_page_alone_until_it_is_changed() -> None:
    on = staff()
    on.cleo.must_change = True
    on.cleo.save()
    browser = client()
    assert sign_in(browser, "cleo")["Location"] == "/me/"
    assert browser.get("/people/")["Location"] == "/me/"
    assert browser.post("/people/", {"name": "x"})["Location"] == "/me/"
    assert 'name="new_pin"' not in browser.get("/me/").content.decode()
    changed = {"do": "password", "password": PASSWORD, "new_password": OTHER, "again_password": OTHER}
    assert browser.post("/me/", changed)["Location"] == "/me/?done=password"
    assert browser.get("/people/").status_code == 200


def test_a_changed_password_ends_the_other_sessions_and_keeps_this_one() -> None:
    on = staff()
    here, there = signed(on.ana), signed(on.ana)
    assert (here.get("/me/").status_code, there.get("/me/").status_code) == (200, 200)
    here.post("/me/", {"do": "password", "password": PASSWORD, "new_password": OTHER, "again_password": OTHER})
    assert (here.get("/me/").status_code, there.get("/me/").status_code) == (200, 302)


def test_no_secret_that_was_typed_is_shown_again() -> None:
    on = staff()
    mine = signed(on.ana).post(
        "/me/", {"do": "password", "password": WRONG, "new_password": OTHER, "again_password": OTHER}
    )
    assert mine.status_code == 422
    typed = {"username": "dora", "name": "Dora Model", "first_password": OTHER}
    theirs = signed(on.cleo).post("/people/", typed)
    assert (theirs.status_code, 'value="Dora Model"' in theirs.content.decode()) == (422, True)
    wrong = sign_in(client(), password=WRONG)
    pages = [answer.content.decode() for answer in (mine, theirs, wrong)]
    assert [page for page in pages if WRONG in page or OTHER in page] == []


def test_a_pin_is_set_and_taken_away() -> None:
    on = staff()
    browser = signed(on.ana)
    empty = browser.post("/me/", {"do": "pin", "password": PASSWORD})
    assert (empty.status_code, "a PIN is wanted" in said(empty)) == (422, True)
    two = {"password": PASSWORD, "new_pin": "739105", "again_pin": "739105"}
    assert browser.post("/me/", {"do": "pin", **two})["Location"] == "/me/?done=pin"
    assert browser.post("/me/", {"do": "pin-away", "password": PASSWORD})["Location"] == "/me/?done=pin-away"
    assert browser.post("/me/", {"do": "anything"}).status_code == 422
    assert [name for name, _ in events()] == ["person.pin_changed", "person.pin_removed"]


def test_a_site_is_chosen_for_the_session() -> None:
    from drawndose.department.work.models import Site

    on = staff()
    _, second = Site.objects.create(name="Ward 3"), Site.objects.create(name="Ward 4", zone="America/Chicago")
    browser = signed(on.ana)
    assert browser.post("/me/", {"do": "site", "site": second.pk})["Location"] == "/me/?done=site"
    assert f'<option value="{second.pk}" selected>Ward 4' in browser.get("/me/").content.decode()
    for unknown in ("", "x", "999999", "9" * 30):
        assert browser.post("/me/", {"do": "site", "site": unknown}).status_code == 422


def test_a_person_is_added_given_a_role_let_go_and_taken_back() -> None:
    from drawndose.department.people.models import Person

    on = staff()
    browser = signed(on.cleo)
    new = {
        "username": "dora",
        "name": "Dora Model",
        "first_password": OTHER,
        "role": ["giver", "nurse"],
        "reason": "new",
    }
    address = browser.post("/people/", new | {"key": "a"})["Location"]
    assert browser.post("/people/", new | {"key": "a"}).status_code == 302  # sent twice, done once
    dora = Person.objects.get(username="dora")
    assert ({role.value for role in dora.roles()}, dora.must_change) == ({"giver"}, True)
    for do in ("give checker", "take giver", "deactivate", "activate"):
        assert browser.post(address, {"do": do, "reason": "why", "key": "b"}).status_code == 302, do
    assert {role.value for role in Person.objects.get(username="dora").roles()} == {"checker"}
    browser.post(address, {"do": "password", "reason": "forgot it", "first_password": PASSWORD, "key": "b"})
    assert sign_in(client(), "dora")["Location"] == "/me/"
    names = [name for name, actor in events() if actor == "cleo"]
    acts = ["added", "role_given", "role_taken", "deactivated", "activated", "password_set"]
    assert names == [f"person.{one}" for one in acts]


@pytest.mark.parametrize("do", ["give checker", "take preparer", "deactivate", "password"])
def test_nothing_is_done_without_a_reason_and_what_was_typed_stays(do: str) -> None:
    on = staff()
    answer = signed(on.cleo).post(f"/people/{on.ana.pk}/", {"do": do, "reason": " ", "first_password": OTHER})
    assert (answer.status_code, "a reason is needed" in said(answer)) == (422, True)
    assert events() == []


@pytest.mark.parametrize("do", ["Enter", "give wizard", "take", "", "destroy"])
def test_enter_in_a_box_and_an_unknown_button_do_nothing(do: str) -> None:
    on = staff()
    answer = signed(on.cleo).post(f"/people/{on.ana.pk}/", {"do": do, "reason": "kept words"})
    assert (answer.status_code, 'value="kept words"' in answer.content.decode()) == (422, True)
    assert events() == []
    page = signed(on.cleo).get(f"/people/{on.ana.pk}/").content.decode()
    assert re.search(r'<main.*?<form.*?<button[^>]*value="Enter"', page, re.DOTALL)


def test_the_own_administrators_role_has_no_button_and_a_forged_press_is_refused() -> None:
    on = staff()
    browser, address = signed(on.cleo), f"/people/{on.cleo.pk}/"
    page = browser.get(address).content.decode()
    assert ("take administrator" in page, 'value="deactivate"' in page, "first_password" in page) == (False,) * 3
    for do in ("take administrator", "deactivate", "password"):
        sent = {"do": do, "reason": "x", "first_password": OTHER}
        assert browser.post(address, sent).status_code == 422, do
    assert events() == []


def test_only_an_administrator_changes_persons_whatever_they_send() -> None:
    on = staff()
    for who in (on.ana, on.ben, person("max", "Max Manager")):
        browser = signed(who)
        for address in ("/people/", f"/people/{on.ana.pk}/", f"/people/{who.pk}/"):
            answer = browser.post(
                address, {"do": "give administrator", "reason": "x", "username": "eve", "name": "Eve"}
            )
            assert answer.status_code == 403
    assert events() == []


def test_a_lock_shows_on_the_persons_page() -> None:
    on = staff()
    for _ in range(5):
        sign_in(client(), password=WRONG)
    assert "locked for 15 min" in said(signed(on.cleo).get(f"/people/{on.ana.pk}/"))


def test_a_form_without_its_guard_does_nothing() -> None:
    on = staff()
    browser = signed(on.cleo, enforce_csrf_checks=True)
    assert browser.post(f"/people/{on.ana.pk}/", {"do": "deactivate", "reason": "x"}).status_code == 403
    assert events() == []


def test_a_storage_that_was_not_set_up_says_so() -> None:
    answer = client().get("/sign-in/")
    assert (answer.status_code, "not set up" in said(answer)) == (503, True)


def test_the_device_behind_proxies_is_the_one_that_they_saw(monkeypatch: pytest.MonkeyPatch) -> None:
    from django.conf import settings
    from django.test import RequestFactory

    from drawndose.department.pages.device import address_of
    from drawndose.department.people.limits import Limits

    asked = RequestFactory().get("/", headers={"x-forwarded-for": "203.0.113.9, 192.0.2.7"}, REMOTE_ADDR="10.0.0.1")
    found = []
    for hops in (0, 1, 2, 3):
        monkeypatch.setattr(settings, "SIGNING", Limits(proxies=hops))
        found.append(address_of(asked))
    assert found == ["10.0.0.1", "192.0.2.7", "203.0.113.9", "10.0.0.1"]


@pytest.mark.parametrize("address", ["/sign-in/", "/me/", "/people/"])
def test_boxes_of_secrets_take_a_paste_and_a_manager(address: str) -> None:
    on = staff()
    page = signed(on.cleo).get(address).content.decode()
    boxes = re.findall(r'<input[^>]*type="password"[^>]*>', page)
    assert all("autocomplete=" in box and "onpaste" not in box and "maxlength" not in box for box in boxes)
    for box in boxes:
        if "pin" not in box.replace("pin_password", ""):
            assert re.search(r'autocomplete="(current|new)-password"', box), box
    assert PIN not in page
