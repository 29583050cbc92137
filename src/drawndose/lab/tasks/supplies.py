"""What must lie on the tables: counted from the tasks themselves, with spares, and what is simulated by water.

Nothing in a skills lab is given to anybody. Every drug is water in a container that says so; glass, needles and sharps are real.
Counting is ours: one of each single-dose container for each use, a multi-dose one by what is drawn from it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from drawndose.bench.in_hand import InHand
from drawndose.lab.tasks.task import Item, Station, Task, TaskKind
from drawndose.lab.tasks.task_set import KINDS, TaskSet
from drawndose.quantities import show
from drawndose.reference import Container, Instrument, Kind

SPARE = Fraction(1, 10)
"""One in ten more than is needed, and never fewer than two: common practice, a setting."""
LEAST_SPARE = 2
GLASS_OR_STOPPER = {Container.GLASS_AMPOULE, Container.STOPPERED_VIAL}
WATER = "water, labelled so and FOR TRAINING ONLY"


def with_spares(count: int, spare: Fraction = SPARE) -> int:
    """So many with spares: a share more, rounded up, and at least two.

    >>> with_spares(24), with_spares(3)
    (27, 5)
    """
    return count + max(LEAST_SPARE, (count * spare).__ceil__()) if count else 0


def stations(made: TaskSet, spare: Fraction = SPARE) -> tuple[Station, ...]:
    """One station for each kind of container, with its tasks seat by seat and what must lie there."""
    found = list[Station]()
    for container in KINDS:
        tasks = made.of_kind(container)
        if tasks:
            found.append(
                Station(
                    number=len(found) + 1,
                    title=container.value.capitalize(),
                    container=container,
                    minutes=max(one.minutes for one in tasks),
                    tasks=tasks,
                    tells=_tells(container),
                    supplies=supplies(tasks, spare),
                )
            )
    return tuple(found)


def _tells(container: Container) -> tuple[str, ...]:
    """What the evaluator is told."""
    told = [
        "The learner reads the card, then the bell starts the time. Say nothing but the scripted prompts.",
        "Mark what you see, in any order. A critical failure stands at once; the learner does not see it.",
        "Weigh the syringe or the vessel before and after; write the temperature of the water.",
        "One card may have no right preparation: the right answer is then to stop and to say why.",
    ]
    if container is Container.GLASS_AMPOULE:
        told.append("Glass is real. Gauze round the neck, top and body into the sharps container.")
    return tuple(told)


def whole_list(made: TaskSet, spare: Fraction = SPARE) -> tuple[Item, ...]:
    """The supplies of every station together, each thing once."""
    count: Counter[tuple[str, str]] = Counter()
    for station in stations(made, spare):
        for one in station.supplies:
            count[one.what, one.simulated] += one.count
    return tuple(Item(what=what, count=number, simulated=simulated) for (what, simulated), number in count.items())


def supplies(tasks: Sequence[Task], spare: Fraction = SPARE) -> tuple[Item, ...]:
    """What these tasks need, with spares."""
    needed: Counter[tuple[str, str]] = Counter()
    once: Counter[tuple[str, str]] = Counter()
    drawn: dict[tuple[str, str], tuple[Fraction, Fraction]] = {}
    for task in tasks:
        _containers(task, needed, drawn)
        for measure in task.stand.measures:
            needed[_measure(measure), ""] += 1
        needed["nebulizer cup", ""] += 1
        needed["label to write on", ""] += 1
        needed["pair of gloves", ""] += 1
        _for_container(task, needed)
    for key, (volume, holds) in drawn.items():
        needed[key] += (volume / holds).__ceil__()
    once["sharps container", ""] += 1
    once["hand rub, bottle", ""] += 1
    once["drug waste container", ""] += 1
    once["balance with weighing vessels and a thermometer", ""] += 1
    return (
        *(Item(what=what, count=with_spares(number, spare), simulated=by) for (what, by), number in needed.items()),
        *(Item(what=what, count=number, simulated=by) for (what, by), number in once.items()),
    )


def _containers(
    task: Task, needed: Counter[tuple[str, str]], drawn: dict[tuple[str, str], tuple[Fraction, Fraction]]
) -> None:
    """The container of the drug and its diluent. One to stop at is laid out once more, with what is wrong with it."""
    drug, key = task.stand.drug, _named(task.stand.drug)
    if task.kind is TaskKind.STOP:
        needed[f"{key[0]}, {task.flaw.value}" if task.flaw.on_container else key[0], key[1]] += 1
    elif drug.presentation.multi_dose:
        before, holds = drawn.get(key, (Fraction(0), drug.contents()))
        drawn[key] = (before + task.plan.takes[0].drawn_from_container, holds)
    else:
        needed[key] += task.plan.takes[0].containers
    if task.stand.diluent is not None:
        needed[_named(task.stand.diluent)] += 1


def _for_container(task: Task, needed: Counter[tuple[str, str]]) -> None:
    container = task.stand.drug.presentation.container
    if container in GLASS_OR_STOPPER:
        needed["alcohol swab", ""] += 1
        needed["drawing needle" if container is Container.STOPPERED_VIAL else "filter needle", ""] += 1
    if container is Container.GLASS_AMPOULE:
        needed["gauze", ""] += 1


def _named(in_hand: InHand) -> tuple[str, str]:
    name = in_hand.presentation.name
    size = show(in_hand.pack.volume) if in_hand.pack.volume is not None else ""
    return f"{name} ({size})", WATER


def _measure(one: Instrument) -> str:
    return one.name if one.kind is not Kind.DROPPER else f"{one.name}, with its bottle"
