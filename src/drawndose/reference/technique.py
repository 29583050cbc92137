"""Technique steps for each container kind, as data: text with places for the plan's numbers, and when a step applies."""

from dataclasses import dataclass
from enum import Enum

from drawndose.reference.provenance import Source, take_source
from drawndose.reference.table import Table


class Phase(Enum):
    """Where a step stands when several containers go into one cup."""

    START = "start"
    CONTAINER = "container"
    DRAW = "draw"
    DILUTE = "dilute"
    CHECK = "check"
    LEFTOVER = "leftover"
    CLOSE = "close"


class When(Enum):
    """The condition under which a step is shown; the bench decides it from the plan."""

    ALWAYS = "always"
    MEASURED = "a volume is measured"
    WHOLE = "the whole container is emptied"
    DILUTED = "diluent is added"


class Picture(Enum):
    """What a step looks like. A drawing is made with the plan's own numbers, where it has them."""

    NEEDLE = "needle on the syringe"
    VIAL = "vial turned over"
    AMPOULE = "ampoule tilted"
    TRIM = "past the mark, then trimmed"


@dataclass(frozen=True, slots=True, kw_only=True)
class TechniqueStep:
    """One step: its text with {places}, whether failing it stops the preparation, what failing looks like, how sure.

    pictures: the drawings that show it, in order.
    """

    says: str
    phase: Phase
    when: When
    critical: bool
    failure: str
    source: str
    how: str
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Technique:
    """The steps for one container kind, in order."""

    container: str
    title: str
    steps: tuple[TechniqueStep, ...]


def take_techniques(table: Table) -> tuple[tuple[Technique, ...], tuple[Source, ...]]:
    """The techniques file with its sources."""
    sources = tuple(take_source(one) for one in table.tables("source"))
    techniques = tuple(_technique(one) for one in table.tables("technique"))
    table.done()
    return techniques, sources


def _technique(table: Table) -> Technique:
    made = Technique(
        container=table.text("container"),
        title=table.text("title"),
        steps=tuple(_step(one) for one in table.tables("step")),
    )
    table.done()
    return made


def _step(table: Table) -> TechniqueStep:
    made = TechniqueStep(
        says=table.text("says"),
        phase=table.choice("phase", Phase),
        when=table.choice("when", When, When.ALWAYS),
        critical=table.truth("critical", False),
        failure=table.text("failure"),
        source=table.text("source"),
        how=table.text("how"),
        pictures=_pictures(table),
    )
    table.done()
    return made


def _pictures(table: Table) -> tuple[Picture, ...]:
    known = {one.value: one for one in Picture}
    named = table.texts("pictures")
    for text in named:
        if text not in known:
            table.fault("pictures", "a word of a closed list is needed", text, ", ".join(known))
    return tuple(known[text] for text in named if text in known)
