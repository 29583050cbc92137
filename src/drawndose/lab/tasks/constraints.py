"""What a task must hold before anybody is set it; each reason against is a sentence. A task with a reason is never set.

For a preparation: the engine is ready, nothing graver than a note stands against it (but what the template allows), the volume
is on a line, inside the container and large enough for its measure, the tolerance is no narrower than the instrument may err,
the learner's sum comes out as the plan does, and no wrong way leads to the key. For a task to stop at: the engine stops it by
itself, for the reason that the template names.

A volume below 20 % of a syringe's capacity is left out: one published study of small volumes advises so (Hosp Pharm 2021;
56:165-171), and learners are not set what trained people measure badly.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from drawndose.bench.draws import Draw, ml
from drawndose.bench.findings import Level
from drawndose.bench.plans import Status
from drawndose.bench.sums import Answer, Worked
from drawndose.lab.tasks.task import Flaw, Task, TaskKind
from drawndose.lab.tasks.template import Row, Template
from drawndose.quantities import Quantity, read_quantity, read_strength
from drawndose.reference import Kind

LEAST_OF_SYRINGE = Fraction(1, 5)


def against(task: Task, made: Template, row: Row) -> tuple[str, ...]:
    """Every reason why this task may not be set; none for a sound one."""
    if made.kind is TaskKind.STOP:
        return tuple(_stops(task, made))
    if task.plan.status is not Status.READY:
        return (f"the engine makes no plan of it: {task.plan.status.value}",)
    return (*_findings(task, made), *_measured(task), *_volumes(task), *_sums(task, made, row))


def _stops(task: Task, made: Template) -> Iterator[str]:
    if task.plan.status is Status.READY:
        yield "the engine makes a plan of it, so stopping is not the right answer"
    elif task.key.rule != made.stops_by:
        yield f"the engine stops by {task.key.rule or 'having no way'}, not by {made.stops_by or 'having no way'}"
    stops = [one.rule for one in task.plan.findings if one.level is Level.STOP]
    if len(stops) > 1:
        yield f"the engine stops by more than one rule: {', '.join(stops)}"
    if made.flaw is not Flaw.WRONG_CONTAINER and made.stops_by == "":
        yield "only a wrong container leaves the engine without a way"


def _findings(task: Task, made: Template) -> Iterator[str]:
    for one in task.plan.findings:
        if one.level is not Level.NOTE and one.rule not in made.allows:
            yield f"{one.level.value} {one.rule}: {one.says}"
        if one.rule == "diluent-line":
            yield f"the diluent has no line: {one.says}"
    if len(task.plan.doses) != 1:
        yield f"the order is for {len(task.plan.doses)} drugs; a task has one"


def _draws(task: Task) -> list[Draw]:
    take, fill = task.plan.takes[0], task.plan.fill
    return [one for one in (take.draw, fill.drawn if fill is not None else None) if one is not None]


def _measured(task: Task) -> Iterator[str]:
    """The volumes that are read on an instrument. That the drug's has a line there, the engine sees to: else it is not ready."""
    if task.plan.takes[0].first_dilution is not None:
        yield "it needs a first dilution"
    for one in _draws(task):
        for fill in one.fills:
            if one.instrument.kind is not Kind.DROPPER and fill < LEAST_OF_SYRINGE * one.instrument.capacity:
                yield f"{ml(fill)} is less than 20 % of the {one.instrument.name}"


def _volumes(task: Task) -> Iterator[str]:
    take = task.plan.takes[0]
    if take.containers > 1 and take.in_hand.presentation.multi_dose:
        yield f"{ml(take.volume)} is more than the {ml(take.in_hand.contents())} that one container holds"
    if take.draw is not None and task.key.tolerance_mL is not None and task.key.tolerance_mL < take.draw.error:
        yield f"the tolerance of {ml(task.key.tolerance_mL)} is narrower than the {ml(take.draw.error)} that the instrument may err"


def _sums(task: Task, made: Template, row: Row) -> Iterator[str]:
    """The learner's sum against the plan, and every wrong way against the key."""
    volume, worked = _key(task)
    active = task.stand.drug.presentation.actives[0]
    if read_strength(made.strength, of=active.moiety).ratio != active.strength.ratio:
        yield f"the label says {active.printed}, the sum {made.strength}"
    if _ml(worked.answer) != volume:
        yield f"the learner's sum gives {worked.answer!r}, the plan {ml(volume)}"
    within = volume * made.tolerance
    for name, wrong in wrong_volumes(task, made, row):
        if abs(wrong - volume) <= within:
            yield f"the wrong way {name} leads to {ml(wrong)}, inside the tolerance of {ml(volume)}"


def wrong_volumes(task: Task, made: Template, row: Row) -> Iterator[tuple[str, Fraction]]:
    """Named wrong ways to the volume, mL: those of the sum, and those that may come out right by chance, which a sum leaves out."""
    volume, worked = _key(task)
    for one in worked.wrong_ways:
        yield one.name, _ml(one.answer)
    dose = task.plan.doses[0].amount
    assert dose is not None
    figure = read_quantity(row.dose).value
    strength = read_strength(made.strength)
    yield "inverted", 1 / volume
    yield "dose given as volume", dose.value if row.weight else figure
    if row.weight:
        yield "weight left out", figure * volume / dose.to("mg").value
    if made.strength.endswith("%"):
        yield "percent read as mg per mL", dose.to("mg").value / read_quantity(made.strength).value
    if dose.unit.parts[0] != strength.ratio.unit.parts[0]:
        yield "units left out", dose.value / strength.ratio.value
    if task.plan.fill is not None and task.plan.fill.added:
        yield "fill drawn as the dose", task.plan.fill.total


def _key(task: Task) -> tuple[Fraction, Worked]:
    """The volume and the sum of a ready task: it has both."""
    assert task.key.volume_mL is not None
    assert task.key.worked is not None
    return task.key.volume_mL, task.key.worked


def _ml(answer: Answer) -> Fraction:
    """The volume that a dose sum answers with, mL."""
    assert isinstance(answer, Quantity)  # a dose sum answers with no day
    return answer.to("mL").value
