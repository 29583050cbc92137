"""What came of an act: done, done before, refused, moved; a form that was carried out is never told as refused."""

from __future__ import annotations

import pytest

from tests.department.scene import planned, scene

pytestmark = pytest.mark.usefixtures("storage")


def test_a_form_that_was_carried_out_counts_as_done_though_a_service_refuses_it_now() -> None:
    from drawndose.department.pages.acting import act
    from drawndose.department.work import preparing

    made, _, _ = planned(scene())
    seen = made.version

    def draw() -> object:
        return preparing.drawn(made, ["0.5 mL"], by=made.by, version=seen, key="form-7")

    assert act(draw, key="form-7").done
    again = act(draw, key="form-7")
    assert again.done
    assert again.before is not None
    assert again.before.name == "preparation.drawn"
    other = act(lambda: preparing.drawn(made, ["0.5 mL"], by=made.by, version=seen, key="form-8"), key="form-8")
    assert (other.done, other.before) == (False, None)
