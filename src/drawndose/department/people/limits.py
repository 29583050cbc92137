"""How often a sign-in may fail, how long a lock lasts, when a tablet is signed off: settings of this department."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from django.conf import settings

from drawndose.department.chosen import Chosen


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The numbers of signing. Every default is a choice of this house, not a published value.

    failures: so many failed tries of one name within `lock` lock the name for `lock` after the last of them.
    failures_address: the same for the address that a device comes from; more, because a ward may share one.
    idle: so long without an act of the person, and the pages are hidden until the PIN or the password.
    pin_tries: so many wrong PINs in one idle time, and only the password returns.
    session: so long after the sign-in it ends, whatever was done in between.
    second_by_pin: a second person may sign by PIN; else by password only.
    proxies: how many servers stand in front and add to X-Forwarded-For; 0 means that the header is not looked at.
    """

    failures: int = 5
    failures_address: int = 20
    lock: timedelta = timedelta(minutes=15)
    idle: timedelta = timedelta(minutes=10)
    pin_tries: int = 3
    session: timedelta = timedelta(hours=12)
    second_by_pin: bool = True
    proxies: int = 0


def limits_of(chosen: Chosen) -> Limits:
    """The limits that this installation chose; what cannot be is kept as a fault of it."""
    return Limits(
        failures=chosen.number("sign_in_failures"),
        failures_address=chosen.number("sign_in_failures_address"),
        lock=timedelta(minutes=chosen.number("lock_minutes")),
        idle=timedelta(minutes=chosen.number("idle_minutes")),
        session=timedelta(hours=chosen.number("session_hours")),
        second_by_pin=chosen.one_of("second_by_pin", ("no", "yes")) == "yes",
        proxies=chosen.number("proxies"),
    )


def limits() -> Limits:
    """The limits that are in force."""
    return settings.SIGNING


def minutes(span: timedelta) -> int:
    """A span in whole minutes, begun minutes counted: what a person is told to wait."""
    return -(-span // timedelta(minutes=1))
