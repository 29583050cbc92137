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


@pytest.mark.parametrize("name", MOMENTS)
@pytest.mark.parametrize("text", ["2026-11-24", "24 Nov 2026"])
def test_a_day_alone_is_its_first_minute_and_is_told_as_a_day(name: str, text: str) -> None:
    found = read_condition({name: text}, ZONE)
    assert getattr(found, name) == datetime(2026, 11, 24, tzinfo=ZONE)
    assert found.day_only == (name,)
    assert (found.when(name), bool(found.counted(name))) == ("24 Nov 2026", True)
    found.hold(NOW)
    exact = read_condition({name: "2026-11-24 00:00"}, ZONE)
    assert (exact.day_only, exact.when(name), exact.counted(name)) == ((), "24 Nov 2026 00:00", "")


def test_a_day_alone_that_has_not_come_is_refused_as_a_day() -> None:
    with pytest.raises(Refused) as refusal:
        read_condition({"opened": "2026-11-26"}, ZONE).hold(NOW)
    assert [(fault.field, fault.came) for fault in refusal.value.faults] == [("opened", "26 Nov 2026")]
    read_condition({"opened": "2026-11-25"}, ZONE).hold(NOW)


@pytest.mark.parametrize(
    ("came", "rule"),
    [
        ("lunch", "a time is a day and a time of 24 h"),
        ("2026-11-24 9:00", "a time is a day and a time of 24 h"),
        ("2026-02-30", "there is no such day"),
        ("2026-11", "the day is missing"),
        ("03/04/2026", "it could be the day or the month that comes first"),
    ],
)
def test_neither_a_day_nor_a_moment_names_both_spellings(came: str, rule: str) -> None:
    with pytest.raises(Refused) as refusal:
        read_condition({"opened": came}, ZONE)
    assert [(fault.rule, fault.accepted) for fault in refusal.value.faults] == [
        (rule, "2026-11-25 14:05, or the day alone")
    ]


def test_the_first_minute_of_a_day_whose_midnight_the_clock_skips() -> None:
    beirut = ZoneInfo("Asia/Beirut")
    found = read_condition({"opened": "2026-03-29"}, beirut).opened
    assert found is not None
    assert (found.hour, found.date()) == (1, date(2026, 3, 29))


def test_a_clock_time_that_is_skipped_keeps_its_own_reason() -> None:
    with pytest.raises(Refused) as refusal:
        read_condition({"opened": "2026-03-08 02:30"}, ZONE)
    assert "skips this time" in refusal.value.faults[0].rule
