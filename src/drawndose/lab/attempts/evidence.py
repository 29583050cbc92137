"""What was measured and said at a station, beside the evaluator's marks: already judged, with what it was judged by.

The judging itself is in `judging`: it needs the task. Here is what is kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

PARTS = ("answer", "read", "weighed", "label", "stopped")
"""What evidence there can be."""


class Held(Enum):
    """How one piece of evidence came out. DOUBT: it cannot be told, which is neither."""

    YES = "yes"
    NO = "no"
    DOUBT = "cannot be told"
    ABSENT = "not taken"
    NOT_ASKED = "not asked in this task"


@dataclass(frozen=True, slots=True, kw_only=True)
class SumAnswer:
    """The learner's answer to the dose sum. slip: the name of the wrong way that leads to this answer, "" where none does."""

    typed: str
    held: Held
    right: str
    slip: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class VolumeRead:
    """The volume that the evaluator read on the instrument, mL, against the task's target and tolerance, mL."""

    mL: Fraction
    target_mL: Fraction
    tolerance_mL: Fraction
    held: Held


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightFound:
    """What the balance said of the volume: a float is enough here, because no dose is made of it.

    says: the verdict of the weighing in words, with its chance; readings: the balance readings as typed, g; t_degC: of the
    liquid; doubts: slips that may be none, told to the person who weighed.
    """

    mL: float
    u_mL: float
    target_mL: float
    tolerance_mL: float
    held: Held
    says: str
    readings: tuple[str, ...]
    t_degC: str
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelRead:
    """The learner's label against what it must say. missing and wrong: names of lines; wrong: what stood there."""

    held: Held
    missing: tuple[str, ...] = ()
    wrong: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stopped:
    """What the learner did at a task whose right answer is to stop. said: the reason that was given."""

    held: Held
    said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """All of it; None where nothing was taken. seconds: from the bell to the end. not_asked: parts that the task does not ask for.

    `judging.begun` says what a task asks; what is asked and not taken holds a decision open.
    """

    answer: SumAnswer | None = None
    read: VolumeRead | None = None
    weighed: WeightFound | None = None
    label: LabelRead | None = None
    stopped: Stopped | None = None
    seconds: int | None = None
    not_asked: tuple[str, ...] = ("stopped",)

    def held(self, what: str) -> Held:
        """How one of PARTS came out."""
        if what in self.not_asked:
            return Held.NOT_ASKED
        found = {
            "answer": self.answer,
            "read": self.read,
            "weighed": self.weighed,
            "label": self.label,
            "stopped": self.stopped,
        }[what]
        return Held.ABSENT if found is None else found.held


_TOLD = {"answer": ("right", "wrong"), "label": ("right", "wrong"), "stopped": ("right", "wrong")}


def told(part: str, held: Held) -> str:
    """How a piece of evidence came out, in a word; a volume lies inside its tolerance or outside."""
    right, wrong = _TOLD.get(part, ("inside", "outside"))
    return {Held.YES: right, Held.NO: wrong, Held.ABSENT: "not taken yet"}.get(held, held.value)
