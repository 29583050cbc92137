"""Persons and their roles: each change with its reason and its event, and at least one administrator for ever."""

from __future__ import annotations

import pytest

from drawndose.quantities import Refused
from tests.department.people.staff import ADDRESS, OTHER, PASSWORD, WRONG, events, staff

pytestmark = pytest.mark.usefixtures("storage")
WHY = "asked by the head of the ward"


def may(username: str) -> set[str]:
    from drawndose.department.people.models import Person

    return {role.value for role in Person.objects.get(username=username).roles()}


def test_a_person_is_added_with_a_password_that_must_be_changed() -> None:
    from drawndose.department.people import roster
    from drawndose.department.people.roles import Role
    from drawndose.department.people.signing import sign_in

    on = staff()
    roles = {Role.GIVER, Role.CHECKER}
    made = roster.add(" Dora.M ", "Dora  Model", roles, OTHER, by=on.cleo, reason=WHY)
    assert (made.username, made.name, made.roles(), made.must_change) == ("dora.m", "Dora Model", roles, True)
    assert sign_in("dora.m", OTHER, address=ADDRESS).must_change
    assert events()[0] == ("person.added", "cleo")
    assert added("dora.m") == {"username": "dora.m", "name": "Dora Model", "roles": ["checker", "giver"]}


def added(username: str) -> dict[str, object]:
    """What the event of adding says of someone."""
    from drawndose.department.ledger.models import Event

    return Event.objects.get(name="person.added", content__username=username).content


def test_the_event_of_adding_a_learner_holds_no_name() -> None:
    from drawndose.department.people import roster
    from drawndose.department.people.roles import Role

    on = staff()
    for username, roles in (("l.1", {Role.LEARNER}), ("l.2", {Role.LEARNER, Role.GIVER})):
        roster.add(username, "Lou Model", roles, OTHER, by=on.cleo, reason=WHY)
    assert added("l.1") == {"username": "l.1", "roles": ["learner"]}
    assert added("l.2")["name"] == "Lou Model"


def test_everything_that_is_wrong_with_a_new_person_is_told_at_once() -> None:
    from drawndose.department.people import roster
    from drawndose.department.people.models import Person

    on = staff()
    with pytest.raises(Refused) as refused:
        roster.add("Döra", " ", set(), "short", by=on.cleo, reason=" ")
    fields = [fault.field for fault in refused.value.faults]
    assert fields == ["name to sign in with", "name", "first password", "roles", "reason"]
    with pytest.raises(Refused, match="someone has this name"):
        roster.add("ANA", "Another Ana", set(), OTHER, by=on.cleo, reason=WHY)
    assert (Person.objects.count(), events()) == (3, [])


def test_roles_are_given_and_taken_with_a_reason() -> None:
    from drawndose.department.people import roster
    from drawndose.department.people.roles import Role

    on = staff()
    roster.give(on.ana, Role.CHECKER, by=on.cleo, reason=WHY)
    assert may("ana") == {"preparer", "checker"}
    with pytest.raises(Refused, match="have it already"):
        roster.give(on.ana, Role.CHECKER, by=on.cleo, reason=WHY)
    with pytest.raises(Refused, match="a reason is needed"):
        roster.take(on.ana, Role.CHECKER, by=on.cleo, reason="")
    roster.take(on.ana, Role.CHECKER, by=on.cleo, reason=WHY)
    with pytest.raises(Refused, match="do not have it"):
        roster.take(on.ana, Role.CHECKER, by=on.cleo, reason=WHY)
    assert may("ana") == {"preparer"}
    assert events() == [("person.role_given", "cleo"), ("person.role_taken", "cleo")]


def test_nobody_takes_their_own_administrators_role_nor_deactivates_themselves() -> None:
    from drawndose.department.people import roster
    from drawndose.department.people.roles import Role

    on = staff()
    roster.give(on.ben, Role.ADMINISTRATOR, by=on.cleo, reason=WHY)
    with pytest.raises(Refused, match="nobody takes this role from themselves"):
        roster.take(on.cleo, Role.ADMINISTRATOR, by=on.cleo, reason=WHY)
    with pytest.raises(Refused, match="nobody deactivates themselves"):
        roster.deactivate(on.cleo, by=on.cleo, reason=WHY)
    roster.take(on.cleo, Role.ADMINISTRATOR, by=on.ben, reason=WHY)
    assert may("cleo") == set()


def test_the_last_administrator_stays_whoever_asks() -> None:
    from drawndose.department.people import roster
    from drawndose.department.people.roles import Role

    on = staff()
    for work in (
        lambda: roster.take(on.cleo, Role.ADMINISTRATOR, by=on.ben, reason=WHY),
        lambda: roster.deactivate(on.cleo, by=on.ben, reason=WHY),
    ):
        with pytest.raises(Refused, match="one administrator stays"):
            work()
    assert (may("cleo"), events()) == ({"administrator"}, [])


def test_who_is_no_administrator_any_more_changes_nothing() -> None:
    from drawndose.department.people import roster
    from drawndose.department.people.roles import Role

    on = staff()
    with pytest.raises(Refused, match="no administrator any more"):
        roster.give(on.ben, Role.ADMINISTRATOR, by=on.ana, reason=WHY)
    assert (may("ben"), events()) == ({"checker"}, [])


def test_who_leaves_signs_nothing_and_comes_back_with_the_same_roles() -> None:
    from drawndose.department.people import roster
    from drawndose.department.people.roles import Role
    from drawndose.department.people.signing import Wrong, sign_in

    on = staff()
    roster.deactivate(on.ana, by=on.cleo, reason=WHY)
    assert may("ana") == set()
    with pytest.raises(Wrong):
        sign_in("ana", PASSWORD, address=ADDRESS)
    with pytest.raises(Refused, match="not active already"):
        roster.deactivate(on.ana, by=on.cleo, reason=WHY)
    with pytest.raises(Refused, match="they are not active"):
        roster.give(on.ana, Role.GIVER, by=on.cleo, reason=WHY)
    roster.activate(on.ana, by=on.cleo, reason=WHY)
    assert may("ana") == {"preparer"}
    with pytest.raises(Refused, match="active already"):
        roster.activate(on.ana, by=on.cleo, reason=WHY)


def test_a_forgotten_password_is_set_anew_and_lifts_the_lock() -> None:
    from drawndose.department.people import roster
    from drawndose.department.people.signing import Locked, Wrong, sign_in

    on = staff()
    for _ in range(5):
        with pytest.raises(Wrong):
            sign_in("ana", WRONG, address=ADDRESS)
    with pytest.raises(Locked):
        sign_in("ana", PASSWORD, address=ADDRESS)
    with pytest.raises(Refused, match="your own"):
        roster.set_password(on.cleo, OTHER, by=on.cleo, reason=WHY)
    roster.set_password(on.ana, OTHER, by=on.cleo, reason=WHY)
    signed = sign_in("ana", OTHER, address=ADDRESS)
    assert (signed.must_change, signed.pin) == (True, "")


def test_the_first_administrator_is_made_once() -> None:
    from drawndose.department.ledger.models import Kind
    from drawndose.department.ledger.storage import found
    from drawndose.department.people import roster

    found(Kind.CARE, actor="setup")
    with pytest.raises(Refused, match="commonest"):
        roster.first_administrator("head", "Head of Ward", "password1234")
    made = roster.first_administrator("head", "Olga Invented", OTHER)
    assert (may("head"), made.must_change, events()) == ({"administrator"}, False, [("person.added", "first start")])
    with pytest.raises(Refused, match="persons already"):
        roster.first_administrator("other", "Someone Else", OTHER)
