"""The clock of a machine set back: nothing is written with a time before the last record, each page says why, and nothing is half done."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tests.department.crew import crew
from tests.department.scene import BOTTLE, labelled, order, planned, received
from tests.pages import client, signed, words

pytestmark = pytest.mark.usefixtures("storage")
SAID = "the clock of this machine stands before the last record"


@pytest.fixture
def ahead() -> Any:
    """A crew at work, whose last record lies an hour ahead of the clock once it is called."""

    def set_back() -> None:
        from drawndose.department.ledger.append import now
        from drawndose.department.ledger.models import Head

        Head.objects.update(at=now() + timedelta(hours=1))

    return set_back


def state() -> list[Any]:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work.models import Container, DueDose, Order, Preparation

    rows = [
        list(model.objects.order_by("pk").values_list("pk", "state", "version"))
        for model in (Container, DueDose, Order, Preparation)
    ]
    return [Event.objects.count(), *rows]


def test_no_act_of_any_page_is_done_and_each_says_so(ahead) -> None:
    on = crew()
    bottle = received(on, BOTTLE, "20 mL")
    dose = order(on).duedose_set.first()
    made, _, _ = planned(on)
    waiting, _, _ = labelled(on)
    ana, cleo = signed(on.ana), signed(on.cleo)
    before = state()
    ahead()
    tried = {
        "open a container": ana.post(f"/shelf/{bottle.pk}/", {"do": "open", "number": "204118", "born": "05 Nov 1961", "key": "a", "version": bottle.version}),
        "begin a sheet": ana.post("/sheet/new/", {"dose": dose.pk, "key": "b"}),
        "break a sheet off": ana.post(f"/sheet/{made.pk}/break-off/", {"reason": "x", "key": "c", "version": made.version}),
        "give": cleo.post(f"/sheet/{waiting.pk}/give/", {"do": "given", "number": "204118", "born": "1961-11-05", "key": "d", "version": waiting.version}),
        "change the policy": cleo.post("/policy/start_within/", {"value": "4 h", "reason": "x", "seen": "", "key": "e"}),
        "add a patient": ana.post("/patients/new/", {"name": "New, Person", "born": "1961-11-05", "number": "77", "key": "f"}),
    }  # fmt: skip
    for what, answer in tried.items():
        assert answer.status_code == 422, what
        text = words(answer.content.decode())
        assert SAID in text, what
        assert "a clock that is right; the last record is of" in text, what
    assert state() == before


def test_looking_goes_on_and_whoever_watches_is_told(ahead) -> None:
    on = crew()
    browser = signed(on.ana)
    assert client().get("/ready/").json()["ready"] is True
    ahead()
    for address in ("/board/", "/shelf/", "/patients/", "/records/", "/"):
        assert browser.get(address).status_code == 200, address
    answer = client().get("/ready/")
    assert (answer.status_code, answer.json()["ready"]) == (503, False)
    assert "clock" in answer.json()["says"]
    assert client().get("/health/").status_code == 200


def test_a_worker_whose_clock_is_behind_does_nothing_by_half(ahead) -> None:
    from drawndose.department.keeping import jobs

    on = crew()
    job = jobs.submit(
        "import", {"list": "patients", "text": 'number,name,born\n9,"A, B",1960-01-01\n', "dry_run": False}, by="cleo"
    )
    before = state()
    ahead()
    jobs.run(jobs.claim("worker"))
    found = jobs.status(job.pk, by="cleo")
    assert (found.state, SAID in found.says) == ("failed", True)
    assert state() == before
    assert on.patient.pk
