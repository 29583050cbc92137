"""An invented afternoon: a class through its tasks, by a seed, as a department would have recorded it. For the demo and for tests.

What happens is drawn from what each learner can do (`people`); what is recorded is what evaluators saw and what the balance said,
judged by the same functions as real attempts. Nothing here is evidence of anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from drawndose.bench.labels import LabelLine
from drawndose.lab.attempts.attempt import Attempt, Sheet
from drawndose.lab.attempts.evidence import Evidence, Held, WeightFound
from drawndose.lab.attempts.judging import answered, begun, label_read, stopped, volume_read, weighed
from drawndose.lab.attempts.marks import Mark
from drawndose.lab.chance import Chance
from drawndose.lab.cohort.people import (
    LOST,
    LOST_ML,
    OVER,
    SMALL,
    SMALL_FACTOR,
    SUM_RIGHT,
    UNDER,
    Pupil,
    Watcher,
    pupils,
    watchers,
)
from drawndose.lab.deciding.decide import Decision, decide
from drawndose.lab.deciding.rule import Rule
from drawndose.lab.forms.form import Form, Step
from drawndose.lab.forms.shipped import shipped
from drawndose.lab.tasks.task import Task, TaskKind
from drawndose.lab.tasks.task_set import TaskSet, task_set
from drawndose.quantities import Quantity, data_text
from drawndose.quantities.numbers import is_decimal
from drawndose.reference import Kind
from drawndose.science.weighing import Balance, Room, Setup

RULE = Rule(id="invented", title="Invented programme's rule", days_between=0)
BALANCE = Balance(readability_g=0.001, repeatability_g=0.001)
ROOM = Room(t_degC=21.0, p_hPa=1013.0, rh_percent=50.0)
SECOND_EVERY = 4
"""One attempt in four is scored by a second evaluator too, so that their agreement can be seen. A setting."""
TASK_MINUTES = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Afternoon:
    """Everything of the day. true: for each attempt the steps that were really done, which no evaluator knows."""

    seed: str
    at: datetime
    forms: tuple[Form, ...]
    rule: Rule
    pupils: tuple[Pupil, ...]
    watchers: tuple[Watcher, ...]
    tasks: TaskSet
    attempts: tuple[Attempt, ...]
    decisions: tuple[Decision, ...]
    true: dict[str, frozenset[str]]


def afternoon(seed: str, at: datetime, *, learners: int = 24, rule: Rule = RULE) -> Afternoon:
    """The invented class of this seed on this day. Refused as `task_set` refuses; ValueError for a moment without a zone."""
    tasks = task_set(seed, learners, at)
    people, eyes = pupils(seed, learners), watchers()
    eyed = _watched(seed, eyes, learners, len(tasks.seats[0].tasks))
    forms = {one.id: one for one in shipped()}
    attempts: list[Attempt] = []
    decisions: list[Decision] = []
    true: dict[str, frozenset[str]] = {}
    for pupil, seat in zip(people, tasks.seats, strict=True):
        for turn, task in enumerate(seat.tasks):
            begins = at + timedelta(minutes=TASK_MINUTES * (turn + len(seat.tasks) * ((seat.place - 1) // len(eyes))))
            made, done = _tried(seed, pupil, task, forms[task.form], eyed[seat.place, turn], begins)
            attempts.append(made)
            true[made.id] = done
            by = made.sheets[0].evaluator
            decisions.append(decide(made, forms[task.form], rule, at=begins + timedelta(minutes=TASK_MINUTES), by=by))
    return Afternoon(
        seed=seed,
        at=at,
        forms=shipped(),
        rule=rule,
        pupils=people,
        watchers=eyes,
        tasks=tasks,
        attempts=tuple(attempts),
        decisions=tuple(decisions),
        true=true,
    )


def _watched(seed: str, eyes: Sequence[Watcher], seats: int, turns: int) -> dict[tuple[int, int], tuple[Watcher, ...]]:
    """Who watches which place and turn: an evaluator who changes with every station, and for a quarter a second one beside."""
    every = [(place, turn) for place in range(1, seats + 1) for turn in range(turns)]
    chance = Chance(seed, "second")
    twice = set(chance.shuffled(every)[: len(every) // SECOND_EVERY])
    found = dict[tuple[int, int], tuple[Watcher, ...]]()
    for place, turn in every:
        first = eyes[(place + turn) % len(eyes)]
        others = [one for one in eyes if one is not first]
        found[place, turn] = (first, chance.pick(others)) if (place, turn) in twice else (first,)
    return found


def _tried(
    seed: str, pupil: Pupil, task: Task, form: Form, eyes: tuple[Watcher, ...], begins: datetime
) -> tuple[Attempt, frozenset[str]]:
    chance = Chance(seed, "tried", pupil.id, task.form)
    done = {one.id for one in form.shown if chance.happens(pupil.critical if one.critical else pupil.other)}
    evidence = _evidence(chance, pupil, task)
    if task.kind is TaskKind.STOP and evidence.held("stopped") is Held.NO:
        done -= {"first-check", "stop"}
    ident = f"{pupil.id}-{form.id}-1"
    sheets = tuple(_sheet(Chance(seed, "seen", ident, one.id), one, form, frozenset(done), begins) for one in eyes)
    made = Attempt(
        id=ident,
        learner=pupil.id,
        skill=form.id,
        number=1,
        form_version=form.version,
        task=task.id,
        started=begins,
        ended=begins + timedelta(seconds=evidence.seconds or 0),
        sheets=sheets,
        evidence=evidence,
        station=task.container.value,
    )
    return made, frozenset(done)


def _sheet(chance: Chance, eye: Watcher, form: Form, done: frozenset[str], begins: datetime) -> Sheet:
    """What one evaluator saw of what was done, step by step."""
    marks = tuple(
        _mark(chance, eye, one, one.id in done, f"{eye.id}-{one.id}", begins + timedelta(seconds=20 * place))
        for place, one in enumerate(form.shown)
    )
    return Sheet(evaluator=eye.id, marks=marks, closed=begins + timedelta(minutes=TASK_MINUTES))


def _mark(chance: Chance, eye: Watcher, step: Step, done: bool, ident: str, at: datetime) -> Mark:
    seen = not chance.happens(eye.invents) if done else chance.happens(eye.overlooks)
    point = step.scale.points[0 if seen else -1].word
    return Mark(id=ident, step=step.id, point=point, at=at, note="" if seen else step.failure.capitalize() + ".")


def _evidence(chance: Chance, pupil: Pupil, task: Task) -> Evidence:
    took = chance.normal(task.minutes * 40.0, 60.0)
    found = replace(begun(task), seconds=int(min(max(took, 90.0), TASK_MINUTES * 60.0)))
    if task.kind is TaskKind.STOP:
        notices = chance.happens(pupil.notices)
        said = task.key.why if notices else ""
        return replace(found, stopped=stopped(task, did=notices, said=said, right_reason=notices))
    found = replace(
        found,
        answer=answered(task, _sum(chance, task)),
        label=label_read(task, _label(chance, pupil, task.key.label)),
    )
    if not task.key.measured:
        return found
    volume = _volume(chance, pupil, task)
    return replace(found, read=volume_read(task, _read(task, volume)), weighed=_weighed(task, volume))


def _sum(chance: Chance, task: Task) -> str:
    """The right sum, or one of its wrong ways."""
    worked = task.key.worked
    assert worked is not None  # a task to prepare has its sum
    wrong = [one.answer for one in worked.wrong_ways]
    right = chance.happens(SUM_RIGHT[task.difficulty])
    answer = worked.answer if right or not wrong else chance.pick(wrong)
    assert isinstance(answer, Quantity)  # a dose sum answers with a volume
    exact = Quantity(answer.value, answer.unit)
    return data_text(exact) if is_decimal(answer.value) else f"{float(answer.value):.2f} {answer.unit}"


def _label(chance: Chance, pupil: Pupil, lines: Sequence[LabelLine]) -> dict[str, str]:
    """The label as it should be, or with one line left out."""
    written = {line.name: line.text for line in lines}
    if not chance.happens(pupil.label):
        del written[chance.pick(sorted(written))]
    return written


def _volume(chance: Chance, pupil: Pupil, task: Task) -> float:
    """What was really drawn, mL: more often under than over, more widely spread where little is drawn, rarely a needle's worth less."""
    draw, target = task.plan.takes[0].draw, task.key.volume_mL
    assert draw is not None  # the task measures
    assert target is not None
    spread = pupil.spread * (SMALL_FACTOR if target < SMALL * draw.instrument.capacity else 1.0)
    off, side = abs(chance.normal(0.0, spread)), chance.share()
    lean = pupil.lean if draw.instrument.kind is Kind.DROPPER else 0.0
    share = 1.0 + lean + (-off if side < UNDER else off if side < UNDER + OVER else 0.0)
    lost = LOST_ML if chance.happens(LOST) and draw.instrument.kind is not Kind.DROPPER else 0.0
    return max(0.01, float(target) * share - lost)


def _read(task: Task, volume: float) -> str:
    """What an evaluator reads: the nearest hundredth of a mL."""
    return f"{volume:.2f} mL"


def _weighed(task: Task, volume: float) -> WeightFound:
    """The balance's readings for this volume of water at the room's temperature, and their verdict."""
    vessel = 8.0
    mass = volume / Setup(balance=BALANCE, room=ROOM).z
    return weighed(
        task,
        without=f"{vessel:.3f}",
        with_=f"{vessel + mass:.3f}",
        t_degC=f"{ROOM.t_degC:g}",
        balance=BALANCE,
        again=f"{vessel:.3f}",
    )
