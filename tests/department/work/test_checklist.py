"""Steps one at a time: ticked, taken back, label checks that only a scan answers; ticks of two people both stand."""

from __future__ import annotations

import pytest

from drawndose.quantities import Refused
from tests.department.scene import BOTTLE, labelled, planned, received, scene

pytestmark = pytest.mark.usefixtures("storage")


def steps(made):
    from drawndose.department.work.checklist import checklist
    from drawndose.department.work.planning import plan_of

    return checklist(made, plan_of(made))


def checks(made) -> list[int]:
    return [one.step.number for one in steps(made) if one.check]


def test_every_technique_has_its_three_label_checks() -> None:
    from drawndose.department.work.checklist import CHECK
    from drawndose.reference import load

    book = load()
    kinds = {one.container for one in book.presentations}
    for kind in kinds:
        says = [one.says.lower() for one in book.technique(kind.value).steps if CHECK in one.says.lower()]
        for which in ("first", "second", "third"):
            assert any(one.startswith(f"{which} {CHECK}") for one in says), (kind, which)


def test_a_step_is_done_and_taken_back_by_events_and_no_version_moves() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.work.checklist import tick

    made, _, _ = planned(scene())
    version = made.version
    tick(made, 2, by=made.by)
    assert [one.step.number for one in steps(made) if one.done] == [2]
    tick(made, 2, by=made.by, done=False)
    assert [one.step.number for one in steps(made) if one.done] == []
    made.refresh_from_db()
    assert made.version == version
    names = list(Event.objects.filter(subject_kind="steps").order_by("number").values_list("name", flat=True))
    assert names == ["step.done", "step.taken_back"]


def test_ticks_from_two_tabs_both_stand() -> None:
    from drawndose.department.work.checklist import tick
    from drawndose.department.work.models import Preparation

    made, _, _ = planned(scene())
    other = Preparation.objects.get(pk=made.pk)
    tick(made, 1, by=made.by)
    tick(other, 2, by=made.by)
    assert [one.step.number for one in steps(other) if one.done] == [1, 2]


def test_a_label_check_is_answered_by_its_scan_alone() -> None:
    from drawndose.department.work.checklist import next_check, scanned, tick

    on = scene()
    made, bottle, saline = planned(on)
    first, second, third = checks(made)
    with pytest.raises(Refused, match="answered by its scan"):
        tick(made, first, by=made.by)
    found = next_check(steps(made), drawn=False)
    assert found is not None
    assert (found.step.number, [one.pk for one in found.wanted]) == (first, [bottle.pk])
    scanned(made, saline, first, by=made.by)
    assert not steps(made)[first - 1].done
    scanned(made, bottle, first, by=made.by)
    assert steps(made)[first - 1].done
    with pytest.raises(Refused, match="counts once"):
        scanned(made, bottle, second, by=made.by)
    late = next_check(steps(made), drawn=True)
    assert late is not None
    assert late.step.number == third


def test_a_bottle_that_is_not_of_this_sheet_is_named_with_the_one_that_is() -> None:
    from drawndose.department.work.checklist import scanned

    on = scene()
    made, _, _ = planned(on)
    other = received(on, BOTTLE, "20 mL", lot="9B7")
    with pytest.raises(Refused, match="lot 4K21") as refused:
        scanned(made, other, checks(made)[0], by=made.by)
    assert "lot 9B7" in refused.value.faults[0].came
    assert made.steps_done == []


def test_no_step_of_a_closed_sheet_and_none_that_is_not_there() -> None:
    from drawndose.department.work import giving
    from drawndose.department.work.checklist import tick

    on = scene()
    made, _, _ = labelled(on)
    tick(made, 2, by=on.ana)
    with pytest.raises(Refused, match="no such step"):
        tick(made, 99, by=on.ana)
    giving.not_given(made, by=on.ana, version=made.version, reason="asleep", told="Dr. Invented")
    giving.close(made, given_nl=0, wasted_nl=3_000_000, left_nl=0, by=on.ana, version=made.version)
    with pytest.raises(Refused, match="this sheet is closed"):
        tick(made, 1, by=on.ana)
    made.refresh_from_db()
    assert [one["step"] for one in made.steps_done] == [2]
