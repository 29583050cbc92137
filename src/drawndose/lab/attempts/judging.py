"""Evidence judged against the task: the learner's sum, the volume read, what the balance says, the label, the stopping.

Each function takes what was typed or written and gives back evidence with its verdict, or is refused with every fault. Nothing
is rounded: a volume that was read is exact; only the balance answers with a float, and with its doubt.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from math import inf

from drawndose.bench.labels import TO_WRITE
from drawndose.bench.sums import Worked
from drawndose.lab.attempts.evidence import (
    PARTS,
    Evidence,
    Held,
    LabelRead,
    Stopped,
    SumAnswer,
    VolumeRead,
    WeightFound,
)
from drawndose.lab.reading import fault, refused
from drawndose.lab.tasks.task import Task, TaskKind
from drawndose.quantities import Fault, Manner, Quantity, gather, read_number, read_quantity, show_both
from drawndose.reference import Kind
from drawndose.science.sheet import Sheet as WeighingSheet
from drawndose.science.sheet import weigh
from drawndose.science.verdict import Call
from drawndose.science.weighing import Balance, Weighing

HELD = {Call.WITHIN: Held.YES, Call.OUTSIDE: Held.NO, Call.CANNOT_TELL: Held.DOUBT}
BY_HAND = ("person", "started", "start giving by", "made by")
"""Lines of the label that the engine leaves to be written: any writing fills them."""


def begun(task: Task) -> Evidence:
    """Empty evidence that knows what this task asks for: of a task to stop at the stopping alone; no volume of a whole container."""
    if task.kind is TaskKind.STOP:
        return Evidence(not_asked=tuple(one for one in PARTS if one != "stopped"))
    return Evidence(not_asked=("stopped",) if task.key.measured else ("read", "weighed", "stopped"))


def answered(task: Task, typed: str) -> SumAnswer:
    """The learner's dose sum: right exactly, or wrong, with the wrong way that leads to it. Refused for what is no volume.

    A bare number is taken as mL only where the field says so; here a unit is wanted, because leaving it out is a fault of its own.
    """
    worked = task.key.worked
    if worked is None:
        raise refused("sum", "this task asks for no sum", typed, "nothing")
    right = worked.answer
    assert isinstance(right, Quantity)  # a dose sum answers with a volume
    said = read_quantity(typed, field="sum", manner=Manner.READING)
    if said.dimension != right.dimension or said.of:
        raise refused("sum", "a volume with its unit is wanted", typed, "0.5 mL")
    held = Held.YES if said.base == right.base else Held.NO
    slip = "" if held is Held.YES else _slip(typed, said, worked)
    return SumAnswer(typed=typed.strip(), held=held, right=show_both(right), slip=slip)


def _slip(typed: str, said: Quantity, worked: Worked) -> str:
    """The wrong way that leads to what was typed, as far as its digits go: 0.67 for 2/3. Only a name depends on this rounding."""
    figure = re.search(r"\.([0-9]+)", typed)
    half = Fraction(1, 2 * 10 ** (len(figure[1]) if figure else 0))
    for one in worked.wrong_ways:
        assert isinstance(one.answer, Quantity)  # a dose sum answers with volumes
        if abs(one.answer.base / said.unit.factor - said.value) <= (half if figure else 0):
            return one.name
    return ""


def volume_read(task: Task, typed: str) -> VolumeRead:
    """What the evaluator read on the instrument, against the target. Refused for no volume, and where nothing is measured."""
    target, tolerance = _asked(task, "volume", typed)
    said = read_quantity(typed, field="volume", manner=Manner.READING)
    if said.dimension != (("volume", 1),):
        raise refused("volume", "a volume with its unit is wanted", typed, "0.5 mL")
    read = said.to("mL").value
    held = Held.YES if abs(read - target) <= tolerance else Held.NO
    return VolumeRead(mL=read, target_mL=target, tolerance_mL=tolerance, held=held)


def _asked(task: Task, field: str, came: str) -> tuple[Fraction, Fraction]:
    """Target and tolerance, mL. Refused where the task has no measured volume."""
    key = task.key
    if not key.measured or key.volume_mL is None or key.tolerance_mL is None:
        raise refused(field, "no volume is measured in this task", came, "nothing")
    return key.volume_mL, key.tolerance_mL


def weighed(
    task: Task,
    *,
    without: str,
    with_: str,
    t_degC: str,
    balance: Balance,
    p_hPa: str = "1013",
    rh_percent: str = "50",
    again: str = "",
) -> WeightFound:
    """What was drawn, by weight, as `science.sheet` judges it: inside, outside, or it cannot be told.

    The liquid is water. Readings in g, temperature in degC, pressure in hPa and humidity in percent, as typed; the defaults of
    the last two are a usual room. Refused, with every fault, for a missing or impossible reading, and without a temperature:
    the density of water depends on it.
    """
    target, tolerance = _asked(task, "weight", with_)
    faults: list[Fault] = []
    wanted = {"without": without, "with": with_, "temperature": t_degC, "pressure": p_hPa, "humidity": rh_percent}
    numbers = {name: _number(name, text, faults) for name, text in wanted.items()}
    twice = _number("without again", again, faults) if again.strip() else None
    gather(faults)
    sheet = WeighingSheet(
        balance=balance,
        t_degC=numbers["temperature"],
        p_hPa=numbers["pressure"],
        rh_percent=numbers["humidity"],
        target_mL=float(target),
        tolerance_mL=float(tolerance),
        capacity_mL=_capacity(task),
    )
    found = weigh(Weighing(without_g=numbers["without"], with_g=numbers["with"], without_again_g=twice), sheet)
    return WeightFound(
        mL=found.volume.mL,
        u_mL=found.volume.u,
        target_mL=float(target),
        tolerance_mL=float(tolerance),
        held=HELD[found.verdict.call],
        says=found.verdict.says,
        readings=tuple(one.strip() for one in (without, with_, again) if one.strip()),
        t_degC=t_degC.strip(),
        doubts=tuple(one.rule for one in (*sheet.doubts, *found.doubts)),
    )


def _capacity(task: Task) -> float:
    """What all fills of a syringe hold together, mL; a dropper holds more than its last mark, and nobody has said how much."""
    draw = task.plan.takes[0].draw
    scale = draw is not None and draw.instrument.kind is not Kind.DROPPER
    return float(draw.instrument.capacity * len(draw.fills)) if draw is not None and scale else inf


def _number(name: str, text: str, faults: list[Fault]) -> float:
    """A number as typed, perhaps below 0; 0 stands in while the remaining faults are gathered."""
    said = text.strip()
    if not said:
        rule = (
            "the temperature of the liquid is needed: its density depends on it"
            if name == "temperature"
            else "it is missing"
        )
        faults.append(fault(name, rule, text, "21.0" if name == "temperature" else "12.3456"))
        return 0.0
    sign, digits = (-1.0, said[1:]) if said[:1] in {"-", "−"} else (1.0, said)
    try:
        return sign * float(read_number(digits, field=name, manner=Manner.READING))
    except ValueError:
        faults.append(fault(name, "a number is wanted", text, "12.3456"))
        return 0.0


def label_read(task: Task, lines: Mapping[str, str]) -> LabelRead:
    """The learner's label, line by line, against what the engine says it must hold.

    Spaces and capitals do not count; every word and number does. A line that is written by hand counts when anything stands there.
    Refused for a line that the label has not, and for a task that has no label.
    """
    if task.kind is TaskKind.STOP:
        raise refused("label", "this task has no label: the right answer is to stop", ", ".join(lines), "nothing")
    wanted: dict[str, list[str]] = {}
    for line in task.key.label:
        wanted.setdefault(line.name, []).append(line.text)
    gather(
        fault("label", "the label has no such line", name, ", ".join(wanted)) for name in lines if name not in wanted
    )
    missing = tuple(name for name in wanted if not lines.get(name, "").strip())
    wrong = tuple(
        (name, lines[name].strip())
        for name, texts in wanted.items()
        if name not in missing and not _same(name, texts, lines[name])
    )
    return LabelRead(held=Held.NO if missing or wrong else Held.YES, missing=missing, wrong=wrong)


def _same(name: str, texts: list[str], written: str) -> bool:
    by_hand = name in BY_HAND or any(TO_WRITE in one for one in texts)
    return by_hand or _plain(" ".join(texts)) == _plain(written)


def _plain(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip(" .;").casefold()


def stopped(task: Task, *, did: bool, said: str, right_reason: bool) -> Stopped:
    """What the learner did where the right answer was to stop. right_reason: the evaluator heard the reason that the key gives.

    Stopping for another reason does not hold: a guess that comes out right is a guess. Refused for a task to prepare, and where
    the learner stopped and nobody wrote what was said.
    """
    if task.kind is not TaskKind.STOP:
        raise refused("stopped", "this task has a right preparation", "stopped", "the evidence of a preparation")
    if did and not said.strip():
        raise refused("said", "write down the reason that the learner gave", said, "a few words")
    return Stopped(held=Held.YES if did and right_reason else Held.NO, said=said.strip())
