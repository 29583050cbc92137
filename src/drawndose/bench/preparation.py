"""One preparation as it was really made: when, by whom, what was read, what the label says, what became of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING

from drawndose.bench.labels import LabelLine
from drawndose.bench.takes import Take

if TYPE_CHECKING:  # a plan is judged by safeguards, and these are among them
    from drawndose.bench.plans import Plan


class Needle(Enum):
    """What was done with needle and syringe, in the order in which it was done."""

    FILTER_ON = "filter needle on"
    DRAWN = "drawn"
    FILTER_OFF = "filter needle off"
    NEEDLE_OFF = "needle off"
    EMPTIED = "emptied into the cup"


@dataclass(frozen=True, slots=True, kw_only=True)
class Preparation:
    """What is known at a moment of a preparation that follows a plan. Empty or None: not done, or not said.

    now: the moment asked about; started: when preparing began (both with their zone). prepared_by, read_by (the second
    reader), given_by, witness: persons, by one kind of identifier. at_once: carried straight to the person by the preparer, with no break.
    readings: what the preparer read, mL, one for each measured take in the plan's order; second: what the second reader
    read. needle: what was done, in order. label: what stands on it. identifiers: how many of the person's matched. given_at, charted_at:
    when. given, wasted, left: mL out of the cup's fill.
    """

    plan: Plan
    started: datetime
    now: datetime
    prepared_by: str
    read_by: str = ""
    given_by: str = ""
    witness: str = ""
    at_once: bool = False
    readings: tuple[Fraction, ...] = ()
    second: tuple[Fraction, ...] = ()
    needle: tuple[Needle, ...] = ()
    label: tuple[LabelLine, ...] = ()
    identifiers: int = 0
    given_at: datetime | None = None
    charted_at: datetime | None = None
    given: Fraction | None = None
    wasted: Fraction | None = None
    left: Fraction | None = None

    @property
    def measured(self) -> tuple[Take, ...]:
        """The takes of which a volume is read."""
        return tuple(take for take in self.plan.takes if take.draw is not None)

    @property
    def gives_itself(self) -> bool:
        """True when the preparer gives it at once: the one case without a label."""
        return self.at_once and self.given_by in {"", self.prepared_by}


def the_preparation(made: Preparation) -> Iterator[Preparation]:
    """The preparation as a whole."""
    yield made
