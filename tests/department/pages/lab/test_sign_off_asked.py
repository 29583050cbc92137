"""A department that asks for a sign-off before a preparation: nothing by default, a caution, or a stop where the containers are taken."""

from __future__ import annotations

from typing import Any

import pytest

from tests.department.crew import crew
from tests.department.pages.test_sheet import begun, form, page
from tests.department.scene import BOTTLE, SALINE, received

pytestmark = pytest.mark.usefixtures("storage")
SAYS = "Ana Sample is not signed off today for: Multi-dose dropper bottle."


def taking(asked: str) -> tuple[Any, Any, Any]:
    """The place where containers are taken, with the setting, and what a press on it brings."""
    from drawndose.department.training import forms
    from drawndose.department.work import policy

    on = crew()
    forms.take_up("t1-dropper-bottle", by=on.cleo)
    if asked != "no":
        policy.choose("sign_off_asked", asked, reason="board of May", by=on.cleo)
    ana, made = begun(on)
    bottle, saline = received(on, BOTTLE, "20 mL"), received(on, SALINE, "3 mL", lot="S77")
    shown = ana.get(f"/sheet/{made.pk}/in-hand/?t=1&s={bottle.pk}&s={saline.pk}&cup=cup-6")
    answer = ana.post(f"/sheet/{made.pk}/in-hand/", form(shown, "use-form"))
    made.refresh_from_db()
    return made, page(shown), answer


def test_nothing_is_asked_until_the_department_chooses_it() -> None:
    made, shown, _ = taking("no")
    assert SAYS not in shown
    assert made.state == "planned"


def test_a_caution_is_shown_and_holds_nothing_back() -> None:
    made, shown, _ = taking("caution")
    assert SAYS in shown
    assert made.state == "planned"


def test_a_stop_takes_nothing() -> None:
    made, shown, answer = taking("stop")
    assert SAYS in shown
    assert answer.status_code == 422
    assert "sign-off: Ana Sample is not signed off today" in page(answer)
    assert (made.state, made.chosen) == ("begun", {})
