"""How often and how soon: each rule both ways, and silence wherever one text allows what is ordered."""

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from drawndose.bench.findings import Level, Waiver
from drawndose.bench.safeguards.how_often import RULES
from tests.bench.benches import BOOK, UNPUBLISHED, order, ready
from tests.bench.safeguards.ordered import NOW, on, rules_on, the

OFTEN, TOTAL, SOON = "interval-too-short", "day-total-above-published", "last-dose-too-near"
HOURLY, SILENT = "more-than-hourly", "how-often-not-published"
ADULT = "by nebulizer, 40 years old,"

PLANTED = [
    (OFTEN, "caution", f"levalbuterol 0.63 mg {ADULT} every 4 hours", f"levalbuterol 0.63 mg {ADULT} every 8 hours", "every 4 h, 6 a day; published for this dose at 40 years: 6 h apart at least"),
    (OFTEN, "caution", f"levalbuterol 1.25 mg {ADULT} 4 times daily", f"levalbuterol 1.25 mg {ADULT} 3 times daily", "3 a day at most"),
    (OFTEN, "caution", f"levalbuterol 0.63 mg {ADULT} every 6 hours", f"levalbuterol 0.63 mg {ADULT} 3 times daily", "4 a day; published for this dose at 40 years: 3 a day at most"),
    (HOURLY, "stop", "albuterol 2.5 mg by nebulizer 48 times daily", "albuterol 2.5 mg by nebulizer 24 times daily", "every 30 min, 48 a day. No published dose is given more than 24 times in a day."),
    (HOURLY, "stop", "albuterol 2.5 mg by nebulizer every 30 minutes", "albuterol 2.5 mg by nebulizer every 30 minutes for 2 doses", "every 30 min, 48 a day"),
    (HOURLY, "stop", f"albuterol 2.5 mg {ADULT} every 20 min", f"albuterol 2.5 mg {ADULT} every 20 min for 3 doses", "every 20 min, 72 a day"),
    (HOURLY, "stop", f"albuterol 2.5 mg {ADULT} every 20 min for 30 doses", f"albuterol 2.5 mg {ADULT} every 20 min x 3", "every 20 min, 30 in all"),
    (HOURLY, "stop", "treprostinil 18 mcg by nebulizer every 30 min", "treprostinil 18 mcg by nebulizer every 1 hours", "treprostinil is ordered every 30 min"),
    (OFTEN, "caution", f"albuterol 2.5 mg {ADULT} every 20 min for 4 doses", f"albuterol 2.5 mg {ADULT} every 20 min, 3 doses", "every 20 min, 4 in all; published for this dose at 40 years: 3 in all (acute, first 3 doses)"),
    (OFTEN, "caution", f"albuterol 2.5 mg {ADULT} every 10 min for 3 doses", f"albuterol 2.5 mg {ADULT} every 20 min times 3", "20 min apart at least"),
    (OFTEN, "caution", "magnesium sulfate 151 mg by nebulizer, 5 years old, every 4 hours", "magnesium sulfate 151 mg by nebulizer, 5 years old, every 20 min for 3 doses", "3 in all"),
    (OFTEN, "caution", f"cromolyn 20 mg {ADULT} every 1 hours", f"cromolyn 20 mg {ADULT} 4 times daily", "4 a day at most"),
    (OFTEN, "caution", f"cromolyn 20 mg {ADULT} every 1 hours for 4 doses", f"cromolyn 20 mg {ADULT} every 3 hours for 4 doses", "every 1 h, 4 in all; published for this dose at 40 years: 4 in a whole day"),
    (OFTEN, "stop", f"levalbuterol 1.25 mg {ADULT} every 3 hours", f"levalbuterol 1.25 mg {ADULT} 3 times daily", "every 3 h, 8 a day; published for this dose at 40 years: 3 a day at most"),
    (SILENT, "note", "racepinephrine 11.25 mg by nebulizer every 2 hours, 2 years old", "racepinephrine 11.25 mg by nebulizer every 3 hours, 40 years old", "is not in the catalogue: every 2 h, 12 a day is not compared"),
    (OFTEN, "caution", f"pentamidine 300 mg {ADULT} daily", f"pentamidine 300 mg {ADULT} every 4 weeks", "4 weeks apart at least"),
    (OFTEN, "caution", f"tobramycin 300 mg {ADULT} every 5 hours", f"tobramycin 300 mg {ADULT} twice daily", "every 5 h, 4.8 a day"),
    (TOTAL, "stop", "budesonide 1 mg by nebulizer, 4 years old, twice daily", "budesonide 1 mg by nebulizer, 4 years old, daily", "is 2 mg in a day; published at 4 years: 1 mg in a day at most"),
    (TOTAL, "stop", "budesonide 0.5 mg by nebulizer, 4 years old, 3 times daily", "budesonide 0.5 mg by nebulizer, 4 years old, twice daily", "1.5 mg in a day"),
    (TOTAL, "caution", f"formoterol 20 mcg {ADULT} every 4 hours", f"formoterol 20 mcg {ADULT} every 12 hours", "is 120 mcg in a day; published at 40 years: 40 mcg in a day at most"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "level", "fires", "near", "says"), PLANTED, ids=[f"{place}-{one[0]}" for place, one in enumerate(PLANTED)]
)
def test_a_planted_fault_is_found_and_its_near_miss_is_not(
    rule: str, level: str, fires: str, near: str, says: str
) -> None:
    finding = the(fires, rule)
    assert finding.level.value == level
    assert says in finding.says
    assert finding.do
    assert finding.origin.source in BOOK.sources
    assert len(finding.says.split()) <= 40
    assert rule not in rules_on(near)


def test_a_facility_that_tightens_is_named_and_what_is_published_stays_the_reason_where_it_acts() -> None:
    hourly = f"albuterol 2.5 mg {ADULT} every 1 hours"
    assert HOURLY not in rules_on(hourly)
    own = the(hourly, HOURLY, most_in_a_day=12)
    assert own.says == "albuterol is ordered every 1 h, 24 a day. Your facility's most is 12 in a day."
    assert (own.level, own.origin.source) == (Level.STOP, "facility-policy")
    assert "No published dose" in the(f"albuterol 2.5 mg {ADULT} every 30 min", HOURLY, most_in_a_day=12).says
    often = f"levalbuterol 1.25 mg {ADULT} 4 times daily"
    assert [the(often, OFTEN, far_more_often=far).level for far in (2, 1)] == [Level.CAUTION, Level.STOP]


def test_every_rule_of_this_family_is_planted_here_or_below() -> None:
    assert {one.id for one in RULES} == {*(one[0] for one in PLANTED), SOON}


def test_a_total_over_the_day_is_told_once_and_by_whom_it_is_lifted() -> None:
    assert OFTEN not in rules_on(f"formoterol 20 mcg {ADULT} every 4 hours")
    single = the(f"formoterol 20 mcg {ADULT} every 4 hours", TOTAL)
    assert (single.level, single.waiver) == (Level.CAUTION, Waiver.PREPARER)
    firm = the("budesonide 1 mg by nebulizer, 4 years old, twice daily", TOTAL)
    assert (firm.level, firm.waiver) == (Level.STOP, Waiver.PRESCRIBER)


@pytest.mark.parametrize(
    "text",
    [
        f"albuterol 2.5 mg {ADULT} every 4 hours",  # a later acute dose may be given every hour
        f"ipratropium 500 mcg {ADULT} every 4 hours",
        f"levalbuterol 0.63 mg {ADULT} once",
        "albuterol 2.5 mg by nebulizer, every 4 to 6 hours",
        "epinephrine 5 mg by nebulizer, 40 years old, every 1 hours",
        f"albuterol 25 mg {ADULT} every 10 min",  # outside every text: nothing speaks of how often
        "albuterol 10 mg/h by nebulizer for 4 h, output 25 mL/h, 40 years old",
    ],
)  # fmt: skip
def test_as_long_as_one_text_allows_it_or_none_speaks_of_it_nothing_is_said(text: str) -> None:
    assert not rules_on(text) & {OFTEN, TOTAL}


def test_a_day_without_an_end_in_one_text_has_no_total() -> None:
    # A combination names 6 doses in a day; the acute guideline for the same dose names none.
    assert TOTAL not in rules_on(f"albuterol 2.5 mg {ADULT} every 1 hours")


# ------------------------------------------------------------------------------------------- the last dose


def given(text: str, last: datetime, started: datetime | None = NOW) -> list[str]:
    asked = replace(order(text), last_dose=last)
    return [one.says for one in on(asked, started) if one.rule == SOON]


TEN = datetime(2026, 11, 25, 10, 5)


def test_the_orders_own_interval_and_the_shortest_published_one_are_held_against_the_last_dose() -> None:
    every_four = "albuterol 2.5 mg by nebulizer every 4 hours"
    assert given(every_four, TEN) == []
    assert given(every_four, TEN + timedelta(minutes=1)) == [
        "The last dose of albuterol was given 3 h 59 min before preparing began; the order says every 4 h."
    ]
    label = "levalbuterol 0.63 mg by nebulizer, 40 years old"
    assert given(label, TEN - timedelta(hours=2)) == []
    assert given(label, TEN) == [
        "The last dose of levalbuterol was given 4 h before preparing began; published: 6 h apart at least (maintenance)."
    ]
    assert given(label, TEN + timedelta(hours=3, minutes=30)) == [
        "The last dose of levalbuterol was given 30 min before preparing began; published: 6 h apart at least (maintenance)."
    ]


def test_a_text_that_names_no_shortest_time_leaves_the_last_dose_alone() -> None:
    assert given("albuterol 2.5 mg by nebulizer, 40 years old", TEN) == []
    assert given("epinephrine 5 mg by nebulizer, 40 years old", TEN) == []
    assert given("levalbuterol 0.63 mg by nebulizer 3 times daily, 40 years old", TEN - timedelta(hours=3)) == []


def test_without_the_start_it_is_said_that_nothing_is_compared() -> None:
    asked = replace(order("albuterol 2.5 mg by nebulizer every 4 hours"), last_dose=TEN)
    note = the(asked, SOON, None)
    assert (note.level, note.waiver) == (Level.NOTE, Waiver.UNASKED)
    assert note.says.startswith("The last dose was given 25 Nov 2026 10:05; when preparing begins was not said")
    assert SOON not in rules_on("albuterol 2.5 mg by nebulizer every 4 hours", None)


def test_a_last_dose_after_the_start_is_questioned() -> None:
    (says,) = given("albuterol 2.5 mg by nebulizer", TEN + timedelta(hours=5))
    assert says == "The last dose is written as given 25 Nov 2026 15:05, after preparing began (25 Nov 2026 14:05)."


def test_time_runs_on_while_the_clock_is_set_back() -> None:
    # 1 Nov 2026, Chicago: 01:59 is followed by 01:00. From 00:30 to 02:30 three hours pass.
    zone = ZoneInfo("America/Chicago")
    text = "albuterol 2.5 mg by nebulizer every 3 hours"
    after = datetime(2026, 11, 1, 2, 30, tzinfo=zone)
    assert given(text, datetime(2026, 11, 1, 0, 30), after) == []
    # 01:30 was shown twice: the later one counts, 1 h before, not 2 h.
    (says,) = given(text, datetime(2026, 11, 1, 1, 30), after)
    assert "given 1 h before" in says


def test_it_stands_with_the_plan() -> None:
    from drawndose import plan
    from tests.bench.benches import bench, tools

    asked = replace(order("albuterol 2.5 mg by nebulizer every 4 hours to 3 mL"), last_dose=TEN + timedelta(hours=1))
    made = plan(asked, containers=bench("albuterol-2.5mg-3ml"), instruments=tools(), started=NOW)
    assert SOON in {one.rule for one in made.findings}
    assert SOON not in {
        one.rule for one in ready("albuterol 2.5 mg by nebulizer every 4 hours", "albuterol-2.5mg-3ml").findings
    }


def test_without_published_doses_the_orders_own_interval_still_counts() -> None:
    asked = replace(order("albuterol 2.5 mg by nebulizer every 4 hours"), last_dose=TEN + timedelta(hours=1))
    assert {one.rule for one in on(asked, book=UNPUBLISHED)} == {SOON, "published-dose-missing"}
