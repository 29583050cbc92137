"""What `drawndose lab` prints for people."""

from collections.abc import Iterator

from drawndose.bench.draws import ml
from drawndose.cli.output import answer_text
from drawndose.lab.deciding.proves import EXPERT, NOVICE, Learner, Proof
from drawndose.lab.deciding.rule import Rule
from drawndose.lab.forms.form import Form
from drawndose.lab.tasks.supplies import stations, whole_list
from drawndose.lab.tasks.task import Item, Task
from drawndose.lab.tasks.task_set import TaskSet
from drawndose.science.words import chance_percent

CAUTION = "For teaching. Everything is water; nothing of it is given to anybody."


def _head(made: TaskSet) -> str:
    learners = "1 learner" if len(made.seats) == 1 else f"{len(made.seats)} learners"
    return f"seed {made.seed}, {learners}, {made.at:%d %b %Y %H:%M} (24 h)"


def task_lines(made: TaskSet) -> Iterator[str]:
    """The cards, learner by learner."""
    yield _head(made)
    for seat in made.seats:
        yield ""
        yield f"learner {seat.place}"
        for task in seat.tasks:
            yield f"  {task.title}: {task.order}"
    yield ""
    yield CAUTION


def key_lines(made: TaskSet) -> Iterator[str]:
    """The key, learner by learner; each task in full once, and by its number afterwards."""
    yield f"KEY, for evaluators only: {_head(made)}"
    told: dict[str, int] = {}
    for seat in made.seats:
        yield ""
        yield f"learner {seat.place}"
        for task in seat.tasks:
            if task.id in told:
                yield f"  {told[task.id]}. {task.title}: as above. {task.key.says}"
            else:
                told[task.id] = len(told) + 1
                yield from _full(task, told[task.id])
    yield ""
    yield CAUTION


def _full(task: Task, number: int) -> Iterator[str]:
    key = task.key
    yield f"  {number}. {task.title} ({task.difficulty.value}): {task.order}"
    yield f"     {key.says}"
    if key.do:
        yield f"     {key.do}"
    if key.tolerance_mL is not None:
        yield f"     read   {key.reading}; within {ml(key.tolerance_mL)} to both sides"
    for line in key.working:
        yield f"     sum    {line}"
    for way in key.worked.wrong_ways if key.worked is not None else ():
        yield f"     wrong  {answer_text(way.answer)}: {way.name}"
    for label in key.label:
        yield f"     label  {label.name}: {label.text}"


def supply_lines(made: TaskSet) -> Iterator[str]:
    """What must lie on each table, then all together."""
    yield _head(made)
    for station in stations(made):
        yield ""
        yield f"station {station.number}: {station.title}, {len(station.tasks)} tasks of up to {station.minutes} min"
        yield from map(_item, station.supplies)
    yield ""
    yield "all together"
    yield from map(_item, whole_list(made))
    yield ""
    yield CAUTION


def _item(one: Item) -> str:
    return f"  {one.count:>4}  {one.what}{f' ({one.simulated})' if one.simulated else ''}"


def form_lines(form: Form) -> Iterator[str]:
    """A form in full: C for critical, the weight, what is done and what failing looks like."""
    yield f"{form.name}; {form.minutes} min"
    for number, step in enumerate(form.shown, start=1):
        yield f"{number:>3} {'C' if step.critical else ' '} {step.weight}  {step.says}"
        yield f"         fails: {step.failure}"
        if step.prompt:
            yield f'         may be said: "{step.prompt}"'
    for choice in form.choices:
        yield f"choice {choice.id}: {choice.asks} {choice.chosen} (or {', '.join(set(choice.options) - {choice.chosen})}). {choice.why}"
    yield "Critical marks and weights are ours, graded from published rules; your programme edits its own copy."


def proof_lines(found: Proof, rule: Rule, form: Form) -> Iterator[str]:
    """What a pass proves, what was assumed, and the cautions."""
    yield f"{form.title}: {len(form.critical)} critical steps, {_attempts(rule.attempts)}, {found.tolerance.numerator * 100 / found.tolerance.denominator:g} % of the volume"
    yield f"  {found.says}"
    for name, passes in (("novice", found.novice), ("expert", found.expert)):
        yield f"  {name} has passed by attempt: {', '.join(chance_percent(one) for one in passes.by_attempt)}"
    yield f"  assumed: {_assumed(NOVICE)}; {_assumed(EXPERT)}. Settings, not findings."
    for caution in found.cautions:
        yield f"  ! {caution}"


def _attempts(count: int) -> str:
    return "1 attempt" if count == 1 else f"{count} attempts"


def _assumed(one: Learner) -> str:
    return (
        f"{one.name} does a critical step {one.critical:.0%}, another {one.other:.0%}, the sum {one.sum_right:.0%}, "
        f"the label {one.label_right:.0%}, volume off by {one.sd:.1%} (one standard deviation)"
    )
