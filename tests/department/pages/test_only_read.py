"""A storage that takes nothing more still shows what it holds: whoever is signed in can read what is due."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from tests.department.crew import crew
from tests.department.scene import order
from tests.pages import client, words

pytestmark = pytest.mark.usefixtures("committed")
ONLY_READ = {
    "sqlite": ("PRAGMA query_only=ON", "PRAGMA query_only=OFF"),
    "postgresql": (
        "SET SESSION CHARACTERISTICS AS TRANSACTION READ ONLY",
        "SET SESSION CHARACTERISTICS AS TRANSACTION READ WRITE",
    ),
}


@contextmanager
def only_read() -> Iterator[None]:
    from django.db import connection

    on, off = ONLY_READ[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(on)
        try:
            yield
        finally:
            cursor.execute(off)


def test_what_is_due_can_be_read_and_nothing_is_taken() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.people.models import Sitting

    on = crew()
    order(on)
    browser = client(raise_request_exception=False)
    browser.force_login(on.ana)
    assert browser.get("/board/").status_code == 200
    before = Event.objects.count()
    with only_read():
        for address in ("/board/", "/shelf/", "/patients/", "/records/", "/policy/"):
            assert browser.get(address).status_code == 200, address
        assert on.patient.name in words(browser.get("/board/").content.decode())
        sent = browser.post("/orders/new/", {"patient": on.patient.pk})
        assert (sent.status_code, "Nothing of this was written" in words(sent.content.decode())) == (503, True)
    assert Event.objects.count() == before
    Sitting.objects.update(seen_at="2026-01-01T00:00Z")
    with only_read():
        veiled = browser.get("/board/")
        assert on.patient.name not in words(veiled.content.decode())
        assert veiled.status_code == 503
    assert browser.get("/board/").status_code == 403
