"""The audit names the first event, or the first row, that does not agree with the rest."""

from __future__ import annotations

import pytest

from drawndose.quantities import Refused
from tests.department.scene import labelled, scene


def fault() -> str:
    from drawndose.department.keeping.audit import audit

    return audit().fault


@pytest.fixture
def closed(storage: None):
    """A department with one closed preparation."""
    from drawndose.department.work import giving

    on = scene()
    made, bottle, _ = labelled(on)
    giving.give(made, "204118", "1961-11-05", by=on.cleo, version=made.version)
    giving.close(made, given_nl=3_000_000, wasted_nl=0, left_nl=0, by=on.cleo, version=made.version)
    return made, bottle


def test_a_department_at_work_agrees(closed) -> None:
    from drawndose.department.keeping.audit import audit
    from drawndose.department.ledger.models import Event, Head
    from drawndose.department.work.models import Container, Draw, DueDose, Order, Preparation

    found = audit()
    rows = sum(model.objects.count() for model in (Order, DueDose, Container, Preparation, Draw))
    assert (found.fault, found.events, found.rows) == ("", Event.objects.count(), rows)
    assert found.head == Head.objects.get(pk=1).hash


def test_nothing_founded_is_no_ledger(storage: None) -> None:
    with pytest.raises(Refused, match="never founded"):
        fault()


@pytest.mark.parametrize(
    ("model", "values", "said"),
    [
        ("Container", {"left_nl": 1}, "container {pk}: the ledger leaves 19.5 mL, the row says 0.000001 mL"),
        ("Container", {"state": "received"}, "container {pk}: the ledger says opened, the row says received"),
        ("Container", {"version": 9}, "container {pk}: 3 events changed it, the row counts 9"),
        ("Draw", {"volume_nl": 400_000}, "the ledger says 0.5 mL, the row says 0.4 mL"),
        ("Preparation", {"given_nl": 2}, "the ledger says given_nl 3000000, the row says 2"),
        ("Preparation", {"state": "given"}, "the ledger says closed, the row says given"),
        ("DueDose", {"state": "due"}, "the ledger says given, the row says due"),
        ("Order", {"version": 1}, "2 events changed it, the row counts 1"),
    ],
)
def test_a_row_changed_behind_the_ledger_is_named(closed, model: str, values: dict[str, object], said: str) -> None:
    from drawndose.department.work import models

    rows = getattr(models, model).objects.order_by("pk")
    row = rows.filter(state="given").first() if model == "DueDose" else rows.first()
    rows.filter(pk=row.pk).update(**values)
    assert said.format(pk=row.pk) in fault()


def test_a_row_that_nobody_recorded_and_one_that_vanished_are_named(closed) -> None:
    from drawndose.department.work.models import Container, Draw

    _, bottle = closed
    extra = Container.objects.get(pk=bottle.pk)
    extra.pk = None
    extra.save(force_insert=True)
    assert f"container {extra.pk}: the ledger says nothing of it" in fault()
    extra.delete()
    assert fault() == ""
    Draw.objects.filter(container=bottle).delete()
    assert f"from container {bottle.pk}: there is no row" in fault()


def test_the_first_broken_event_and_a_cut_end_are_named(closed) -> None:
    from drawndose.department.ledger.models import Event, Head

    Event.objects.filter(number=4).update(actor="someone else")
    assert fault() == "event 4 was altered after it was written"
    head = Head.objects.get(pk=1)
    Head.objects.filter(pk=1).update(number=head.number + 2)
    Event.objects.filter(number=4).update(actor="ana")
    assert f"event {head.number + 1}: the chain ends at {head.number}" in fault()
    Head.objects.filter(pk=1).update(number=head.number, kind="care")
    assert "founded for demo, its head says care" in fault()


def test_an_event_that_cannot_have_happened_is_named(closed) -> None:
    from drawndose.department.ledger.append import append

    made, bottle = closed
    append("preparation.drawn", "preparation", str(made.pk), actor="ana")
    number = append("container.drawn", "container", str(bottle.pk), actor="ana").number - 1
    assert fault() == f"event {number}: preparation.drawn cannot happen to preparation {made.pk}, which is closed"


def test_more_drawn_than_there_was_is_named(closed) -> None:
    from drawndose.department.ledger.append import append

    made, bottle = closed
    content = {"preparation": str(made.pk), "volume_nl": "19500001"}
    number = append("container.drawn", "container", str(bottle.pk), actor="ana", content=content).number
    assert fault() == f"event {number}: more was drawn from container {bottle.pk} than it held"


def test_an_audit_reads_one_moment_and_writes_nothing(committed: None, capsys: pytest.CaptureFixture[str]) -> None:
    from argparse import Namespace

    from drawndose.department.keeping import audit
    from drawndose.department.ledger.models import Event

    labelled(scene())
    before = Event.objects.count()
    assert audit.run(Namespace(json=False)) == 0
    assert f"{before} events, each bound to the one before" in capsys.readouterr().out
    Event.objects.filter(number=2).update(reason="because")
    assert audit.run(Namespace(json=True)) == 1
    assert '"fault": "event 2 was altered after it was written"' in capsys.readouterr().out
    assert Event.objects.count() == before
