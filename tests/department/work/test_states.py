"""The state tables: every state is reached, every event leads to a state of its table."""

import pytest

from drawndose.department.work.states import TABLES, after, before


@pytest.mark.parametrize("kind", TABLES)
def test_every_state_is_reached_and_every_event_leads_to_one(kind: str) -> None:
    table = TABLES[kind]
    led_to = {to for events in table.values() for to in events.values()}
    assert led_to <= set(table)
    assert led_to | {""} == set(table)
    assert all(name.startswith(f"{kind}.") for events in table.values() for name in events)


def test_what_can_happen_and_what_cannot() -> None:
    assert after("container", "received", "container.opened") == "opened"
    assert after("container", "doubtful", "container.opened") is None
    assert before("dose", "dose.not_given") == ("due", "being prepared", "prepared")
