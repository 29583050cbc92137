"""A worker plans the doses that fall due, whether there is long work or not; what hinders it is told and stops no job."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

import pytest

from tests.department.scene import order, scene

pytestmark = pytest.mark.usefixtures("committed")


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch):
    """The worker's clock, some hours on."""

    def to(hours: float) -> None:
        from drawndose.department.keeping import working
        from drawndose.department.ledger.append import now

        moment = now() + timedelta(hours=hours)
        monkeypatch.setattr(working, "now", lambda: moment)

    return to


def test_a_worker_with_nothing_to_do_plans_the_doses_of_the_next_day(later) -> None:
    from drawndose.department.keeping.working import step
    from drawndose.department.ledger.models import Event

    entered = order(scene())
    before = entered.duedose_set.count()
    assert step("worker") is False
    assert entered.duedose_set.count() == before
    later(12.5)
    assert step("worker") is False
    assert entered.duedose_set.count() == before + 3
    times = list(entered.duedose_set.order_by("due_at").values_list("due_at", flat=True))
    assert {after - one for one, after in pairwise(times)} == {timedelta(hours=4)}
    assert step("worker") is False
    assert entered.duedose_set.count() == before + 3
    assert Event.objects.filter(name="dose.planned", actor="drawndose").count() == 3


def test_it_plans_beside_the_long_work_too(later) -> None:
    from drawndose.department.keeping import jobs
    from drawndose.department.keeping.working import step

    on = scene()
    on.ana.roleheld_set.create(role="manager")
    entered = order(on)
    before = entered.duedose_set.count()
    jobs.submit("export", {}, by="ana")
    later(12.5)
    assert step("worker") is True
    assert entered.duedose_set.count() == before + 3


def test_two_workers_at_once_plan_each_dose_once(later) -> None:
    from drawndose.department.keeping.working import step
    from tests.department.work.test_at_once import in_threads

    entered = order(scene())
    before = entered.duedose_set.count()
    later(12.5)
    in_threads(3, lambda place: step(f"worker {place}"))
    assert entered.duedose_set.count() == before + 3
