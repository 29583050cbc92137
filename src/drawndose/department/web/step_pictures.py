"""The pictures that belong to a step of a plan, drawn with the plan's own containers, needles and volumes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from drawndose.bench import drawing
from drawndose.bench.draws import line_words
from drawndose.bench.entries import entries, measured_out, needle_case
from drawndose.bench.plans import Plan
from drawndose.bench.steps import Step
from drawndose.bench.takes import Take
from drawndose.reference import TAKES_NEEDLE, Container, Needle, Picture, load

Holds = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True, kw_only=True)
class StepPicture:
    """One picture of a step: its title, and a figure for each thing that differs (two vials, two fills)."""

    title: str
    figures: tuple[drawing.Figure, ...]


def step_pictures(plan: Plan, step: Step, prefix: str = "") -> tuple[StepPicture, ...]:
    """Every picture of a step that the plan has the numbers for. prefix keeps the ids of several plans on one page apart."""
    found = []
    for picture in step.pictures:
        places = [
            (f"{prefix}step-{step.number}-{picture.name.lower()}-{take}", plan.takes[take]) for take in step.takes
        ]
        figures = tuple(figure for ident, take in places for figure in DRAWN[picture](ident, take, plan))
        if figures:
            found.append(StepPicture(title=picture.value, figures=figures))
    return tuple(found)


def _needle(ident: str, take: Take, plan: Plan) -> Iterator[drawing.Figure]:
    """The needle that stands on the bench; for an ampoule without one the catalogue's filter needle, else none is drawn."""
    drawn, needle = measured_out(take), _needle_of(take, plan)
    if drawn is not None and needle is not None and drawn.instrument.tip in TAKES_NEEDLE:
        yield drawing.needle_on(ident, drawn.instrument, needle)


def _needle_of(take: Take, plan: Plan) -> Needle | None:
    case = needle_case(take, plan.kept.needles)
    if case is not None and case.needle is not None:
        return case.needle
    if take.in_hand.presentation.container is Container.GLASS_AMPOULE:
        return next(one for one in load().needles if one.filters)
    return None


def _entered(take: Take) -> tuple[tuple[Holds, Fraction], ...]:
    """For each entry that differs: what the container then holds and holds when full, and what is drawn, mL."""
    contents, pack = take.in_hand.contents(), take.in_hand.pack.volume
    full = pack.to("mL").value if pack is not None else contents
    found: dict[tuple[Holds, Fraction], None] = {}
    left: dict[int, Fraction] = {}
    for entry in entries(take):
        before = left.get(entry.container, contents)
        left[entry.container] = before - entry.volume
        found[(before, full), entry.volume] = None
    # A container that is emptied whole is entered too, though nothing is measured.
    return tuple(found) or (((contents, full), contents),)


def _vial(ident: str, take: Take, _: Plan) -> Iterator[drawing.Figure]:
    shown = take.in_hand.presentation
    for at, (holds, taken) in enumerate(_entered(take), start=1):
        yield drawing.inverted_vial(f"{ident}-{at}", shown.container, shown.name, holds, taken)


def _ampoule(ident: str, take: Take, plan: Plan) -> Iterator[drawing.Figure]:
    needle = _needle_of(take, plan)
    assert needle is not None  # an ampoule is always drawn through a filter
    for at, (holds, taken) in enumerate(_entered(take), start=1):
        yield drawing.opened_ampoule(f"{ident}-{at}", take.in_hand.presentation.name, holds, taken, needle)


def _trim(ident: str, take: Take, _: Plan) -> Iterator[drawing.Figure]:
    """One for each different fill that has a line past its mark; a full barrel has none."""
    drawn = measured_out(take)
    assert drawn is not None  # the step stands only where a volume is measured
    for at, fill in enumerate(dict.fromkeys(drawn.fills), start=1):
        if drawing.can_trim(drawn.instrument, fill):
            yield drawing.trim(f"{ident}-{at}", drawn.instrument, fill, line_words(drawn.instrument, fill))


DRAWN = {Picture.NEEDLE: _needle, Picture.VIAL: _vial, Picture.AMPOULE: _ampoule, Picture.TRIM: _trim}
