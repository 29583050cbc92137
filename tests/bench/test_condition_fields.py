"""What a person typed of a container: every field read, every fault named at once, nothing assumed."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from drawndose.bench.condition import Condition, Kept, Sight
from drawndose.bench.condition_fields import FIELDS, MOMENTS, read_condition
from drawndose.quantities import Refused

ZONE = ZoneInfo("America/Chicago")
NOW = datetime(2026, 11, 25, 14, 5, tzinfo=ZONE)


def test_every_field_is_read() -> None:
    typed = {
        "lot": " 4K21 ",
        "expiry": "06/2027",
        "discard_after": "12 Apr 2026",
        "kept": "Refrigerated",
        "seen": "cloudy, particles,cloudy",
        "owner": "204118",
        "person": "204118",
        **dict.fromkeys(MOMENTS, "2026-11-01 09:00"),
        "undated": "no",
        "loose": "yes",
        "touched": "on",
        "bedside": "false",
    }
    assert set(typed) == set(FIELDS)
    found = read_condition(typed, ZONE)
    opened = datetime(2026, 11, 1, 9, 0, tzinfo=ZONE)
    assert found == Condition(
        lot="4K21",
        expiry=date(2027, 6, 30),
        discard_after=date(2026, 4, 12),
        kept=Kept.REFRIGERATED,
        seen=(Sight.CLOUDY, Sight.PARTICLES),
        owner="204118",
        person="204118",
        opened=opened,
        made_up=opened,
        pouch_opened=opened,
        out_of_pouch=opened,
        out_of_refrigerator=opened,
        loose=True,
        touched=True,
    )


def test_a_written_day_may_carry_a_time_and_is_that_day() -> None:
    assert read_condition({"discard_after": "2026-12-01 10:00"}, ZONE).discard_after == date(2026, 12, 1)


def test_nothing_said_is_nothing_known() -> None:
    assert read_condition({"expiry": "  ", "touched": ""}, ZONE) == Condition()


def test_all_faults_come_together() -> None:
    typed = {
        "colour": "blue",
        "expiry": "13/2027",
        "opened": "yesterday",
        "kept": "warm",
        "seen": "odd",
        "loose": "maybe",
    }
    with pytest.raises(Refused) as refused:
        read_condition(typed, ZONE)
    assert {fault.field for fault in refused.value.faults} == set(typed)


def test_what_has_not_happened_yet_is_refused() -> None:
    later = datetime(2026, 11, 25, 14, 6, tzinfo=ZONE)
    with pytest.raises(Refused) as refused:
        Condition(opened=later, pouch_opened=later).hold(NOW)
    assert {fault.field for fault in refused.value.faults} == {"opened", "pouch_opened"}
    Condition(opened=NOW, pouch_opened=NOW).hold(NOW)


@pytest.mark.parametrize("dated", [{"opened": NOW}, {"discard_after": date(2026, 12, 1)}])
def test_undated_and_dated_is_a_contradiction(dated: dict[str, object]) -> None:
    with pytest.raises(Refused, match="undated"):
        Condition(undated=True, **dated).hold(NOW)  # type: ignore[arg-type]
