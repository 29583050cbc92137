"""Days and times as people type them."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from drawndose.quantities import Refused


@pytest.mark.parametrize(
    "text", ["05 Nov 1961", "5 nov 1961", "5 November 1961", "5-Nov-1961", "1961-11-05", " 19611105 "]
)
def test_a_day_that_can_be_read_in_one_way(text: str) -> None:
    from tests.pages import django

    django()
    from drawndose.department.pages.typed import read_day

    assert read_day(text, "born") == date(1961, 11, 5)


@pytest.mark.parametrize(
    "text", ["", "11/05/1961", "05.11.1961", "5 Nov 61", "31 Feb 1961", "05111961", "5 Nuv 1961", "5 Novem1 1961"]
)
def test_a_day_that_cannot_is_refused_with_what_is_accepted(text: str) -> None:
    from tests.pages import django

    django()
    from drawndose.department.pages.typed import read_day

    with pytest.raises(Refused, match="05 Nov 1961"):
        read_day(text, "born")


@pytest.mark.parametrize("text", ["14:05", "1405", "14.05"])
def test_a_time_is_todays_at_the_site(text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from tests.pages import django

    django()
    from drawndose.department.pages import typed
    from drawndose.department.work.models import Site

    monkeypatch.setattr(typed, "now", lambda: datetime(2026, 11, 26, 2, 0, tzinfo=UTC))
    found = typed.read_clock(text, Site(name="Ward 3", zone="America/Chicago"), "ended")
    assert found.astimezone(UTC) == datetime(2026, 11, 25, 20, 5, tzinfo=UTC)
    with pytest.raises(Refused):
        typed.read_clock("25:00", Site(name="Ward 3", zone="America/Chicago"), "ended")
