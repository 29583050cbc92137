"""What has been misread in a reason or a note that a person typed is told beside it wherever it is read, and the text stays."""

from __future__ import annotations

from typing import Any

import pytest

from tests.department.crew import crew
from tests.department.scene import BOTTLE, labelled, received
from tests.pages import said, signed

pytestmark = pytest.mark.usefixtures("storage")


@pytest.mark.parametrize(
    ("reason", "told"),
    [
        ("took .5 mg by mistake", 'as typed: ".5 mg" has been misread; write 0.5 mg.'),
        ("saw 5.0 mg on the sheet", 'as typed: "5.0 mg" has been misread; write 5 mg.'),
        ("dropped 10 cc of it", "has been misread; write mL"),
        ("label says 1:1000", "ratios have been taken for each other"),
        ("dropped 10 mL of it", ""),
        ("he coughed twice", ""),
        ("10mL on the floor", ""),
    ],
)
def test_a_reason_is_told_beside_it_in_the_history(reason: str, told: str) -> None:
    from drawndose.department.work import shelf

    on = crew()
    bottle = received(on, BOTTLE, "20 mL")
    shelf.doubt(bottle, by=on.ana, version=bottle.version, reason=reason)
    text = said(signed(on.ana).get(f"/shelf/{bottle.pk}/"))
    assert reason in text
    assert ("as typed:" in text, told in text) == (bool(told), True)


def record(on: Any, note: str) -> str:
    from drawndose.department.work import giving

    made, _, _ = labelled(on)
    giving.not_given(made, by=on.cleo, version=made.version, reason="asleep @ 9", told="Dr. Invented")
    giving.close(made, given_nl=0, wasted_nl=made.total_nl, left_nl=0, by=on.cleo, version=made.version)
    giving.note(made, note, by=on.cleo, version=made.version)
    return said(signed(on.cleo).get(f"/sheet/{made.pk}/record/"))


def test_a_record_tells_it_of_reasons_and_notes_and_of_nothing_else() -> None:
    on = crew()
    text = record(on, "the order said 2.50 mg")
    assert 'as typed: "@" has been misread' in text
    assert '"2.50 mg" has been misread; write 2.5 mg' in text
    assert text.count("has been misread") == 2
    assert "the order said 2.50 mg" in text


def test_the_day_report_tells_it_too() -> None:
    on = crew()
    record(on, "nothing more")
    day = said(signed(on.cleo).get("/day/"))
    assert 'as typed: "@" has been misread' in day
    assert "asleep @ 9" in day
