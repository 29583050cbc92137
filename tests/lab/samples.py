"""Small sound things that the lab's tests begin with, each changed by the test that needs it changed. People are invented."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction

from drawndose.lab.attempts.attempt import Attempt, Sheet
from drawndose.lab.attempts.evidence import Evidence, Held, LabelRead, SumAnswer, VolumeRead, WeightFound
from drawndose.lab.attempts.marks import Mark
from drawndose.lab.deciding.rule import Rule
from drawndose.lab.forms.form import Choice, Form, Phase, Step
from drawndose.lab.forms.scale import Scale
from drawndose.reference import Container

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def step(ident: str, **changed: object) -> Step:
    parts = {"phase": Phase.DRAW, "says": f"Does {ident}.", "failure": f"{ident} left out"} | changed
    return Step(id=ident, **parts)  # type: ignore[arg-type]


SNAP = Choice(id="snap", asks="Which way?", options=("away", "towards"), chosen="away", why="sources disagree")
FORM = Form(
    id="ampoule",
    title="Ampoule",
    container=Container.GLASS_AMPOULE,
    minutes=8,
    choices=(SNAP,),
    steps=(
        step("hands", critical=True, weight=2, phase=Phase.PREPARE),
        step("snap-away", only=("snap", "away")),
        step("snap-towards", only=("snap", "towards")),
        step("read", critical=True, scale=Scale.DEGREES, weight=3),
        step("record", prompt="Anything else?", scale=Scale.OBJECTIVE, phase=Phase.RECORD),
    ),
)
RULE = Rule(id="house", title="House rule")


def mark(place: int, step: str, point: str = "done", **changed: object) -> Mark:
    parts = {"id": f"m{place}", "step": step, "point": point, "at": NOON + timedelta(seconds=place)} | changed
    return Mark(**parts)  # type: ignore[arg-type]


GOOD = (mark(1, "hands"), mark(2, "snap-away"), mark(3, "read", "2"), mark(4, "record", "4"))
PROVEN = Evidence(
    answer=SumAnswer(typed="0.5 mL", held=Held.YES, right="0.5 mL"),
    read=VolumeRead(mL=Fraction(1, 2), target_mL=Fraction(1, 2), tolerance_mL=Fraction(1, 20), held=Held.YES),
    weighed=WeightFound(
        mL=0.502,
        u_mL=0.001,
        target_mL=0.5,
        tolerance_mL=0.05,
        held=Held.YES,
        says="within",
        readings=("12.3456", "12.8456"),
        t_degC="21",
    ),
    label=LabelRead(held=Held.YES),
    seconds=300,
)


def attempt(*marks: Mark, form: Form = FORM, **changed: object) -> Attempt:
    parts: dict[str, object] = {
        "id": "a1",
        "learner": "lea",
        "skill": form.id,
        "number": 1,
        "form_version": form.version,
        "task": "ampoule.7.1",
        "started": NOON,
        "ended": NOON + timedelta(minutes=5),
        "sheets": (Sheet(evaluator="eva", marks=marks or GOOD),),
        "evidence": PROVEN,
    }
    return Attempt(**(parts | changed))  # type: ignore[arg-type]


def marked(place: int, point: str) -> tuple[Mark, ...]:
    """The good marks with one of them changed."""
    return tuple(replace(one, point=point) if index == place else one for index, one in enumerate(GOOD))
