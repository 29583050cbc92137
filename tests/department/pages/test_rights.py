"""Who may open which address: everyone signed out is sent to sign in, and each role gets what the one table of rights says.

Every address of the pages that keep records is tried, those that are added later too.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.department.people.staff import person, staff
from tests.pages import client, django

pytestmark = pytest.mark.usefixtures("storage")
NO_ONE = "00000000-0000-0000-0000-000000000000"
ANYTHING = {"Int": 10**9, "String": "x", "Slug": "x", "UUID": NO_ONE, "Path": "x"}
WAYS_IN = {"sign-in", "sign-back", "sign-off", "idle"}


def addresses() -> list[tuple[str, str, object]]:
    """Name, an address (of something that does not exist, where it names a thing) and the view of each page."""
    django()
    from drawndose.department.pages.urls import urlpatterns

    return list(_of(urlpatterns))


def _of(patterns) -> Iterator[tuple[str, str, object]]:
    from django.urls import reverse

    for pattern in patterns:
        if hasattr(pattern, "url_patterns"):
            yield from _of(pattern.url_patterns)
            continue
        kinds = {name: type(one).__name__ for name, one in pattern.pattern.converters.items()}
        things = {name: ANYTHING[kind.removesuffix("Converter")] for name, kind in kinds.items()}
        yield pattern.name, reverse(pattern.name, kwargs=things), pattern.callback


def ask(browser, address: str):
    """A GET, or a POST where only that is answered."""
    answer = browser.get(address)
    return browser.post(address) if answer.status_code == 405 else answer


def test_only_the_ways_in_are_open_while_veiled() -> None:
    assert {name for name, _, view in addresses() if getattr(view, "way_in", False)} == WAYS_IN


def test_whoever_is_signed_out_is_sent_to_sign_in() -> None:
    staff()
    for name, address, _ in addresses():
        if name not in WAYS_IN:
            answer = ask(client(), address)
            assert (answer.status_code, answer.get("Location", "")[:9]) == (302, "/sign-in/"), name
            part = client().get(address, headers={"hx-request": "true"})
            assert part.status_code == 405 or part["HX-Redirect"].startswith("/sign-in/"), name


def test_each_role_opens_what_the_table_says_and_nothing_else() -> None:
    from drawndose.department.people.roles import RIGHTS, Role

    staff()
    for role in Role:
        browser = client()
        browser.force_login(person(f"only.{role.value}", "Only One", role))
        for name, address, view in addresses():
            if name in WAYS_IN:
                continue
            may = bool(view.rights & RIGHTS[role])
            assert (ask(browser, address).status_code != 403) is may, (role.value, name)


def test_who_has_no_role_or_left_opens_nothing() -> None:
    on = staff()
    browser = client()
    browser.force_login(person("dora", "Dora Model"))
    tried = [one for one in addresses() if one[0] not in WAYS_IN]
    refused = [name for name, address, _ in tried if ask(browser, address).status_code == 403]
    from drawndose.department.people.roles import Right

    mine = {name for name, _, view in tried if view.rights == frozenset(Right)}
    assert mine >= {"me", "kept", "leave"}
    assert refused == [name for name, _, _ in tried if name not in mine]
    browser.force_login(on.cleo)
    assert browser.get("/people/").status_code == 200
    on.cleo.is_active = False
    on.cleo.save()
    assert browser.get("/people/")["Location"].startswith("/sign-in/")


def test_a_role_that_is_taken_closes_the_page_at_once() -> None:
    from drawndose.department.people.models import RoleHeld

    on = staff()
    browser = client()
    browser.force_login(on.cleo)
    assert browser.get("/people/").status_code == 200
    RoleHeld.objects.filter(person=on.cleo).delete()
    refused = browser.get("/people/")
    assert refused.status_code == 403
    text = refused.content.decode().replace("\u00a0", " ")
    assert "These may add persons and give roles: administrator. You are signed in as Cleo Specimen, no role." in text


def test_who_is_told_no_is_led_on() -> None:
    on = staff()
    browser = client()
    browser.force_login(on.ana)
    assert '<a class="away" href="/board/">Open Board</a>' in browser.get("/people/").content.decode()
