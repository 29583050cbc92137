"""What a password and a PIN must be, and changing them: asked for the old one, counted, told without repeating them."""

from __future__ import annotations

import json

import pytest

from drawndose.quantities import Refused
from tests.department.people.staff import ADDRESS, OTHER, PASSWORD, PIN, WRONG, events, staff

pytestmark = pytest.mark.usefixtures("storage")


def why(password: str) -> str:
    from drawndose.department.people.secrets import password_faults

    return "; ".join(fault.rule for fault in password_faults(password, username="ana", name="Ana Sample"))


@pytest.mark.parametrize(
    ("password", "said"),
    [
        ("otter-lamp1", "12 to 256"),
        ("a" * 257, "12 to 256"),
        ("abababababab", "same few characters"),
        ("password1234", "commonest"),
        ("Dragon!!!!2026", "commonest"),
        ("Q1W2E3R4T5Y6", "commonest"),
        ("sample-otter-lamp", "your name"),
        ("thirteen-ana-x", "your name"),
    ],
)
def test_what_is_no_password_says_why(password: str, said: str) -> None:
    assert said in why(password)


@pytest.mark.parametrize("password", [PASSWORD, OTHER, "a b c d e f g", "päßwörter sind", "Zq8#vLw2!tRk"])
def test_what_is_one_may_have_spaces_and_any_letters(password: str) -> None:
    assert why(password) == ""


def test_the_list_of_the_commonest_is_there_and_long() -> None:
    from django.contrib.auth.password_validation import CommonPasswordValidator

    assert len(CommonPasswordValidator().passwords) > 19_000


@pytest.mark.parametrize(
    "pin", ["", "12345", "123456", "654321", "000000", "121212", "123123", "40831a", "١٢٣٤٥٦", "4" * 12]
)
def test_what_is_no_pin(pin: str) -> None:
    from drawndose.department.people.secrets import pin_faults

    assert len(pin_faults(pin)) == 1


@pytest.mark.parametrize("pin", [PIN, "40831640831", "102030"])
def test_what_is_a_pin(pin: str) -> None:
    from drawndose.department.people.secrets import pin_faults

    assert pin_faults(pin) == []


def change(on, old: str, new: str, again: str | None = None) -> None:
    from drawndose.department.people.secrets import change_password

    change_password(on.ana, old, new, new if again is None else again, address=ADDRESS)


def test_a_password_is_changed_with_the_old_one() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.people.signing import sign_in

    on = staff()
    on.ana.must_change = True
    on.ana.save()
    change(on, PASSWORD, OTHER)
    assert sign_in("ana", OTHER, address=ADDRESS).must_change is False
    assert events() == [("person.password_changed", "ana"), ("person.signed_in", "ana")]
    assert OTHER not in json.dumps(list(Event.objects.values("content")))


@pytest.mark.parametrize(
    ("old", "new", "again", "said"),
    [
        (WRONG, OTHER, OTHER, "do not go together"),
        (PASSWORD, OTHER, OTHER + "x", "the same twice"),
        (PASSWORD, PASSWORD, PASSWORD, "the old one"),
        (PASSWORD, "short", "shorter", "(?s)12 to 256.*the same twice"),
    ],
)
def test_a_password_stays_as_it_was(old: str, new: str, again: str, said: str) -> None:
    from drawndose.department.people.models import Person

    on = staff()
    before = on.ana.password
    with pytest.raises(Refused, match=said):
        change(on, old, new, again)
    assert Person.objects.get(username="ana").password == before


def test_a_pin_is_set_and_taken_away_with_the_password() -> None:
    from django.contrib.auth.hashers import check_password

    from drawndose.department.people.secrets import change_pin

    on = staff()
    change_pin(on.ana, PASSWORD, "739105", "739105", address=ADDRESS)
    assert check_password("739105", on.ana.pin)
    with pytest.raises(Refused, match="the same twice"):
        change_pin(on.ana, PASSWORD, "739105", "739106", address=ADDRESS)
    with pytest.raises(Refused, match="do not go together"):
        change_pin(on.ana, PIN, "", "", address=ADDRESS)
    change_pin(on.ana, PASSWORD, "", "", address=ADDRESS)
    assert on.ana.pin == ""
    assert [name for name, _ in events()] == ["person.pin_changed", "person.failed", "person.pin_removed"]
