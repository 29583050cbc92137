"""Signing in: the promised number of failures is the number, a lock tells nothing, and the ledger holds no secret."""

from __future__ import annotations

import json

import pytest

from tests.department.people.staff import ADDRESS, PASSWORD, PIN, WRONG, events, hashed, person, staff

pytestmark = pytest.mark.usefixtures("storage")


def tried(username: str, password: str, address: str = ADDRESS) -> str:
    from drawndose.department.people.signing import Locked, Wrong, sign_in

    try:
        return sign_in(username, password, address=address).username
    except Wrong:
        return "wrong"
    except Locked as locked:
        return str(locked.faults[0].accepted)


def test_who_has_the_password_comes_in_whatever_the_case_of_the_name() -> None:
    staff()
    assert tried(" ANA ", PASSWORD) == "ana"
    assert events() == [("person.signed_in", "ana")]


def test_four_failures_do_not_lock_and_the_fifth_does_for_15_minutes(clock) -> None:
    staff()
    assert [tried("ana", WRONG) for _ in range(4)] == ["wrong"] * 4
    assert tried("ana", PASSWORD) == "ana"
    assert [tried("ana", WRONG) for _ in range(5)] == ["wrong"] * 5
    assert tried("ana", PASSWORD) == "a try in 15 min"
    clock.passes(minutes=14, seconds=59)
    assert tried("ana", PASSWORD) == "a try in 1 min"
    clock.passes(seconds=1)
    assert tried("ana", PASSWORD) == "ana"
    assert [name for name, _ in events()].count("person.failed") == 9
    assert [name for name, _ in events()].count("person.locked") == 1


def test_tries_while_locked_make_the_lock_no_longer(clock) -> None:
    staff()
    for _ in range(5):
        tried("ana", WRONG)
    clock.passes(minutes=14)
    assert [tried("ana", WRONG) for _ in range(20)] == ["a try in 1 min"] * 20
    clock.passes(minutes=1)
    assert tried("ana", PASSWORD) == "ana"


def test_five_failures_within_15_minutes_lock_wherever_the_minutes_begin(clock) -> None:
    staff()
    tried("ana", WRONG)
    clock.passes(minutes=14)
    assert [tried("ana", WRONG) for _ in range(3)] == ["wrong"] * 3
    clock.passes(minutes=2)  # the first one is 16 minutes ago: three count
    assert tried("ana", WRONG) == "wrong"
    assert tried("ana", WRONG) == "wrong"
    assert tried("ana", PASSWORD) == "a try in 15 min"


def test_a_name_that_nobody_has_is_locked_alike_and_is_not_written_down(clock) -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.people.models import Failure

    staff()
    for name in ("nobody", PASSWORD, "x" * 200, "with\x00null", "na me"):
        first = [tried(name, WRONG, f"192.0.2.{len(name)}") for _ in range(6)]
        assert first == ["wrong"] * 5 + ["a try in 15 min"], name
    assert {actor for _, actor in events()} == {"unknown name"}
    kept = json.dumps([*Event.objects.values("actor", "subject", "content"), *Failure.objects.values("kind", "whose")])
    assert [name for name in ("nobody", PASSWORD, "x" * 20, "na me") if name in kept] == []


def test_one_address_may_not_try_many_names(clock) -> None:
    staff()
    assert [tried(f"name{number}", WRONG) for number in range(20)] == ["wrong"] * 20
    assert tried("ana", PASSWORD) == "a try in 15 min"
    assert tried("ana", PASSWORD, "192.0.2.8") == "ana"
    assert tried("ben", PASSWORD) == "a try in 15 min"  # another's success elsewhere opens nothing here


def test_a_busy_ward_behind_one_address_locks_nobody(clock) -> None:
    staff()
    for number in range(60):
        assert tried("ana", PASSWORD) == "ana"
        if number % 4 == 0:
            assert tried("ben", WRONG) == "wrong"
            assert tried("ben", PASSWORD) == "ben"
        clock.passes(minutes=1)


@pytest.mark.parametrize("values", [{"is_active": False}, {"password": ""}, {"password": "!"}])
def test_who_left_or_has_no_password_is_not_told_apart(values: dict[str, object]) -> None:
    staff()
    person("dora", "Dora Model", **values)
    assert [tried("dora", PASSWORD) for _ in range(5)] == ["wrong"] * 5
    assert tried("dora", PASSWORD) == "a try in 15 min"


def test_a_name_that_nobody_has_costs_a_hash_too(monkeypatch: pytest.MonkeyPatch) -> None:
    from django.contrib.auth.hashers import Argon2PasswordHasher

    staff()
    hashes: list[str] = []
    encode, verify = Argon2PasswordHasher.encode, Argon2PasswordHasher.verify
    monkeypatch.setattr(Argon2PasswordHasher, "encode", lambda self, *given: hashes.append("x") or encode(self, *given))
    monkeypatch.setattr(Argon2PasswordHasher, "verify", lambda self, *given: hashes.append("x") or verify(self, *given))
    found = []
    for name in ("ana", "nobody", "no body"):
        tried(name, WRONG)
        found.append(len(hashes))
        hashes.clear()
    assert found == [1, 1, 1]


def test_a_pin_and_an_endless_password_sign_nobody_in() -> None:
    staff()
    assert (tried("ana", PIN), tried("ana", PASSWORD + " " * 300), tried("ana", "")) == ("wrong",) * 3


def test_the_same_letters_from_another_keyboard_are_the_same_password() -> None:
    staff()
    person("dora", "Dora Model", password=hashed("caf\u00e9-otter-lamp"))
    assert tried("dora", "cafe\u0301-otter-lamp") == "dora"


def test_secrets_are_kept_as_argon2_alone() -> None:
    on = staff()
    assert on.ana.password.startswith("argon2$argon2id$")
    assert on.ana.pin.startswith("argon2$argon2id$")
    assert PIN not in on.ana.pin
