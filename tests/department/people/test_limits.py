"""The numbers of signing out of the settings: what is chosen is in force, what cannot be is told."""

from datetime import timedelta
from pathlib import Path

import pytest

from drawndose.department.chosen import BY_NAME, chosen


def test_without_a_choice_the_defaults_hold_and_the_settings_name_the_same() -> None:
    from drawndose.department.people.limits import Limits, limits_of

    made = chosen({})
    assert (limits_of(made), made.faults) == (Limits(), [])
    assert (BY_NAME["sign_in_failures"].without, BY_NAME["lock_minutes"].without) == ("5", "15")


def test_a_file_chooses_in_figures(tmp_path: Path) -> None:
    from drawndose.department.people.limits import limits_of

    path = tmp_path / "settings.toml"
    path.write_text("idle_minutes = 3\nsecond_by_pin = false\nproxies = 1\nsign_in_failures = 7\n", encoding="utf-8")
    made = chosen({"DRAWNDOSE_SETTINGS": str(path), "DRAWNDOSE_LOCK_MINUTES": "30"})
    found = limits_of(made)
    assert (found.idle, found.lock) == (timedelta(minutes=3), timedelta(minutes=30))
    assert (found.second_by_pin, found.proxies, found.failures, made.faults) == (False, 1, 7, [])


@pytest.mark.parametrize(
    ("variable", "came"),
    [
        ("DRAWNDOSE_SIGN_IN_FAILURES", "2"),
        ("DRAWNDOSE_SIGN_IN_FAILURES", "five"),
        ("DRAWNDOSE_LOCK_MINUTES", "0"),
        ("DRAWNDOSE_IDLE_MINUTES", "-10"),
        ("DRAWNDOSE_IDLE_MINUTES", "1e1"),
        ("DRAWNDOSE_SESSION_HOURS", "25"),
        ("DRAWNDOSE_PROXIES", "9999999999"),
        ("DRAWNDOSE_SECOND_BY_PIN", "maybe"),
    ],
)
def test_what_cannot_be_is_told_and_the_default_stays(variable: str, came: str) -> None:
    from drawndose.department.people.limits import Limits, limits_of

    made = chosen({variable: came})
    assert limits_of(made) == Limits()
    assert [(fault.field, fault.came) for fault in made.faults] == [(variable, came)]


def test_the_bounds_are_those_that_are_told() -> None:
    whole = [one for one in BY_NAME.values() if one.whole]
    assert [one.accepts for one in whole] == [f"a whole number from {one.whole[0]} to {one.whole[1]}" for one in whole]
    assert all(one.whole[0] <= int(one.without) <= one.whole[1] for one in whole)
    assert len(whole) == 6


def test_begun_minutes_are_counted() -> None:
    from drawndose.department.people.limits import minutes

    assert [minutes(timedelta(seconds=span)) for span in (1, 60, 61, 900)] == [1, 1, 2, 15]
