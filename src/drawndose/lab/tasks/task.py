"""One task of the lab: what stands at the station, the order on the card, the engine's own plan for it, and the key.

A task is made again, alike, from its id (template, the template's version, and which of its tasks) and the moment it is set for;
nothing else needs to be kept of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from fractions import Fraction

from drawndose.bench.in_hand import InHand
from drawndose.bench.labels import LabelLine
from drawndose.bench.plans import Plan
from drawndose.bench.sums import Worked
from drawndose.reference import Container, Cup, Instrument


class TaskKind(Enum):
    """Whether there is a right preparation."""

    PREPARE = "prepare"
    STOP = "stop"


class Flaw(Enum):
    """What is wrong at a station whose right answer is to stop."""

    NONE = "none"
    WRONG_CONTAINER = "wrong container"
    EXPIRED = "expired"
    UNDATED = "opened and undated"
    ANOTHERS = "another person's"
    FAULTY = "visibly faulty"
    INCOMPLETE = "incomplete order"
    TEN_TIMES = "dose far outside"

    @property
    def on_container(self) -> bool:
        """True where the container itself must be laid out with the flaw."""
        return self in {Flaw.EXPIRED, Flaw.UNDATED, Flaw.ANOTHERS, Flaw.FAULTY}


class Difficulty(Enum):
    """How much a task asks: one step to the volume, a change of unit or form, or more than that."""

    PLAIN = "plain"
    MIDDLE = "middle"
    HARD = "hard"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """What stands at a station: the container of the drug, its diluent or None, the measures laid out, and the cup."""

    drug: InHand
    diluent: InHand | None
    measures: tuple[Instrument, ...]
    cup: Cup


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerKey:
    """What is right, for the evaluator.

    volume_mL: what is needed of the drug, None where nothing may be prepared; measured: a line shows it, and so it is weighed or
    read; where whole containers measure it, it is not. tolerance_mL: to both sides. reading: where the instrument is read. added_mL and fill_mL: the diluent and the whole; None where none. says:
    the answer in a sentence. worked: the dose sum as the learner works it, with its wrong
    ways; None for a task to stop at. working: every sum behind the plan, line by line. rule: id of the
    finding that stops it, "" where the engine asks or has no way; why: in the engine's words; do: what then.
    """

    kind: TaskKind
    says: str
    volume_mL: Fraction | None = None
    measured: bool = False
    tolerance_mL: Fraction | None = None
    instrument: str = ""
    reading: str = ""
    whole: int = 0
    diluent: str = ""
    added_mL: Fraction | None = None
    fill_mL: Fraction | None = None
    label: tuple[LabelLine, ...] = ()
    worked: Worked | None = None
    working: tuple[str, ...] = ()
    rule: str = ""
    why: str = ""
    do: str = ""


@dataclass(frozen=True, kw_only=True)
class Task:
    """One task. title and order: what the learner's card shows; neither says what is wrong. person: whom the order is for, invented. at: the moment it is set for, since expiry dates are laid around it. tolerance: share of the measured volume.

    say and write: what the learner must say aloud and write down. form: id of the form it is watched with.
    """

    id: str
    template: str
    template_version: str
    at: datetime
    kind: TaskKind
    flaw: Flaw
    title: str
    form: str
    container: Container
    difficulty: Difficulty
    order: str
    person: str
    stand: Stand
    tolerance: Fraction
    minutes: int
    say: tuple[str, ...]
    write: tuple[str, ...]
    plan: Plan
    key: AnswerKey


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing on a list of supplies. simulated: what stands for it in the lab ("water, labelled ..."), "" where it is itself."""

    what: str
    count: int
    simulated: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """One station: a table with its tasks in turn. tells: to the evaluator; supplies: for everybody who passes through it."""

    number: int
    title: str
    container: Container
    minutes: int
    tasks: tuple[Task, ...]
    tells: tuple[str, ...]
    supplies: tuple[Item, ...]
