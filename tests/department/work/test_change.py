"""A change that was done already, and one of something that moved meanwhile: told apart before anything else is looked at."""

from __future__ import annotations

import pytest

from tests.department.scene import planned, scene

pytestmark = pytest.mark.usefixtures("storage")


def test_a_form_sent_twice_is_told_as_such_though_the_state_moved_on() -> None:
    from drawndose.department.ledger.append import Replayed
    from drawndose.department.work import preparing

    made, _, _ = planned(scene())
    version = made.version
    preparing.break_off(made, by=made.by, version=version, reason="spilled", key="form-1")
    with pytest.raises(Replayed) as again:
        preparing.break_off(made, by=made.by, version=version, reason="spilled", key="form-1")
    assert again.value.event.name == "preparation.broken_off"


def test_what_moved_meanwhile_is_told_before_what_its_state_allows() -> None:
    from drawndose.department.work import preparing
    from drawndose.department.work.change import Moved

    made, _, _ = planned(scene())
    seen = made.version
    preparing.break_off(made, by=made.by, version=seen, reason="spilled")
    with pytest.raises(Moved):
        preparing.break_off(made, by=made.by, version=seen, reason="spilled", key="form-2")
