"""The rest of an opened vial without preservative: kept as its label says, or thrown away like any single dose where so chosen."""

from __future__ import annotations

from typing import Any

import pytest

from drawndose.quantities import Refused
from tests.department.scene import order, received, scene

pytestmark = pytest.mark.usefixtures("storage")
ORDER, VIAL = "acetylcysteine 600 mg by nebulizer every 6 hours", "acetylcysteine-20pct"


def chosen(on: Any) -> None:
    from drawndose.department.work.policy import choose

    choose("rest_kept", "thrown away", reason="written policy", by=on.cleo)


def given(on: Any) -> Any:
    """A dose out of a 10 mL vial that was given and whose preparation is closed; the vial afterwards."""
    from drawndose.bench.plans import Status
    from drawndose.department.work import giving, preparing

    entered = order(on, ORDER)
    vial = received(on, VIAL, "10 mL")
    made = preparing.begin(entered, by=on.ana, dose=entered.duedose_set.order_by("due_at").first())
    found = preparing.choose(made, [vial], [], "cup-6", by=on.ana, version=made.version)
    assert found.status is Status.READY, [one.says for one in found.findings]
    assert preparing.drawn(made, ["3 mL"], by=on.ana, version=made.version) == ()
    preparing.label(made, by=on.ana, version=made.version)
    giving.give(made, "204118", "1961-11-05", by=on.cleo, version=made.version)
    giving.close(made, by=on.cleo, version=made.version, given_nl=made.total_nl, wasted_nl=0, left_nl=0)
    vial.refresh_from_db()
    return vial


def test_it_is_kept_for_one_person_until_the_time_its_label_prints() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import shelf

    on = scene()
    vial = given(on)
    assert (vial.state, vial.left_nl, vial.owner) == ("opened", 7_000_000, on.patient)
    assert not [
        one for one in shelf.findings(vial, shelf.local(on.site, now()), on.patient) if one.level.value == "stop"
    ]


def test_it_is_thrown_away_with_the_preparation_where_none_is_kept() -> None:
    on = scene()
    chosen(on)
    vial = given(on)
    assert (vial.state, vial.owner) == ("discarded", None)


def test_one_that_was_open_before_the_choice_is_not_drawn_from_any_more() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import shelf, stock

    on = scene()
    vial = given(on)
    chosen(on)
    with pytest.raises(Refused, match="opened"):
        shelf.stops(vial, shelf.local(on.site, now()), "draw 3 mL")
    (product,), _ = stock.products(on.site)
    assert (product.doses, product.a_dose) == (0, "one container")
