"""A form: the steps of one skill that an evaluator watches, as data with a version made of its content.

Two forms with the same content have the same version; any other content is another version, so an attempt that keeps the
version it was marked with can always say what was watched.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property

from drawndose.lab.forms.scale import Scale
from drawndose.lab.reading import Data, version_of
from drawndose.reference import Container

ANY = "any"


class Phase(Enum):
    """Where in a preparation a step stands."""

    PREPARE = "prepare"
    WORK_OUT = "work out"
    DRAW = "draw"
    DILUTE = "dilute"
    CHECK = "check"
    LABEL = "label"
    CLEAR = "clear away"
    RECORD = "record"


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A local choice on which sources disagree: what it asks, what may be chosen, what is chosen, and why it is open."""

    id: str
    asks: str
    options: tuple[str, ...]
    chosen: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step that is watched.

    says: what is done well. failure: what failing looks like. critical: failing it fails the attempt. weight: what it counts
    in the percent, 0 to 100; 0 counts nothing. prompt: the only help an evaluator may say, word for word; "" where none.
    only: (choice, option) under which the step stands on the form; always where empty. rules: ids of published rules in the
    catalogue that it rests on; how: how surely those were read.
    """

    id: str
    phase: Phase
    says: str
    failure: str
    critical: bool = False
    weight: int = 1
    scale: Scale = Scale.DONE
    prompt: str = ""
    only: tuple[str, str] | None = None
    rules: tuple[str, ...] = ()
    how: str = "common practice"


@dataclass(frozen=True, kw_only=True)
class Form:
    """The form of one skill.

    id: stays over all its versions. container: the kind it is about, None for any. minutes: how long the station lasts. edition: counts the
    versions that were in use, from 1; replaces: the version before it, "" for the first. based_on: the shipped form that a
    programme's copy was made from. written_by: who answers for it.
    """

    id: str
    title: str
    container: Container | None
    minutes: int
    steps: tuple[Step, ...]
    choices: tuple[Choice, ...] = ()
    edition: int = 1
    replaces: str = ""
    based_on: str = ""
    written_by: str = ""
    schema: str = field(default="drawndose.form/1", init=False)

    @cached_property
    def version(self) -> str:
        """Its content's SHA-256: 64 hexadecimal digits."""
        return version_of(form_data(self))

    @property
    def name(self) -> str:
        """Title and edition with the beginning of the version: what people read and say."""
        return f"{self.title}, {self.edition_words}"

    @property
    def edition_words(self) -> str:
        """Its edition with the beginning of the version."""
        return f"edition {self.edition} ({self.version[:8]})"

    @cached_property
    def shown(self) -> tuple[Step, ...]:
        """The steps that stand on the form with the choices that were made, in order."""
        chosen = {(one.id, one.chosen) for one in self.choices}
        return tuple(one for one in self.steps if one.only is None or one.only in chosen)

    @property
    def critical(self) -> tuple[Step, ...]:
        """The steps shown that fail the attempt."""
        return tuple(one for one in self.shown if one.critical)

    @property
    def total_weight(self) -> int:
        """What all steps shown count together."""
        return sum(one.weight for one in self.shown)

    def step(self, ident: str) -> Step | None:
        """The step shown of this id, or None."""
        return next((one for one in self.shown if one.id == ident), None)


def form_data(form: Form) -> Data:
    """A form as plain data; `read_form` is the way back. The version is not in it: it is made of it."""
    return {
        "schema": form.schema,
        "id": form.id,
        "title": form.title,
        "container": container_word(form.container),
        "minutes": form.minutes,
        "edition": form.edition,
        "replaces": form.replaces,
        "based_on": form.based_on,
        "written_by": form.written_by,
        "choice": [
            {"id": one.id, "asks": one.asks, "options": list(one.options), "chosen": one.chosen, "why": one.why}
            for one in form.choices
        ],
        "step": [_step_data(one) for one in form.steps],
    }


def container_word(container: Container | None) -> str:
    """The kind of container in words, or "any"."""
    return ANY if container is None else container.value


def _step_data(step: Step) -> Data:
    return {
        "id": step.id,
        "phase": step.phase.value,
        "says": step.says,
        "failure": step.failure,
        "critical": step.critical,
        "weight": step.weight,
        "scale": step.scale.value,
        "prompt": step.prompt,
        "only": list(step.only or ()),
        "rules": list(step.rules),
        "how": step.how,
    }
