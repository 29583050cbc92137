"""A day in the lab: set up by a seed for a class, opened, its stations given to evaluators, closed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction

from drawndose.department.ledger.append import append
from drawndose.department.people.models import Person
from drawndose.department.people.roles import Right
from drawndose.department.training.cards import card_of
from drawndose.department.training.change import begun, change, no, told
from drawndose.department.training.models import Attempt, Cohort, LabDay, Learner, RuleVersion, Station
from drawndose.department.training.rules import current
from drawndose.lab.tasks.supplies import stations
from drawndose.lab.tasks.task import Task
from drawndose.lab.tasks.task_set import KINDS, TaskSet, task_set
from drawndose.quantities import Fault, Refused, gather
from drawndose.reference import Container

NOON = time(12)
"""The moment of a day that its tasks are set for: expiry dates are laid around it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a day is to be. zone: of the place; seed: anything short that can be written down; stops: with tasks to stop at."""

    title: str
    on: date
    zone: str
    seed: str
    kinds: tuple[Container, ...] = KINDS
    stops: bool = True


def moment_of(on: date, zone: str) -> datetime:
    """Noon of that day at that place."""
    return datetime.combine(on, NOON, tzinfo=ZoneInfo(zone))


def drawn(cohort: Cohort, wanted: Wanted) -> tuple[TaskSet, tuple[Learner, ...]]:
    """The set of tasks that this day would have, and who sits where. Nothing is written. Refused with every fault."""
    seated = tuple(cohort.learner_set.filter(state="enrolled").order_by("number", "pk"))
    faults: list[Fault] = []
    if not seated:
        faults += no("learners", "nobody is enrolled in the class", cohort.name, "read the class list first").faults
    try:
        told(wanted.title, "title", "what the day is called", 120)
    except Refused as refused:
        faults += refused.faults
    gather(faults)
    at = moment_of(wanted.on, wanted.zone)
    return task_set(wanted.seed, len(seated), at, kinds=wanted.kinds, stops=wanted.stops), seated


def plan_day(cohort: Cohort, wanted: Wanted, *, by: Person, key: str | None = None) -> LabDay:
    """Set a day up: its stations with every card, and its supplies. Refused where no rule is in use, or the class is closed."""
    rule = _rule()
    made, seated = drawn(cohort, wanted)
    if cohort.state != "open":
        raise no("class", f"the class is {cohort.state}", cohort.name, "an open class")
    row = LabDay(
        cohort=cohort,
        title=wanted.title.strip(),
        on=wanted.on,
        at=made.at,
        zone=wanted.zone,
        seed=wanted.seed,
        seats=[one.pk for one in seated],
        stops=wanted.stops,
        rule=rule,
        supplies=[],
    )
    content = {
        "cohort": str(cohort.pk),
        "on": wanted.on.isoformat(),
        "seed": wanted.seed,
        "learners": len(seated),
        "rule": rule.digest,
    }
    with transaction.atomic():
        begun(row, "lab_day", "lab_day.planned", by=by, key=key, content=content)
        _lay_out(row, made)
    return row


def again(day: LabDay) -> TaskSet:
    """The set of a day, made again by its seed. Refused where it is not the one that the day's cards hold: a template changed since."""
    kept = list(day.station_set.order_by("number"))
    kinds = tuple(one for one in KINDS if one.value in {station.container for station in kept})
    made = task_set(day.seed, len(day.seats), day.at.astimezone(ZoneInfo(day.zone)), kinds=kinds, stops=day.stops)
    ids = {(card["seat"], card["id"]) for one in kept for card in one.cards}
    if ids != {(seat.place, task.id) for seat in made.seats for task in seat.tasks}:
        rule = "the templates of the tasks are others now; the cards of this day stand on its page"
        raise no("tasks", rule, day.title, "a day that was set up since")
    return made


def _rule() -> RuleVersion:
    rule = current()
    if rule is None:
        raise no("rule", "the programme has written no rule yet", "nothing", "write the rule first")
    return rule


def _lay_out(day: LabDay, made: TaskSet) -> None:
    every: dict[tuple[str, str], int] = {}
    for one in stations(made):
        cards = [card_of(task, place) for task, place in _by_seat(made, one.container)]
        Station.objects.create(
            day=day,
            number=one.number,
            title=one.title,
            container=one.container.value,
            minutes=one.minutes,
            tells=list(one.tells),
            cards=cards,
        )
        for item in one.supplies:
            every[item.what, item.simulated] = every.get((item.what, item.simulated), 0) + item.count
    day.supplies = [{"what": what, "count": count, "simulated": by} for (what, by), count in every.items()]
    LabDay.objects.filter(pk=day.pk).update(supplies=day.supplies)


def _by_seat(made: TaskSet, container: Container) -> list[tuple[Task, int]]:
    return [(task, seat.place) for seat in made.seats for task in seat.tasks if task.container is container]


def give_stations(day: LabDay, to: Mapping[int, Person | None], *, by: Person, key: str | None = None) -> None:
    """Who stands at which station. Refused with every person who may not evaluate, and for a station that there is not."""
    known = {one.number: one for one in day.station_set.all()}
    faults: list[Fault] = []
    for number, person in to.items():
        if number not in known:
            faults += no("station", "the day has no such station", number, ", ".join(map(str, known))).faults
        if person is not None and not person.may(Right.TEACH):
            rule = f"to {Right.TEACH.value} is not this person's"
            faults += no(f"station {number}", rule, person.name, "an evaluator").faults
    gather(faults)
    with transaction.atomic():
        content = {"stations": {str(number): person.username if person else "" for number, person in to.items()}}
        append("stations.given", "stations", str(day.pk), actor=by.username, key=key, content=content)
        for number, person in to.items():
            Station.objects.filter(pk=known[number].pk).update(evaluator=person)


def open_day(day: LabDay, *, by: Person, version: int, key: str | None = None) -> None:
    """The day begins: attempts may be begun."""
    with transaction.atomic():
        change(day, "lab_day", "lab_day.opened", by=by, version=version, key=key)


def close_day(day: LabDay, *, by: Person, version: int, key: str | None = None) -> None:
    """The day is over. Refused while a try is open: nothing is left half-done."""
    left = _open_tries(day)
    if left:
        raise no("day", "tries are still open", ", ".join(left), "finish them, or break them off")
    with transaction.atomic():
        change(day, "lab_day", "lab_day.closed", by=by, version=version, key=key)


def _open_tries(day: LabDay) -> list[str]:
    rows = Attempt.objects.filter(station__day=day, state="begun").select_related("learner", "station")
    return [f"{one.learner.name} at station {one.station.number}" for one in rows]


def drop_day(day: LabDay, *, by: Person, version: int, reason: str, key: str | None = None) -> None:
    """A planned day that will not be."""
    why = told(reason, "reason", "why it is dropped", 200)
    with transaction.atomic():
        change(day, "lab_day", "lab_day.dropped", by=by, version=version, reason=why, key=key)


def seated(day: LabDay) -> tuple[Learner, ...]:
    """The learners of a day in the order of their seats."""
    rows = Learner.objects.select_related("person").in_bulk(day.seats)
    return tuple(rows[pk] for pk in day.seats if pk in rows)


def number_of(station: Station, card: dict[str, Any]) -> str:
    """What a card is called on paper: its station, and its place in the pile there."""
    pile = [(one["seat"], one["id"]) for one in station.cards]
    return f"{station.number}.{pile.index((card['seat'], card['id'])) + 1:02}"


def cards_for(station: Station, learner: Learner) -> list[dict[str, object]]:
    """The cards of a learner at a station, in their turn; none where the learner has no seat."""
    seats: Sequence[int] = station.day.seats
    if learner.pk not in seats:
        return []
    place = seats.index(learner.pk) + 1
    return [one for one in station.cards if one["seat"] == place]
