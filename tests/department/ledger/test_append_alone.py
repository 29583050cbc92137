"""Outside a transaction nothing is added."""

import pytest


@pytest.mark.usefixtures("committed")
def test_nothing_is_added_outside_a_change() -> None:
    from drawndose.department.ledger.append import append

    with pytest.raises(RuntimeError, match="in the transaction"):
        append("thing.done", "thing", "1", actor="ana")
