"""A day in the lab as its papers see it: the set of tasks, who sits where, and each card with a number that says nothing of its task."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from drawndose.lab.reading import refused
from drawndose.lab.tasks.supplies import stations
from drawndose.lab.tasks.task import Station, Task
from drawndose.lab.tasks.task_set import TaskSet


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One task at one station. number: of its station and its place in the pile, such as 3.12; learner: as on the class list."""

    number: str
    seat: int
    learner: str
    task: Task


@dataclass(frozen=True, kw_only=True)
class Laid:
    """A day that is laid out. names: of the learners, seat by seat; empty where they are not known yet, "learner 7" then.

    printed: by whom and when. title: what the day is called, or the seed. Refused for another number of names than of seats.
    """

    tasks: TaskSet
    printed: str
    title: str = ""
    names: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        seats = len(self.tasks.seats)
        if self.names and len(self.names) != seats:
            raise refused("names", "one name for each seat, or none at all", len(self.names), f"{seats} names")

    @cached_property
    def stations(self) -> tuple[Station, ...]:
        """Its stations, with spares counted."""
        return stations(self.tasks)

    @property
    def head(self) -> str:
        """What every page says of the day."""
        count = len(self.tasks.seats)
        learners = f"{count} learner{'s' if count > 1 else ''}"
        title = f"{self.title}, " if self.title else ""
        return f"{title}{self.tasks.at:%d %b %Y}, seed {self.tasks.seed}, {learners}"

    def learner(self, seat: int) -> str:
        """Who sits there."""
        return self.names[seat - 1] if self.names else f"learner {seat}"

    def cards(self, station: Station) -> tuple[Card, ...]:
        """The pile of a station, seat by seat, each learner's cards in the order of the set."""
        seated = [(seat.place, one) for seat in self.tasks.seats for one in seat.tasks]
        here = [(place, one) for place, one in seated if one.container is station.container]
        return tuple(
            Card(number=f"{station.number}.{at:02}", seat=place, learner=self.learner(place), task=one)
            for at, (place, one) in enumerate(here, start=1)
        )
