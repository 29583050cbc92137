"""The invented skills lab: a class of 24, four evaluators, one afternoon that was, and a day that is open now.

What happened that afternoon is `lab.cohort.invented`, by a seed; it is put down here by the same acting functions as a real day.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from drawndose.department.keeping.invented.cast import SITES
from drawndose.department.keeping.invented.day import Day, Step
from drawndose.department.people.models import Person
from drawndose.department.training import attempts, class_list, cohort, days, deciding, evidence, forms, rules
from drawndose.department.training.models import Attempt as Kept
from drawndose.department.training.models import Cohort, Evaluation, LabDay, Learner, Station
from drawndose.lab.attempts.attempt import Attempt
from drawndose.lab.attempts.marks import Mark
from drawndose.lab.cohort.invented import RULE, Afternoon, afternoon
from drawndose.lab.deciding.decide import Decision, Outcome

ZONE = SITES[0][1]
SEED, TODAY = "demo-afternoon", "demo-today"
WATCH = ("fay", "ira", "jon", "kim")
CLASS = "Autumn class (invented)"
LEARNERS = 24
"""So many are in the invented class."""
WHY = "invented committee, for this demo"
Taken = tuple[datetime, Step]


def lab_steps(moment: datetime, learners: int = LEARNERS) -> Iterator[Taken]:
    """What happens in the lab until a moment, with when: everything of the practice afternoon lies on the day before."""
    local = moment.astimezone(ZoneInfo(ZONE))
    before = (local - timedelta(days=1)).date()
    at = days.moment_of(before, ZONE)
    made = afternoon(SEED, at, learners=learners)
    yield at - timedelta(hours=2), lambda day: _programme(day, made, at)
    eyes = {one.id: WATCH[place] for place, one in enumerate(made.watchers)}
    decided = {one.attempt: one for one in made.decisions}
    for one in made.attempts:
        yield from _tried(one, decided[one.id], eyes)
    last = max(one.at for one in made.decisions)
    yield last + timedelta(minutes=1), _closed
    yield moment - timedelta(minutes=45), lambda day: _today(day, local)


def _programme(day: Day, made: Afternoon, at: datetime) -> None:
    by = day.people["eli"]
    for skill, _, _ in forms.skills():
        forms.take_up(skill, by=by)
    rules.write(RULE, reason=WHY, by=by, seen=None)
    group = cohort.open_cohort(CLASS, by=by)
    lines = [f"{place:03d},{one.name}," for place, one in enumerate(made.pupils, start=1)]
    lines[0] = f"001,{day.people['gus'].name},gus"
    class_list.write(group, "\n".join(["number,name,username", *lines]), same=(), by=by)
    wanted = days.Wanted(title="Practice afternoon", on=at.date(), zone=ZONE, seed=SEED)
    _opened(group, wanted, day)


def _opened(group: Cohort, wanted: days.Wanted, day: Day) -> LabDay:
    by = day.people["fay"]
    row = days.plan_day(group, wanted, by=by)
    places = {number: day.people[name] for number, name in enumerate(WATCH, start=1)}
    days.give_stations(row, places, by=by)
    days.open_day(row, by=by, version=row.version)
    return row


def _tried(one: Attempt, decided: Decision, eyes: dict[str, str]) -> Iterator[Taken]:
    """One attempt: begun, handed in by each evaluator, its evidence, its decision."""
    place = int(one.learner.rpartition("-")[2])
    ended = one.ended or one.started

    def begin(day: Day) -> None:
        learner = Learner.objects.select_related("cohort", "person").get(cohort__name=CLASS, number=f"{place:03d}")
        at = Station.objects.select_related("day__cohort", "day__rule").get(day__seed=SEED, container=one.station)
        card = next(card for card in days.cards_for(at, learner) if card["id"] == one.task)
        attempts.begin(at, learner, card, by=day.people[eyes[one.sheets[0].evaluator]])

    def hand_in(day: Day) -> None:
        row = _row(place, one.skill)
        for sheet in one.sheets:
            by = day.people[eyes[sheet.evaluator]]
            mine = row.evaluation_set.filter(evaluator=by).first() or attempts.begin_second(row, by=by)
            _sent(mine, sheet.marks, by, ended)
        row.refresh_from_db()
        evidence.keep(row, one.evidence, by=row.evaluation_set.get(place=1).evaluator, version=row.version)

    def decide(day: Day) -> None:
        row = _row(place, one.skill)
        by = row.evaluation_set.get(place=1).evaluator
        made = deciding.take(row, by=by, version=row.version)
        if made.outcome != Outcome.PASSED.value:
            _practice(row, by)

    yield one.started, begin
    yield ended, hand_in
    yield decided.at, decide


def _sent(mine: Evaluation, marks: Sequence[Mark], by: Person, ended: datetime) -> None:
    attempts.send(
        mine, [replace(mark, at=min(mark.at, ended)) for mark in marks], by=by, version=mine.version, ended=ended
    )


def _practice(row: Kept, by: Person) -> None:
    plan = deciding.plan_practice(row, "The steps named, five times over, with a partner who reads the form.", by=by)
    if row.learner_id % 2:
        deciding.practised(plan, by=by, version=plan.version)


def _row(place: int, skill: str) -> Kept:
    rows = Kept.objects.select_related("learner__person", "learner__cohort", "station__day__rule", "form")
    return rows.get(learner__cohort__name=CLASS, learner__number=f"{place:03d}", skill=skill)


def _closed(day: Day) -> None:
    row = LabDay.objects.get(seed=SEED)
    days.close_day(row, by=day.people["fay"], version=row.version)
    mine = Kept.objects.filter(learner__person=day.people["gus"], state="decided").order_by("pk").first()
    if mine is not None:
        deciding.sign(mine, by=day.people["gus"], version=mine.version, comment="The label pen was empty.")


def _today(day: Day, local: datetime) -> None:
    group = Cohort.objects.get(name=CLASS)
    _opened(group, days.Wanted(title="Check-off today", on=local.date(), zone=ZONE, seed=TODAY), day)
