"""Every limit time at clock changes, leap days, month ends and midnight: it stops from its own instant on, and not a minute before."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from drawndose import Policy
from drawndose.bench.condition_fields import read_condition
from drawndose.bench.findings import Level
from drawndose.bench.in_hand import InHand
from drawndose.bench.moments import read_moment, read_span
from drawndose.bench.safeguards import AtHand, container_findings, preparation_findings
from tests.bench.benches import BOOK, BOTTLE
from tests.bench.safeguards.test_preparation_rules import right, written

CHICAGO, HAVANA, LORD_HOWE, KOLKATA = (
    ZoneInfo(name) for name in ("America/Chicago", "America/Havana", "Australia/Lord_Howe", "Asia/Kolkata")
)
BOTTLE_LIFE = Policy(bottle_life=read_span("28 d"))

# rule, presentation, what is said of it, zone, the first instant past the limit in UTC
LIMITS = [
    # Printed expiry: the whole last day counts, however long it is. 01 Nov 2026 has 25 h in Chicago, 08 Mar 23 h.
    ("past-printed-expiry", "ipratropium-500mcg-2.5ml", {"expiry": "01 Nov 2026"}, CHICAGO, "2026-11-02T06:00"),
    ("past-printed-expiry", "ipratropium-500mcg-2.5ml", {"expiry": "08 Mar 2026"}, CHICAGO, "2026-03-09T05:00"),
    ("past-printed-expiry", "ipratropium-500mcg-2.5ml", {"expiry": "2028-02"}, CHICAGO, "2028-03-01T06:00"),
    ("past-printed-expiry", "ipratropium-500mcg-2.5ml", {"expiry": "2027-02"}, KOLKATA, "2027-02-28T18:30"),
    ("past-printed-expiry", "ipratropium-500mcg-2.5ml", {"expiry": "2026-12"}, CHICAGO, "2027-01-01T06:00"),
    # Midnight that does not exist (Havana, 08 Mar 2026 00:00 is 01:00), and one that comes twice (01 Nov 2026, 01:00 is 00:00).
    ("past-printed-expiry", "ipratropium-500mcg-2.5ml", {"expiry": "07 Mar 2026"}, HAVANA, "2026-03-08T05:00"),
    ("past-printed-expiry", "ipratropium-500mcg-2.5ml", {"expiry": "31 Oct 2026"}, HAVANA, "2026-11-01T04:00"),
    # A life in days is counted on the calendar, over the change.
    ("past-in-use-life", BOTTLE, {"opened": "2026-10-15 09:00", "owner": "1"}, CHICAGO, "2026-11-13T06:00"),
    ("past-in-use-life", BOTTLE, {"opened": "2028-02-10 09:00", "owner": "1"}, CHICAGO, "2028-03-10T06:00"),
    # A life in hours is elapsed time: 96 h are 96 h, with 25 h in one of their days.
    ("past-in-use-life", "acetylcysteine-20pct", {"opened": "2026-10-30 08:00", "kept": "refrigerated"}, CHICAGO, "2026-11-03T13:00"),
    ("past-in-use-life", "acetylcysteine-20pct", {"opened": "2026-03-06 08:00", "kept": "refrigerated"}, CHICAGO, "2026-03-10T14:00"),
    ("past-in-use-life", "acetylcysteine-20pct", {"opened": "2026-04-03 08:00", "kept": "refrigerated"}, LORD_HOWE, "2026-04-06T21:00"),
    # Over a leap day, and over the end of a year.
    ("past-in-use-life", "acetylcysteine-20pct", {"opened": "2028-02-27 08:00", "kept": "refrigerated"}, CHICAGO, "2028-03-02T14:00"),
    ("past-written-date", BOTTLE, {"opened": "2026-10-20 09:00", "discard_after": "2026-11-01", "owner": "1"}, CHICAGO, "2026-11-02T06:00"),
    ("past-written-date", BOTTLE, {"opened": "2028-02-20 09:00", "discard_after": "2028-02-29", "owner": "1"}, CHICAGO, "2028-03-01T06:00"),
    ("past-pouch-life", "budesonide-0.5mg-unit-dose-2ml", {"pouch_opened": "2026-10-25 08:00"}, CHICAGO, "2026-11-09T06:00"),
    ("past-pouch-life", "budesonide-0.5mg-unit-dose-2ml", {"pouch_opened": "2028-02-20 08:00"}, CHICAGO, "2028-03-06T06:00"),
    ("past-life-out-of-pouch", "ipratropium-0.5mg-albuterol-2.5mg-3ml", {"out_of_pouch": "2026-10-31 08:00"}, CHICAGO, "2026-11-08T06:00"),
    ("past-life-at-room", "dornase-alfa-2.5mg-unit-dose-2.5ml", {"out_of_refrigerator": "2026-10-31 14:00"}, CHICAGO, "2026-11-01T19:00"),
    ("past-life-at-room", "dornase-alfa-2.5mg-unit-dose-2.5ml", {"out_of_refrigerator": "2026-03-07 14:00"}, CHICAGO, "2026-03-08T20:00"),
]  # fmt: skip


def container_rules(ident: str, said: dict[str, str], zone: ZoneInfo, moment: datetime) -> set[str]:
    presentation = BOOK.presentation(ident)
    condition = read_condition({"expiry": "2030-06", **said}, zone)
    one = InHand(presentation=presentation, pack=presentation.packs[0], condition=condition)
    local = moment.astimezone(zone)
    found = container_findings(AtHand(in_hand=one, condition=condition, now=local, policy=BOTTLE_LIFE))
    return {finding.rule for finding in found}


@pytest.mark.parametrize(("rule", "ident", "said", "zone", "over"), LIMITS)
def test_a_limit_of_a_container_is_past_from_its_instant_on(
    rule: str, ident: str, said: dict[str, str], zone: ZoneInfo, over: str
) -> None:
    instant = datetime.fromisoformat(over).replace(tzinfo=UTC)
    assert rule not in container_rules(ident, said, zone, instant - timedelta(minutes=1))
    assert rule in container_rules(ident, said, zone, instant)


def test_every_rule_of_a_containers_limit_is_among_them() -> None:
    from drawndose.bench.safeguards import life

    limits = {one.id for one in life.RULES if one.id.startswith("past-")}
    assert limits - {rule for rule, *_ in LIMITS} == {"past-made-up-life"}, (
        "no label of the catalogue prints one in hours"
    )


# Preparing begins in the hour before a change; 1 h and 4 h are elapsed time from there.
STARTS = [
    ("2026-11-01 00:30", CHICAGO),  # 01:30 comes twice
    ("2026-11-01 01:30-05:00", CHICAGO),
    ("2026-11-01 01:30-06:00", CHICAGO),
    ("2026-03-08 01:30", CHICAGO),  # 02:30 never comes
    ("2026-04-05 01:10", LORD_HOWE),  # half an hour back
    ("2028-02-28 23:30", CHICAGO),
    ("2026-12-31 23:30", CHICAGO),
    ("2026-11-30 23:59", KOLKATA),
]


@pytest.mark.parametrize("hours", [1, 4])
@pytest.mark.parametrize(("text", "zone"), STARTS)
def test_giving_starts_within_elapsed_time_of_the_start_of_preparing(text: str, zone: ZoneInfo, hours: int) -> None:
    from dataclasses import replace

    from drawndose.quantities import Quantity

    began = read_moment(text, zone, "started")
    made = written(
        right("albuterol 2.5 mg by nebulizer, made up to 3 mL", BOTTLE, start_within=Quantity.of_text(hours, "h"))
    )
    for minutes, stopped in (
        (60 * hours - 1, False),
        (60 * hours, False),
        (60 * hours + 1, True),
        (60 * hours + 60, True),
    ):
        given = (began.astimezone(UTC) + timedelta(minutes=minutes)).astimezone(zone)
        late = replace(made, started=began, given_at=given, charted_at=given, now=given)
        found = {one.rule for one in preparation_findings(late) if one.level is Level.STOP}
        assert ("limit-time-passed" in found) is stopped, minutes


def test_what_was_charted_in_the_first_of_two_hours_was_charted_before_it_was_given_in_the_second() -> None:
    from dataclasses import replace

    made = written(right("albuterol 2.5 mg by nebulizer, made up to 3 mL", BOTTLE))
    first, second = (read_moment(f"2026-11-01 01:30{offset}", CHICAGO, "given") for offset in ("-05:00", "-06:00"))
    early = replace(made, started=first, given_at=second, charted_at=first, now=second)
    assert "charted-before-giving" in {one.rule for one in preparation_findings(early)}
    late = replace(made, started=first, given_at=first, charted_at=second, now=second)
    assert "charted-before-giving" not in {one.rule for one in preparation_findings(late)}


def test_the_earliest_of_two_limits_is_the_earliest_instant() -> None:
    """Two lives end at 01:10 and 01:20 by a clock that has gone back in between: the 01:20 before the change comes first."""
    from drawndose.bench.container_life import LifeLimit, limits

    presentation = BOOK.presentation("acetylcysteine-20pct")
    said = {"opened": "2026-10-28 01:20", "kept": "refrigerated", "expiry": "2030-06"}
    condition = read_condition(said, CHICAGO)
    one = InHand(presentation=presentation, pack=presentation.packs[0], condition=condition)
    found: tuple[LifeLimit, ...] = limits(
        one, condition, BOTTLE_LIFE, datetime(2026, 11, 1, 1, 10, fold=1, tzinfo=CHICAGO)
    )
    instants = [limit.over_at.astimezone(UTC) for limit in found]
    assert instants == sorted(instants)
    assert found[0].until == "01 Nov 2026 01:20 (UTC-05:00)"
