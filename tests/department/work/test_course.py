"""A course ends by itself: after the doses that were ordered, given or not, across holds, changes and clock changes."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from drawndose.quantities import Refused
from tests.department.scene import labelled, order, scene, written

pytestmark = pytest.mark.usefixtures("storage")
CHICAGO = ZoneInfo("America/Chicago")
BASE = "albuterol 2.5 mg by nebulizer, made up to 3 mL"
THREE = f"{BASE}, every 20 min for 3 doses"


def states(made) -> list[str]:
    return list(made.duedose_set.order_by("due_at").values_list("state", flat=True))


def told(made) -> str:
    from drawndose.department.work.due import told_course
    from drawndose.department.work.reading import reading_of

    return told_course(made, reading_of(made.text))


def test_doses_stop_at_the_count_however_often_they_are_topped_up() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import orders

    made = order(scene(), THREE)
    assert (len(states(made)), made.next_at) == (3, None)
    orders.top_up(now() + timedelta(days=3))
    assert states(made) == ["due"] * 3
    assert told(made) == "3 in all: 3 to come"
    assert told(order(scene_of(made))) == ""


def scene_of(made):
    """The scene of an order that was made, for another one."""
    from drawndose.department.people.models import Person
    from tests.department.scene import Scene

    people = (Person.objects.get(username=name) for name in ("ana", "ben", "cleo"))
    return Scene(made.site, *people, made.patient)


def test_days_are_so_many_doses_also_where_the_clock_changes(clock) -> None:
    from drawndose.department.work import orders

    on = scene()
    start = datetime(2027, 11, 5, 14, 50, tzinfo=CHICAGO)  # the clock is set back on the 7th
    clock.stands(start)
    taken = {"ordered_at": start - timedelta(hours=1), "first_at": start + timedelta(minutes=10)}
    for words, last in (
        ("every 6 hours for 5 days", "10 Nov 08:00"),
        ("three times daily for 5 days", "10 Nov 08:00"),
        ("every 4 hours for 2 days", "07 Nov 10:00"),
    ):
        made = order(on, f"{BASE}, {words}", **taken)
        for day in range(1, 9):
            orders.top_up(start + timedelta(days=day))
        due = [one.due_at.astimezone(CHICAGO) for one in made.duedose_set.order_by("due_at")]
        assert len(due) == {"every 6": 20, "three t": 15, "every 4": 12}[words[:7]]
        assert f"{due[-1]:%d %b %H:%M}" == last, words


def test_what_was_not_given_counts_and_is_not_made_up_for() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import due, orders

    on = scene()
    made = order(on, THREE)
    due.not_given(made.duedose_set.first(), by=on.ana, version=1, reason="asleep", told="Dr. Invented")
    orders.top_up(now() + timedelta(days=1))
    assert states(made) == ["not given", "due", "due"]
    assert told(made) == "3 in all: 1 not given, 2 to come"


def test_what_fell_due_on_hold_counts_as_dropped(clock) -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import orders

    on = scene()
    made = order(on, f"{BASE}, every 4 hours for 2 days")
    start = now()
    orders.hold(made, by=on.ana, version=made.version, reason="in surgery")
    clock.stands(start + timedelta(hours=41))
    orders.resume(made, by=on.ana, version=made.version)
    orders.top_up(start + timedelta(days=4))
    found = states(made)
    assert (len(found), found.count("dropped"), found.count("due")) == (12, 10, 2)
    assert told(made) == "12 in all: 10 dropped, 2 to come"


def test_a_changed_order_counts_anew_and_the_old_one_owes_nothing() -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import orders

    on = scene()
    made = order(on, THREE)
    new = orders.replace(
        made, written(THREE.replace("3 doses", "2 doses")), by=on.ana, version=made.version, reason="one was given"
    )
    orders.top_up(now() + timedelta(days=1))
    assert (states(made), states(new)) == (["dropped"] * 3, ["due"] * 2)


def test_as_needed_what_was_given_counts_and_what_was_not_does_not(clock) -> None:
    from drawndose.department.ledger.append import now
    from drawndose.department.work import due, orders
    from drawndose.department.work.models import DueDose

    on = scene()
    made = order(on, f"{BASE}, every 4 hours for 2 doses as needed for wheeze")
    start = now()
    for hours, state in enumerate(("not given", "given", "given")):
        clock.stands(start + timedelta(hours=5 * hours))
        made.refresh_from_db()
        asked = orders.on_demand(made, by=on.ana, version=made.version)
        assert isinstance(asked, DueDose)
        DueDose.objects.filter(pk=asked.pk).update(state=state)
    assert told(made) == "2 in all: 2 given, 1 not given, 0 to come"
    with pytest.raises(Refused, match="the order was for 2 doses"):
        due.on_demand(made, by=on.ana, version=made.version)


def test_as_needed_for_days_ends_by_the_clock_of_the_site(clock) -> None:
    from drawndose.department.work import due
    from drawndose.department.work.models import DueDose

    on = scene()
    start = datetime(2027, 11, 5, 14, 50, tzinfo=CHICAGO)
    clock.stands(start)
    first = start + timedelta(minutes=10)
    words = f"{BASE}, every 4 hours for 3 days as needed for wheeze"
    made = order(on, words, ordered_at=start - timedelta(hours=1), first_at=first)
    clock.stands(first + timedelta(days=3, minutes=-1))  # 14:59 there, 72 h 59 min later
    asked = due.on_demand(made, by=on.ana, version=made.version)
    assert isinstance(asked, DueDose)
    DueDose.objects.filter(pk=asked.pk).update(state="not given")
    clock.stands(first + timedelta(days=3))
    made.refresh_from_db()
    with pytest.raises(Refused, match="the order was for 3 days, until 08 Nov 2027 15:00"):
        due.on_demand(made, by=on.ana, version=made.version)


def test_a_dose_that_is_given_leaves_the_rest() -> None:
    from drawndose.department.work import giving

    on = scene()
    made, _, _ = labelled(on, text=THREE)
    giving.give(made, "204118", "1961-11-05", by=on.cleo, version=made.version)
    assert told(made.order) == "3 in all: 1 given, 2 to come"
