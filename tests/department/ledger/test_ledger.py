"""The ledger: one chain, appended only inside a change, and the first altered event is named."""

from __future__ import annotations

import hashlib
import json
from datetime import UTC, datetime, timedelta

import pytest

from drawndose.quantities import Refused

pytestmark = pytest.mark.usefixtures("storage")


def founded():
    from drawndose.department.ledger.models import Kind
    from drawndose.department.ledger.storage import found

    return found(Kind.PRACTICE, actor="setup")


def add(number: int = 1, **more):
    from django.db import transaction

    from drawndose.department.ledger.append import append

    with transaction.atomic():
        return append("thing.done", "thing", str(number), actor="ana", **more)


def chain():
    from drawndose.department.ledger.models import Event

    return Event.objects.order_by("number")


def broken():
    from drawndose.department.ledger.chain import first_broken

    return first_broken(chain())


def test_events_are_numbered_without_a_gap_and_bound_to_the_one_before() -> None:
    founded()
    made = [add(place, content={"volume_nl": "500000", "list": ["a", 1, None, True]}) for place in range(3)]
    assert [one.number for one in made] == [2, 3, 4]
    assert [one.before for one in made[1:]] == [one.hash for one in made[:-1]]
    assert broken() is None


def test_the_hash_is_sha256_over_the_events_own_text() -> None:
    founded()
    made = add(content={"volume_nl": "500000"}, reason="wheeze", at=datetime(2099, 1, 2, 3, 4, 5, 6, tzinfo=UTC))
    text = json.dumps(
        {
            "actor": "ana",
            "at": "2099-01-02T03:04:05.000006Z",
            "before": made.before,
            "content": {"volume_nl": "500000"},
            "key": None,
            "name": "thing.done",
            "number": 2,
            "reason": "wheeze",
            "subject": "1",
            "subject_kind": "thing",
        },
        separators=(",", ":"),
    )
    assert made.hash == hashlib.sha256(text.encode()).hexdigest()


@pytest.mark.parametrize(
    ("values", "number", "why"),
    [
        ({"content": {"volume_nl": "5000000"}}, 3, "altered"),
        ({"actor": "ben"}, 3, "altered"),
        ({"at": datetime(2020, 1, 1, tzinfo=UTC)}, 3, "altered"),
        ({"reason": "because"}, 3, "altered"),
        ({"before": "f" * 64}, 3, "not bound"),
    ],
)
def test_the_first_altered_event_is_named(values: dict[str, object], number: int, why: str) -> None:
    founded()
    for place in range(4):
        add(place, content={"volume_nl": "500000"})
    chain().filter(number=number).update(**values)
    found = broken()
    assert found is not None
    assert (found.number, why in found.why) == (number, True)


def test_a_missing_event_is_named_and_so_is_one_whose_hash_was_made_anew() -> None:
    from drawndose.department.ledger.chain import digest

    founded()
    for place in range(4):
        add(place)
    chain().filter(number=3).delete()
    assert broken().number == 3
    chain().filter(number__gt=1).delete()
    event = chain().get(number=1)
    event.actor = "someone else"
    chain().filter(number=1).update(actor=event.actor, hash=digest(event))
    assert broken() is None  # a chain rewritten from there to its end is whole: its head, kept elsewhere, tells
    from drawndose.department.ledger.models import Head

    assert Head.objects.get(pk=1).hash != chain().last().hash


def test_a_key_is_used_once() -> None:
    from drawndose.department.ledger.append import Replayed

    founded()
    first = add(key="form-1")
    with pytest.raises(Replayed) as replayed:
        add(2, key="form-1")
    assert replayed.value.event == first
    assert chain().count() == 2


def test_a_float_is_no_exact_value() -> None:
    founded()
    with pytest.raises(TypeError, match="exact values as text"):
        add(content={"volume": [0.5]})


def test_a_clock_that_was_set_back_is_named() -> None:
    founded()
    last = add().at
    add(at=last - timedelta(seconds=4))  # machines may differ by so much
    assert chain().last().at == last
    with pytest.raises(Refused, match="clock of this machine stands before"):
        add(at=last - timedelta(seconds=6))


def test_a_storage_holds_one_kind_for_ever() -> None:
    from drawndose.department.ledger.models import Kind
    from drawndose.department.ledger.storage import found, kind_of_records

    assert kind_of_records() is None
    founded()
    assert kind_of_records() is Kind.PRACTICE
    with pytest.raises(Refused, match="practice records already"):
        found(Kind.CARE, actor="setup")
