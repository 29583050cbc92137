"""The tasks of a whole class by one seed: for each learner one preparation of each kind, and one task to stop at.

Balanced: over the class every difficulty of a kind comes as often as the others (to one), and so does every kind of container among
the tasks to stop at. No two neighbours get the same numbers. The same seed, learners and moment give the same set.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from drawndose.lab.chance import Chance
from drawndose.lab.reading import fault, refused
from drawndose.lab.tasks.constraints import against
from drawndose.lab.tasks.draw_up import draw_up
from drawndose.lab.tasks.task import Difficulty, Task, TaskKind
from drawndose.lab.tasks.template import Template, templates
from drawndose.quantities import Fault, Refused, gather, show_number
from drawndose.reference import Container

KINDS = (
    Container.DROPPER_BOTTLE,
    Container.STOPPERED_VIAL,
    Container.GLASS_AMPOULE,
    Container.PLASTIC_UNIT_DOSE,
)
MOST_LEARNERS = 200
LONGEST_SEED = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """The tasks of one learner, in the order in which they are met; place counts from 1."""

    place: int
    tasks: tuple[Task, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskSet:
    """The tasks of a class."""

    seed: str
    at: datetime
    seats: tuple[Seat, ...]

    def of_kind(self, container: Container, kind: TaskKind | None = None) -> tuple[Task, ...]:
        """The tasks with this kind of container, seat by seat; only to prepare or only to stop at, where said."""
        every = (task for seat in self.seats for task in seat.tasks)
        return tuple(one for one in every if one.container is container and kind in {None, one.kind})


def task_set(
    seed: str,
    learners: int,
    at: datetime,
    *,
    kinds: Sequence[Container] = KINDS,
    stops: bool = True,
    made_of: Sequence[Template] | None = None,
) -> TaskSet:
    """The set for so many learners. kinds: of container. stops: with one task to stop at for each learner.

    Refused, with every fault, for a seed, a number or a kind that is none, and where the templates hold too few numbers to keep
    neighbours apart. ValueError for a moment without a zone.
    """
    gather(_faults(seed, learners, kinds))
    sound = _sound(tuple(made_of) if made_of is not None else templates(), at)
    columns = {kind: _prepared(sound, kind, seed, learners) for kind in kinds}
    stopping = [one for one in sound if one.kind is TaskKind.STOP and one.container in kinds] if stops else []
    stopped = _stopped(stopping, columns, seed, learners)
    seats = []
    for place in range(learners):
        tasks = [column[place] for column in columns.values()]
        turn = Chance(seed, "turn", place)
        order = turn.shuffled([*tasks, *stopped[place : place + 1]])
        seats.append(Seat(place=place + 1, tasks=tuple(order)))
    return TaskSet(seed=seed, at=at, seats=tuple(seats))


def _faults(seed: str, learners: int, kinds: Sequence[Container]) -> Iterator[Fault]:
    if not 0 < len(seed.strip()) <= LONGEST_SEED:
        yield fault("seed", "a seed is a short text that you can write down", seed, f"1 to {LONGEST_SEED} characters")
    if not 1 <= learners <= MOST_LEARNERS:
        yield fault("learners", "the number of learners", learners, f"1 to {MOST_LEARNERS}")
    if not kinds or set(kinds) - set(KINDS):
        came = ", ".join(one.value for one in kinds) or "none"
        yield fault("containers", "the kinds of container", came, ", ".join(one.value for one in KINDS))


@lru_cache(maxsize=8)
def _sound(made_of: tuple[Template, ...], at: datetime) -> tuple[Task, ...]:
    """Every task that may be set at this moment."""
    drawn = ((one, pick, draw_up(one, pick, at)) for one in made_of for pick in one.picks)
    return tuple(task for one, pick, task in drawn if not against(task, one, one.rows[pick[0]]))


def numbers(task: Task) -> frozenset[str]:
    """The numbers by which a task is known again: its doses, and the volume where one is measured."""
    doses = {f"{show_number(one.amount.value)} {one.amount.unit}" for one in task.plan.doses if one.amount is not None}
    volume = (
        {f"{show_number(task.key.volume_mL)} mL"} if task.key.measured and task.key.volume_mL is not None else set()
    )
    return frozenset(doses | volume)


def _prepared(sound: Iterable[Task], kind: Container, seed: str, learners: int) -> list[Task]:
    """One preparation of this kind for each learner: difficulties in shuffled blocks, the least used tasks first."""
    pool = [one for one in sound if one.kind is TaskKind.PREPARE and one.container is kind]
    levels = [level for level in Difficulty if any(one.difficulty is level for one in pool)]
    chance, made, used = Chance(seed, "prepare", kind.value), list[Task](), Counter[str]()
    block: list[Difficulty] = []
    for place in range(learners):
        block = block or chance.shuffled(levels)
        level = block.pop() if block else None
        apart = [one for one in pool if one.difficulty is level and not (made and numbers(one) & numbers(made[-1]))]
        if not apart:
            raise _too_few(kind, place)
        least = min(used[one.id] for one in apart)
        made.append(chance.pick([one for one in apart if used[one.id] == least]))
        used[made[-1].id] += 1
    return made


def _stopped(pool: Sequence[Task], prepared: dict[Container, list[Task]], seed: str, learners: int) -> list[Task]:
    """One task to stop at for each learner: kinds of container in shuffled blocks, and in each its templates in turn.

    Its numbers are neither the learner's own in that kind, nor those of a neighbour.
    """
    chance = Chance(seed, "stop")
    kinds = [kind for kind in prepared if any(one.container is kind for one in pool)]
    waiting: dict[Container, list[str]] = {kind: [] for kind in kinds}
    made, block = list[Task](), list[Container]()
    while kinds and len(made) < learners:
        block = block or chance.shuffled(kinds)
        kind = block.pop()
        of_kind = [one for one in pool if one.container is kind]
        near = [*prepared[kind][max(0, len(made) - 1) : len(made) + 2], *made[-1:]]
        apart = [one for one in of_kind if not any(numbers(one) & numbers(other) for other in near)]
        if not apart:
            raise _too_few(kind, len(made))
        waiting[kind] = waiting[kind] or chance.shuffled(sorted({one.template for one in of_kind}))
        turn = next((one for one in reversed(waiting[kind]) if any(task.template == one for task in apart)), None)
        if turn is not None:
            waiting[kind].remove(turn)
        made.append(chance.pick([one for one in apart if turn in {None, one.template}]))
    return made


def _too_few(kind: Container, place: int) -> Refused:
    rule = "the templates of this kind hold too few different numbers to keep neighbours apart"
    return refused(f"tasks, {kind.value}", rule, f"place {place + 1}", "more rows that differ")
