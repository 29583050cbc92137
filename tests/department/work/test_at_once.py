"""Several people at once, on the storage as it is: no lost update, nothing below nothing, one winner."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

from drawndose.quantities import Refused
from tests.department.scene import BOTTLE, SALINE, order, received, scene

pytestmark = pytest.mark.usefixtures("committed")


def in_threads(count: int, work) -> list[object]:
    """What each of so many threads got: its answer, or the exception that it met."""
    from django.db import connection

    def one(place: int) -> object:
        try:
            return work(place)
        except Exception as met:
            return met
        finally:
            connection.close()

    with ThreadPoolExecutor(count) as pool:
        return list(pool.map(one, range(count)))


def test_two_people_cannot_both_draw_the_last_of_it() -> None:
    from drawndose.department.work import preparing, shelf
    from drawndose.department.work.models import Container, Preparation

    on = scene()
    entered = order(on)
    saline = received(on, SALINE, "3 mL")
    makings = [preparing.begin(entered, by=on.ana) for _ in range(4)]

    def take(place: int) -> str:
        from django.db import transaction

        with transaction.atomic():
            made = Preparation.objects.get(pk=makings[place].pk)
            shelf.draw(Container.objects.get(pk=saline.pk), made, 2_500_000, by=on.ana)
        return "drawn"

    got = in_threads(4, take)
    assert got.count("drawn") == 1, got
    assert all(isinstance(one, Refused) or one == "drawn" or type(one).__name__ == "Moved" for one in got), got
    saline.refresh_from_db()
    assert saline.left_nl == 500_000


def test_what_was_emptied_meanwhile_is_refused_in_words() -> None:
    """Everyone draws from the same container until it is empty, and then once more."""
    from drawndose.department.work import preparing, shelf
    from drawndose.department.work.change import Moved
    from drawndose.department.work.models import Container, Preparation
    from drawndose.department.work.policy import choose

    on = scene()
    choose("bottle_life", "28 d", reason="pharmacy committee", by=on.cleo)
    entered = order(on)
    bottle = received(on, BOTTLE, "20 mL")
    makings = [preparing.begin(entered, by=on.ana) for _ in range(8)]

    def take(place: int) -> str:
        from django.db import transaction

        for _ in range(100):
            try:
                with transaction.atomic():
                    made = Preparation.objects.get(pk=makings[place].pk)
                    shelf.draw(Container.objects.get(pk=bottle.pk), made, 4_000_000, by=on.ana)
                return "drawn"
            except (Refused, Moved) as refused:
                if Container.objects.get(pk=bottle.pk).left_nl == 0:
                    return str(refused)
        return "never"

    got = in_threads(8, take)
    assert got.count("drawn") == 5, got
    assert all("left in it, and it is" in str(one) for one in got if one != "drawn"), got


def test_many_writers_lose_nothing_and_the_chain_holds() -> None:
    from django.db import transaction

    from drawndose.department.ledger.append import append
    from drawndose.department.ledger.chain import first_broken
    from drawndose.department.ledger.models import Event, Head

    scene()
    before = Event.objects.count()

    def write(place: int) -> str:
        for number in range(5):
            with transaction.atomic():
                append("thing.done", "thing", f"{place}-{number}", actor="ana")
        return "done"

    got = in_threads(8, write)
    assert got == ["done"] * 8
    assert Event.objects.count() == before + 40
    assert Head.objects.get(pk=1).number == before + 40
    assert first_broken(Event.objects.order_by("number")) is None


def test_one_dose_is_begun_once() -> None:
    from drawndose.department.work import preparing
    from drawndose.department.work.models import DueDose, Order, Preparation

    on = scene()
    entered = order(on)
    dose = entered.duedose_set.order_by("due_at").first()

    def begin(place: int) -> str:
        preparing.begin(Order.objects.get(pk=entered.pk), by=on.ana, dose=DueDose.objects.get(pk=dose.pk))
        return "begun"

    got = in_threads(4, begin)
    assert got.count("begun") == 1, got
    assert Preparation.objects.filter(dose=dose).count() == 1


def test_doses_are_topped_up_once_by_several_at_once() -> None:
    from datetime import timedelta

    from drawndose.department.ledger.append import now
    from drawndose.department.ledger.chain import first_broken
    from drawndose.department.ledger.models import Event
    from drawndose.department.work import orders

    on = scene()
    made = [order(on) for _ in range(3)]
    later = now() + timedelta(hours=9)
    got = in_threads(6, lambda place: orders.top_up(later))
    assert got == [[]] * 6, got
    assert [one.duedose_set.count() for one in made] == [9, 9, 9]
    assert Event.objects.filter(name="dose.planned").count() == 27
    assert first_broken(Event.objects.order_by("number")) is None
