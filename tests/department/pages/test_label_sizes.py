"""Labels and sheets come on what the policy says is here; what fits on none of it is refused with what each size lacks."""

from __future__ import annotations

from typing import Any

import pytest

from tests.department.crew import crew
from tests.department.printing.reading import sides
from tests.department.scene import labelled, received
from tests.pages import client, words

pytestmark = pytest.mark.usefixtures("storage")


def choose(name: str, text: str, by: Any) -> None:
    from drawndose.department.work.policy import choose as chosen

    chosen(name, text, reason="what is in the drawer", by=by)


def test_labels_come_on_the_first_size_of_the_policy_that_holds_them() -> None:
    on = crew()
    made, _, _ = labelled(on)
    bottle = received(on, "albuterol-0.5pct-bottle-20ml", "20 mL")
    browser = client()
    browser.force_login(on.ana)
    places = f"/sheet/{made.pk}/label.pdf", f"/shelf/{bottle.pk}/label.pdf"
    shipped = [sides(browser.get(one).content) for one in places]
    assert shipped == [[(57, 32)], [(57, 32)]]
    choose("label_sizes", "20 x 15 mm, 102 x 51 mm, 57 x 51 mm", on.cleo)
    assert [sides(browser.get(one).content) for one in places] == [[(102, 51)], [(102, 51)]]
    choose("label_sizes", "20 x 15 mm", on.cleo)
    for one in places:
        answer = browser.get(one)
        assert answer.status_code == 422
        assert "20 x 15 mm" in words(answer.content.decode())


def test_preparation_sheets_come_on_the_paper_of_the_policy() -> None:
    on = crew()
    made, _, _ = labelled(on)
    browser = client()
    browser.force_login(on.ana)
    assert set(sides(browser.get(f"/sheet/{made.pk}/sheet.pdf").content)) == {(210, 297)}
    choose("sheet_paper", "Letter", on.cleo)
    assert set(sides(browser.get(f"/sheet/{made.pk}/sheet.pdf").content)) == {(215.9, 279.4)}
    assert "<option selected>Letter" in browser.get("/jobs/").content.decode()
