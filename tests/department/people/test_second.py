"""A second person signs for one act on the first one's device: another person, with the right, counted as at the sign-in."""

from __future__ import annotations

import json

import pytest

from drawndose.quantities import Refused
from tests.department.people.staff import ADDRESS, PASSWORD, PIN, WRONG, events, staff

pytestmark = pytest.mark.usefixtures("storage")


def second(on, username: str, secret: str, right: str = "READ_SECOND"):
    from drawndose.department.people.roles import Right
    from drawndose.department.people.second import second_person

    return second_person(username, secret, first=on.ana, right=Right[right], address=ADDRESS)


@pytest.mark.parametrize("secret", [PASSWORD, PIN])
def test_another_person_signs_by_password_or_pin(secret: str) -> None:
    on = staff()
    assert second(on, " Ben ", secret) == on.ben
    assert events() == [("person.signed_second", "ben")]


@pytest.mark.parametrize(
    ("username", "secret", "why"),
    [
        ("", PASSWORD, "a second person is needed"),
        ("ben", "", "the second person signs"),
        ("ANA", PASSWORD, "another person"),
    ],
)
def test_nobody_nothing_and_the_first_person_are_refused_uncounted(username: str, secret: str, why: str) -> None:
    from drawndose.department.people.models import Failure

    on = staff()
    with pytest.raises(Refused, match=why):
        second(on, username, secret)
    assert (events(), Failure.objects.count()) == ([], 0)


def test_who_may_not_is_told_so_only_after_the_secret_was_right() -> None:
    from drawndose.department.people.signing import Wrong

    on = staff()
    with pytest.raises(Wrong, match="do not go together"):
        second(on, "cleo", WRONG)
    with pytest.raises(Refused, match="not this person's"):
        second(on, "cleo", PASSWORD)
    assert events() == [("person.failed", "cleo")]


def test_a_first_password_signs_nothing() -> None:
    on = staff()
    on.ben.must_change = True
    on.ben.save()
    with pytest.raises(Refused, match="not changed yet"):
        second(on, "ben", PASSWORD)


def test_by_pin_only_where_it_is_allowed(monkeypatch: pytest.MonkeyPatch) -> None:
    from drawndose.department.people import limits as home
    from drawndose.department.people.signing import Wrong

    on = staff()
    from django.conf import settings

    monkeypatch.setattr(settings, "SIGNING", home.Limits(second_by_pin=False))
    with pytest.raises(Wrong):
        second(on, "ben", PIN)
    assert second(on, "ben", PASSWORD) == on.ben


def test_its_failures_lock_the_sign_in_too_and_no_secret_is_in_the_ledger() -> None:
    from drawndose.department.ledger.models import Event
    from drawndose.department.people.signing import Locked, Wrong, sign_in

    on = staff()
    for _ in range(5):
        with pytest.raises(Wrong):
            second(on, "ben", "111222")
    with pytest.raises(Locked):
        second(on, "ben", PIN)
    with pytest.raises(Locked):
        sign_in("ben", PASSWORD, address=ADDRESS)
    kept = json.dumps(list(Event.objects.values("content", "reason", "actor")))
    assert [secret for secret in ("111222", PIN, PASSWORD) if secret in kept] == []
