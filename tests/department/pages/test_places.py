"""Sites: added with their zone by an administrator, renamed with a reason; a zone is never changed."""

from __future__ import annotations

from typing import Any

import pytest

from tests.department.crew import crew
from tests.pages import client, words

pytestmark = pytest.mark.usefixtures("storage")


@pytest.fixture
def admin() -> Any:
    on = crew()
    on.ben.roleheld_set.create(role="administrator")
    browser = client()
    browser.force_login(on.ben)
    return browser


def test_a_site_is_added_once_and_can_be_chosen(admin: Any) -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work.models import Site

    sent = {"do": "add", "name": " Ward  9 ", "zone": "Asia/Tokyo", "key": "a"}
    assert admin.post("/people/sites/", sent)["Location"] == "/people/sites/"
    assert admin.post("/people/sites/", sent).status_code == 302
    made = Site.objects.get(name="Ward 9")
    assert (made.zone, Site.objects.count()) == ("Asia/Tokyo", 2)
    event = Event.objects.get(name="site.added", actor="ben")
    assert event.content == {"name": "Ward 9", "zone": "Asia/Tokyo"}
    page = words(admin.get("/people/sites/").content.decode())
    assert "Ward 9 Asia/Tokyo, now" in page
    assert admin.post("/me/", {"do": "site", "site": made.pk}).status_code == 302
    assert 'href="/people/sites/"' in admin.get("/people/").content.decode()


@pytest.mark.parametrize(
    ("name", "zone", "said"),
    [
        ("", "Nowhere/None", ["a name has 1 to 80 characters", "no zone of this name is known"]),
        ("x" * 81, "UTC", ["a name has 1 to 80 characters"]),
        ("ward 3", "UTC", ["a site of this name is here already"]),
        ("Ward 9", "../etc", ["no zone of this name is known"]),
        ("Ward 9", "", ["no zone of this name is known"]),
    ],
)
def test_what_cannot_be_is_told_together_and_nothing_is_added(
    admin: Any, name: str, zone: str, said: list[str]
) -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work.models import Site

    before = Event.objects.count()
    answer = admin.post("/people/sites/", {"do": "add", "name": name, "zone": zone, "key": "a"})
    assert answer.status_code == 422
    text = words(answer.content.decode())
    assert [one for one in said if one not in text] == []
    assert (Site.objects.count(), Event.objects.count()) == (1, before)


def test_a_site_is_called_otherwise_with_a_reason_and_an_old_tab_changes_nothing(admin: Any) -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work.models import Site

    site = Site.objects.get()
    sent = {"do": "rename", "site": site.pk, "seen": "Ward 3", "name": "Ward 3 East", "key": "a"}
    refused = admin.post("/people/sites/", sent)
    assert (refused.status_code, "a reason is needed" in words(refused.content.decode())) == (422, True)
    assert admin.post("/people/sites/", sent | {"reason": "the ward was parted"}).status_code == 302
    old = admin.post("/people/sites/", sent | {"reason": "x", "name": "Ward 4", "key": "b"})
    assert old.status_code == 409
    site.refresh_from_db()
    assert (site.name, site.zone) == ("Ward 3 East", "America/Chicago")
    assert Event.objects.get(name="site.renamed").content == {"from": "Ward 3", "to": "Ward 3 East"}
    for act in ({"do": "rename", "site": "99"}, {"do": "close", "site": site.pk}, {}):
        assert admin.post("/people/sites/", act | {"key": str(act)}).status_code == 422
