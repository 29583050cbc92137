"""The preparation sheet's content out of a plan: every volume that is measured is drawn, life size where its length is known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from drawndose.bench import drawing
from drawndose.bench.candidate import take_words
from drawndose.bench.draws import Draw, line_words, ml
from drawndose.bench.fills import FillPlan
from drawndose.bench.labels import LabelLine
from drawndose.bench.moments import told
from drawndose.bench.plans import Plan, Status
from drawndose.bench.takes import Take, percent
from drawndose.department.printing.label import FOR_INHALATION
from drawndose.department.printing.preparation_sheet import PreparationSheet, SheetFinding, SheetStep
from drawndose.quantities import Fault, Refused, show_about
from drawndose.reference import Catalogue, How, Kind, Nebulizer, Origin, load
from drawndose.science.aerosol.planned import for_plan

PROPORTION = "In proportion, not life size: how long its scale is, is not known."


def sheet_of_plan(
    plan: Plan,
    lines: Sequence[LabelLine],
    *,
    person: str,
    printed: str,
    code: str = "",
    catalogue: Catalogue | None = None,
    nebulizers: Iterable[Nebulizer] = (),
) -> PreparationSheet:
    """What the sheet of this plan says, with its label's lines as they were recorded. Refused for a plan that cannot be followed.

    nebulizers: those that were measured here, for the time that is expected.
    """
    if plan.status is not Status.READY:
        accepted = "a plan that is ready"
        raise Refused([Fault(field="plan", rule="nothing may be drawn up", came=plan.status.value, accepted=accepted)])
    book = catalogue or load()
    return PreparationSheet(
        person=person,
        order=plan.order.text,
        doses=tuple(line.text for line in lines if line.large),
        facts=tuple(_facts(plan, nebulizers)),
        drawings=tuple(_drawings(plan)),
        steps=tuple(SheetStep(number=one.number, says=one.says, critical=one.critical) for one in plan.steps),
        label=tuple((line.name, FOR_INHALATION if line.name == "route" else line.text) for line in lines),
        limits=tuple(_limits(plan)),
        printed=printed,
        findings=tuple(
            SheetFinding(level=one.level.value.capitalize(), says=one.says, source=_source(one.origin, book), do=one.do)
            for one in plan.findings
        ),
        code=code,
    )


def measured(take: Take) -> tuple[tuple[str, Draw], ...]:
    """Every volume that a take measures, with what it is for."""
    if take.first_dilution is not None:
        made = take.first_dilution
        return (("Draw of the drug", made.stock), ("Make up to", made.total), ("Into the cup", made.part))
    return (("Draw", take.draw),) if take.draw is not None else ()


def _facts(plan: Plan, nebulizers: Iterable[Nebulizer]) -> Iterator[tuple[str, str]]:
    for take in plan.takes:
        yield "Take", take_words(take)
        for name, draw in measured(take):
            yield name, f"{ml(draw.volume)} with the {draw.instrument.name}: {draw.reading}"
        if take.draw is not None and take.first_dilution is None:
            error, risk = ml(take.draw.error), percent(take.risk)
            yield "May be off", f"{error} either way by the instrument: {risk} of the dose{take.off_by}"
    if plan.fill is not None:
        if plan.fill.added:
            yield "Add", f"{ml(plan.fill.added)} of {plan.fill.diluent}{_with(plan.fill)}"
        held = ", ".join(f"{name} {show_about(value)}" for name, value in plan.concentrations)
        yield "In the cup", f"{ml(plan.fill.total)} in all: {held}"
        yield from _time(plan, nebulizers)
    if plan.second_reader:
        yield "Second reader", "; ".join(plan.second_reader)


def _time(plan: Plan, nebulizers: Iterable[Nebulizer]) -> Iterator[tuple[str, str]]:
    """How long it will run; nothing where it is not known."""
    expected = for_plan(plan, own=nebulizers)
    if expected.time:
        yield "Expected time", f"{expected.time} by {expected.called}: a range, not a measurement of this patient"


def _with(fill: FillPlan) -> str:
    """How much of a diluent is measured, and how."""
    if fill.drawn is None:
        return ""
    part = "" if fill.drawn.volume == fill.added else f"{ml(fill.drawn.volume)} of it "
    return f", {part}with the {fill.drawn.instrument.name}: {fill.drawn.reading}"


def _limits(plan: Plan) -> Iterator[str]:
    if plan.limit is not None:
        until = f", by {told(plan.limit.until)}" if plan.limit.until is not None else ""
        yield f"Start giving {plan.limit.says}{until}."
    for one in plan.leftovers:
        yield f"{one.what}, {show_about(one.volume)}: {one.fate} Waste: {one.stream}."


def _drawings(plan: Plan) -> Iterator[drawing.Figure]:
    """One for each different fill of each instrument, the diluent's last."""
    draws = [draw for take in plan.takes for _, draw in measured(take)]
    if plan.fill is not None and plan.fill.drawn is not None:
        draws.append(plan.fill.drawn)
    fills = dict.fromkeys((draw.instrument, fill) for draw in draws for fill in draw.fills)
    for at, (tool, fill) in enumerate(fills, start=1):
        where = line_words(tool, fill)
        if tool.kind is Kind.SYRINGE and tool.scale_length is not None:
            figure = drawing.life_size(f"draw-{at}", tool, fill, where, ruled=False)
            says = figure.words[1]  # how long the scale is, and how surely; where to read stands among the facts
        else:
            figure, says = drawing.filled(f"draw-{at}", tool, fill, where), PROPORTION
        yield replace(figure, words=(says,))


def _source(origin: Origin, book: Catalogue) -> str:
    """Where a rule is from, in words, with how surely it was read where that is not in the text itself."""
    if origin.how in {How.MEMORY, How.PRACTICE}:
        return str(origin.how.value)
    source = book.source(origin.source)
    title = source.title if source is not None else origin.source
    sure = "" if origin.how is How.READ else f" ({origin.how.value})"
    return f"{title}, {origin.at}{sure}"
