"""Many tries at the same moment, on the storage as it is: the promised number holds, and one administrator stays."""

from __future__ import annotations

import pytest

from drawndose.quantities import Refused
from tests.department.people.staff import ADDRESS, PASSWORD, WRONG, events, staff
from tests.department.work.test_at_once import in_threads

pytestmark = pytest.mark.usefixtures("committed")


@pytest.fixture
def looked_at(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Every secret that was really looked at."""
    from drawndose.department.people import signing, sittings

    seen: list[str] = []
    fits, check = signing._fits, sittings.check_password
    monkeypatch.setattr(signing, "_fits", lambda *given: seen.append("password") or fits(*given))
    monkeypatch.setattr(sittings, "check_password", lambda *given: seen.append("PIN") or check(*given))
    return seen


def test_of_twenty_at_once_five_are_looked_at(looked_at: list[str]) -> None:
    from drawndose.department.people.signing import Locked, Wrong, sign_in

    staff()
    got = in_threads(20, lambda place: sign_in("ana", f"{WRONG}-{place}", address=f"192.0.2.{place}"))
    assert (sum(isinstance(one, Wrong) for one in got), sum(isinstance(one, Locked) for one in got)) == (5, 15), got
    assert looked_at == ["password"] * 5
    assert [name for name, _ in events()].count("person.failed") == 5
    with pytest.raises(Locked):
        sign_in("ana", PASSWORD, address=ADDRESS)


def test_of_ten_pins_at_once_three_are_looked_at(looked_at: list[str]) -> None:
    from drawndose.department.people import sittings
    from drawndose.department.people.models import Sitting
    from drawndose.department.people.signing import Wrong

    on = staff()
    sitting = sittings.sitting_of("a-session", on.ana)
    sittings.veil(sitting)
    got = in_threads(10, lambda place: sittings.back_by_pin(Sitting.objects.get(pk=sitting.pk), f"70816{place}"))
    assert all(isinstance(one, Wrong | sittings.Spent) for one in got), got
    assert looked_at == ["PIN"] * 3
    sitting.refresh_from_db()
    assert sitting.veiled_at is not None


def test_an_act_that_comes_late_lifts_no_veil() -> None:
    from drawndose.department.people import sittings
    from drawndose.department.people.models import Sitting

    on = staff()
    sitting = sittings.sitting_of("a-session", on.ana)
    stale = Sitting.objects.get(pk=sitting.pk)
    sittings.veil(sitting)
    assert sittings.act(stale) is False
    assert events("person.idle") == [("person.idle", "ana")]


def test_two_administrators_cannot_take_each_other_away() -> None:
    from drawndose.department.people import roster
    from drawndose.department.people.models import Person, RoleHeld
    from drawndose.department.people.roles import Role

    on = staff()
    roster.give(on.ben, Role.ADMINISTRATOR, by=on.cleo, reason="a second one")
    pairs = [(on.ben.pk, on.cleo.pk), (on.cleo.pk, on.ben.pk)] * 2

    def take(place: int) -> str:
        whose, by = (Person.objects.get(pk=pk) for pk in pairs[place])
        roster.take(whose, Role.ADMINISTRATOR, by=by, reason="at once")
        return "taken"

    got = in_threads(4, take)
    assert got.count("taken") == 1, got
    assert sum(isinstance(one, Refused) for one in got) == 3, got
    assert RoleHeld.objects.filter(role="administrator").count() == 1
