"""A session that fell idle shows nothing, carries nothing out, loses nothing, and comes back to the same address."""

from __future__ import annotations

import pytest

from tests.department.people.staff import PASSWORD, PIN, WRONG, events, staff
from tests.pages import client, words

pytestmark = pytest.mark.usefixtures("storage")
PAGE = "/people/?light=day"


def cleo(**more):
    """A browser in which Cleo is signed in, who keeps the people."""
    on = staff()
    browser = client(**more)
    browser.force_login(on.cleo)
    assert "Add a person" in words(browser.get(PAGE).content.decode())
    return browser


def back(browser, **fields):
    return browser.post("/sign-in/back/", {"next": PAGE, **fields})


def test_it_is_veiled_after_exactly_so_long(clock) -> None:
    browser = cleo()
    clock.passes(minutes=9, seconds=58)
    assert browser.get(PAGE).status_code == 200
    clock.passes(minutes=10)
    veiled = browser.get(PAGE)
    said = words(veiled.content.decode())
    assert veiled.status_code == 403
    assert "Signed off after 10 min idle" in said
    assert "Cleo Specimen" in said
    assert [
        one for one in ("Add a person", "Ana Sample", "Shelf", 'href="/people/"') if one in veiled.content.decode()
    ] == []
    assert events("person.idle") == [("person.idle", "cleo")]
    answer = back(browser, pin=PIN)
    assert (answer.status_code, answer["Location"]) == (302, PAGE)
    assert browser.get(PAGE).status_code == 200
    assert events()[-1] == ("person.returned", "cleo")


def test_a_part_that_renews_itself_is_no_act(clock) -> None:
    browser = cleo()
    for _ in range(6):
        clock.passes(minutes=2)
        part = browser.get(PAGE, headers={"hx-request": "true"})
    assert part["HX-Trigger"] == "veiled"
    assert part.content == b""


def test_what_comes_too_late_is_kept_without_secrets_and_not_carried_out(clock) -> None:
    from drawndose.department.people.models import Person
    from drawndose.department.work.models import Draft

    browser = cleo()
    form = {"username": "dora", "name": "Dora Model", "reason": "new here", "role": ["giver", "checker"], "key": "k1"}
    clock.passes(minutes=11)
    late = browser.post("/people/", form | {"first_password": PASSWORD, "stopping": "slow"})
    assert "What you sent is kept" in words(late.content.decode())
    assert not Person.objects.filter(username="dora").exists()
    fields = Draft.objects.get().content["fields"]
    assert fields == {name: value if isinstance(value, list) else [value] for name, value in form.items()} | {
        "stopping": ["slow"]
    }
    assert back(browser, pin=PIN)["Location"] == "/sign-in/kept/"
    page = browser.get("/sign-in/kept/").content.decode()
    assert 'action="/people/"' in page
    assert 'name="role" value="giver"><input type="hidden" name="role" value="checker"' in page
    number = Draft.objects.get().pk
    again = browser.post("/people/", form | {"kept": number})
    assert again.status_code == 422
    assert 'value="Dora Model"' in again.content.decode()
    assert Draft.objects.count() == 0


def test_what_was_kept_can_be_left_and_is_nobody_elses(clock) -> None:
    from drawndose.department.people.models import Person
    from drawndose.department.work.models import Draft

    browser = cleo()
    clock.passes(minutes=11)
    browser.post("/people/", {"name": "Dora"}, headers={"referer": "http://127.0.0.1/people/?all=1"})
    number = Draft.objects.get().pk
    other = client()
    other.force_login(Person.objects.get(username="ana"))
    assert other.get("/sign-in/kept/")["Location"] == "/board/"
    other.post("/me/", {"kept": number, "do": "site"})
    assert Draft.objects.count() == 1
    back(browser, password=PASSWORD)
    page = browser.get("/sign-in/kept/").content.decode()
    assert 'name="next" value="/people/?all=1"' in page
    left = browser.post("/sign-in/kept/leave/", {"kept": number, "next": "/people/?all=1"})
    assert (left["Location"], Draft.objects.count()) == ("/people/?all=1", 0)


def test_three_wrong_pins_and_only_the_password_returns(clock) -> None:
    browser = cleo()
    clock.passes(minutes=11)
    browser.get(PAGE)
    wrong = back(browser, pin="111222")
    assert wrong.status_code == 422
    assert "2 more, then the password" in words(wrong.content.decode())
    back(browser, pin="111222")
    assert 'name="pin"' not in back(browser, pin="111222").content.decode()
    assert back(browser, pin=PIN).status_code == 422
    assert browser.get(PAGE).status_code == 403
    assert back(browser, password=WRONG).status_code == 422
    assert back(browser, password=PASSWORD).status_code == 302
    assert browser.get(PAGE).status_code == 200
    assert [name for name, _ in events()] == ["person.idle", *["person.failed"] * 4, "person.returned"]


def test_the_password_on_the_veil_is_locked_as_at_the_sign_in(clock) -> None:
    browser = cleo()
    clock.passes(minutes=11)
    browser.get(PAGE)
    for _ in range(5):
        assert back(browser, password=WRONG).status_code == 422
    assert back(browser, password=PASSWORD).status_code == 429
    assert client().post("/sign-in/", {"username": "cleo", "password": PASSWORD}).status_code == 429


def test_a_pin_signs_nobody_in_and_lifts_no_other_session(clock) -> None:
    browser = cleo()
    clock.passes(minutes=11)
    browser.get(PAGE)
    assert client().post("/sign-in/", {"username": "cleo", "password": PIN}).status_code == 422
    stranger = client().post("/sign-in/back/", {"pin": PIN, "next": PAGE})
    assert stranger["Location"] == "/sign-in/?next=/people/%3Flight%3Dday"
    assert browser.get(PAGE).status_code == 403


def test_the_bench_keeps_no_records_and_stays_open(clock) -> None:
    browser = cleo()
    clock.passes(minutes=11)
    assert browser.get("/").status_code == 200
    assert browser.get(PAGE).status_code == 403


def test_a_page_tells_that_nobody_is_there_and_the_server_has_the_last_word(clock) -> None:
    browser = cleo()
    clock.passes(minutes=4)
    assert browser.post("/sign-off/idle/", {"acted": "yes"}).json() == {"veiled": False, "left": 600}
    clock.passes(minutes=6)
    early = browser.post("/sign-off/idle/", {"acted": "no"}).json()
    assert early["veiled"] is False
    assert 235 <= early["left"] <= 240
    clock.passes(minutes=3, seconds=56)
    assert browser.post("/sign-off/idle/", {"acted": "no"}).json() == {"veiled": True, "left": 0}
    assert browser.post("/sign-off/idle/", {"acted": "yes"}).json() == {"veiled": True, "left": 0}
    assert browser.get(PAGE).status_code == 403
    assert client().post("/sign-off/idle/").status_code == 401


def test_the_veil_that_a_script_drew_is_answered_without_a_page(clock) -> None:
    browser = cleo()
    drawn = {"X-Veil": "drawn"}
    clock.passes(minutes=11)
    browser.get(PAGE)
    assert browser.post("/sign-in/back/", {"pin": "111222"}, headers=drawn).status_code == 422
    assert browser.post("/sign-in/back/", {"pin": PIN}, headers=drawn).status_code == 204
    gone = client().post("/sign-in/back/", {"pin": PIN, "next": PAGE}, headers=drawn)
    assert (gone.status_code, gone["X-To"]) == (401, "/sign-in/?next=/people/%3Flight%3Dday")


def test_a_session_ends_after_its_age_whatever_was_done(clock) -> None:
    browser = cleo()
    for _ in range(79):
        clock.passes(minutes=9)
        assert browser.get(PAGE).status_code == 200
    clock.passes(minutes=9)
    ended = browser.get(PAGE)
    assert ended["Location"] == "/sign-in/?next=/people/%3Flight%3Dday"
    assert events()[-1] == ("person.signed_off", "cleo")
    assert browser.get(PAGE)["Location"].startswith("/sign-in/")


def test_what_is_sent_as_the_session_ends_is_kept_for_the_next_sign_in(clock) -> None:
    browser = cleo()
    clock.passes(hours=13)
    browser.post("/people/", {"name": "Dora"})
    signed = browser.post("/sign-in/", {"username": "cleo", "password": PASSWORD})
    assert signed["Location"] == "/sign-in/kept/"
    assert "Dora" in browser.get("/sign-in/kept/").content.decode()


@pytest.mark.parametrize("address", ["/sign-off/", "/sign-off/idle/", "/sign-in/back/", "/sign-in/"])
def test_a_way_in_goes_on_when_the_session_is_past_and_nothing_of_it_is_kept(clock, address: str) -> None:
    from drawndose.department.work.models import Draft

    browser = cleo()
    clock.passes(hours=13)
    answer = browser.post(address, {"username": "cleo", "password": PASSWORD, "pin": PIN})
    gone = {"/sign-off/": (302, "/sign-in/"), "/sign-off/idle/": (401, ""), "/sign-in/back/": (302, "/sign-in/?next=")}
    assert (answer.status_code, answer.get("Location", "")) == gone.get(address, (302, "/day/"))
    assert Draft.objects.count() == 0


def test_a_wall_screen_that_was_left_open_shows_on_and_nothing_else_does(clock) -> None:
    on = staff()
    browser = client()
    browser.force_login(on.ana)
    wall, part = "/board/?wall=1", {"hx-request": "true"}
    browser.get("/board/")
    clock.passes(minutes=11)
    assert browser.get(wall).status_code == 403  # an address alone opens no veil
    browser.post("/sign-in/back/", {"pin": PIN})
    assert "data-stays" in browser.get(wall).content.decode()
    for _ in range(3):
        clock.passes(minutes=11)
        shown = browser.get(wall, headers=part)
        assert (shown.status_code, "HX-Trigger" in shown) == (200, False)
    assert "<h1>Board" in browser.get(wall).content.decode()
    assert browser.get("/board/", headers=part)["HX-Trigger"] == "veiled"
    assert browser.get("/me/").status_code == 403
    assert browser.post(wall).status_code == 403


def test_the_lighting_on_the_veil_leads_back_to_the_veil(clock) -> None:
    browser = cleo()
    clock.passes(minutes=11)
    back(browser, pin="111222")
    veiled = browser.get("/sign-in/back/?light=night", follow=True)
    assert (veiled.status_code, "Signed off after" in words(veiled.content.decode())) == (403, True)
    assert client().get("/sign-in/back/")["Location"] == "/sign-in/"


def test_a_part_of_a_page_whose_session_is_past_takes_the_whole_page_along(clock) -> None:
    browser = cleo()
    clock.passes(hours=13)
    assert browser.get(PAGE, headers={"hx-request": "true"})["HX-Redirect"].startswith("/sign-in/?next=/people/")


def test_a_page_that_is_renewed_without_scripts_is_no_act(clock) -> None:
    browser = cleo()
    for _ in range(5):
        clock.passes(minutes=2)
        page = browser.get("/people/?renewed")
    assert page.status_code == 403


def test_the_board_renews_itself_in_that_way() -> None:
    from drawndose.department.pages.idle import RENEWED

    browser = client()
    browser.force_login(staff().ana)
    for address, renewed in (("/board/", f"?{RENEWED}"), ("/board/?wall=1", f"?{RENEWED}&amp;wall=1")):
        assert f'http-equiv="refresh" content="60;url={renewed}"' in browser.get(address).content.decode()


def test_old_sessions_are_swept_with_their_sittings_at_a_sign_in() -> None:
    from django.contrib.sessions.models import Session

    from drawndose.department.people.models import Sitting

    cleo()
    Session.objects.update(expire_date="2020-01-01T00:00:00Z")
    client().post("/sign-in/", {"username": "ana", "password": PASSWORD})
    assert (Session.objects.count(), Sitting.objects.count()) == (1, 0)


def test_the_bench_works_where_the_sittings_cannot_be_read(monkeypatch: pytest.MonkeyPatch) -> None:
    from django.db import OperationalError

    from drawndose.department.people import sittings

    browser = cleo()

    def gone(*given: object) -> None:
        raise OperationalError("no such table")

    monkeypatch.setattr(sittings, "sitting_of", gone)
    assert browser.get("/").status_code == 200
    with pytest.raises(OperationalError):
        browser.get(PAGE)
