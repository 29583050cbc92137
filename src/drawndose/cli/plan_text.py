"""A plan as lines for a terminal: the one number first, then the fill, what was found, the steps, the rest."""

import re
import textwrap
from collections.abc import Iterable, Iterator

from drawndose.bench.candidate import take_words
from drawndose.bench.draws import ml
from drawndose.bench.findings import Finding, Waiver
from drawndose.bench.moments import told
from drawndose.bench.plans import Plan, Status
from drawndose.bench.steps import Step
from drawndose.bench.takes import Take, percent
from drawndose.bench.working import worked
from drawndose.quantities import show, show_about
from drawndose.reference import Catalogue, How, Origin

WIDTH = 100
_UNIT = re.compile(r"([0-9]) (?=[a-zA-Z%])")
CAUTION = "Planning and teaching aid. The label in your hand, the order, local policy, pharmacy and licensed judgement decide."
HEADS = {
    Status.READY: "PLAN",
    Status.ASK: "NO PLAN YET: a question is open",
    Status.CHOOSE: "NO PLAN YET: the volume lies between two lines",
    Status.STOPPED: "NO PLAN: stopped",
}


def plan_lines(plan: Plan, book: Catalogue) -> Iterator[str]:
    """Every line of a plan."""
    yield HEADS[plan.status]
    if plan.order.text:
        yield f"  order  {plan.order.text}"
    for take in plan.takes:
        yield from _take(take)
    yield from _fill(plan)
    yield from finding_lines(plan.findings, book)
    yield from _questions(plan)
    yield from _section(
        "working", (line for one in worked(plan) for line in (f"{one.title}:", *(f"  {x}" for x in one.lines)))
    )
    yield from _section("steps (! stops the preparation when it fails)", _steps(plan.steps))
    yield from _section("around every preparation", _steps(plan.around))
    yield from _section("label", (line.text for line in plan.label))
    yield from _section(
        "left over",
        (f"{one.what}, {show_about(one.volume)}: {one.fate} Waste: {one.stream}." for one in plan.leftovers),
    )
    yield from _section("ways not taken", (f"{one.what}: {one.why}" for one in plan.not_taken))
    yield from _section("ways out", plan.ways_out)
    yield ""
    yield CAUTION


def _section(title: str, lines: Iterable[str]) -> Iterator[str]:
    found = list(lines)
    if found:
        yield ""
        yield title
        for line in found:
            yield from _wrapped(line)


def _wrapped(line: str, indent: str = "  ") -> list[str]:
    """The line folded at WIDTH; a number and its unit stay on one line."""
    lead = indent + " " * (len(line) - len(line.lstrip()))
    held = _UNIT.sub("\\1\u00a0", line.strip())
    folded = textwrap.wrap(held, WIDTH, initial_indent=lead, subsequent_indent=f"{lead}   ")
    return [one.replace("\u00a0", " ") for one in folded]


def _take(take: Take) -> Iterator[str]:
    amounts = " and ".join(f"{show_about(amount)} of {amount.of[0][0]}" for amount in take.amounts)
    yield f"  take   {take_words(take)}"
    yield f"         {amounts}, {ml(take.volume)} into the cup"
    if take.first_dilution is not None:
        for name, draw in (
            ("first", take.first_dilution.stock),
            ("make up", take.first_dilution.total),
            ("then", take.first_dilution.part),
        ):
            yield f"  {name:8} {ml(draw.volume)}: {draw.reading} ({draw.instrument.name})"
    elif take.draw is not None:
        yield f"  read   {take.draw.reading}"
        share, amounts = percent(take.draw.error / take.draw.volume), " and ".join(map(show_about, take.error_amounts))
        yield f"  error  up to {ml(take.draw.error)} either way: {share} of this volume, {amounts} of the dose ({percent(take.risk)}{take.off_by})"


def _fill(plan: Plan) -> Iterator[str]:
    fill = plan.fill
    if fill is None:
        return
    if fill.added:
        whole = f"{fill.whole} whole, nominal contents" if fill.whole else ""
        drawn = f"{ml(fill.drawn.volume)} with {fill.drawn.instrument.name}" if fill.drawn is not None else ""
        yield f"  add    {ml(fill.added)} of {fill.diluent} ({' and '.join(part for part in (whole, drawn) if part)})"
    held = ", ".join(f"{name} {show_about(value)}" for name, value in plan.concentrations)
    yield f"  cup    {ml(fill.total)} in all: {held}"
    yield f"  osmolarity {plan.osmolarity}"
    for one in plan.additives:
        hourly = f", {show_about(one.per_hour)}" if one.per_hour is not None else ""
        yield f"  carries {one.carried.role} {one.carried.substance}: {show_about(one.amount)}{hourly}"
    if plan.limit is not None:
        until = f", by {told(plan.limit.until)} (24 h)" if plan.limit.until is not None else ""
        yield f"  start giving {plan.limit.says}{until}"


def finding_lines(found: Iterable[Finding], book: Catalogue) -> Iterator[str]:
    """Findings as given, each with what to do, where it is from, and who may go on where that is asked."""
    for finding in found:
        yield ""
        yield from _wrapped(f"{finding.level.value.upper()}  {finding.says}", "")
        yield from _wrapped(f"do: {finding.do}", "         ")
        yield from _wrapped(f"from: {origin_words(finding.origin, book)}", "         ")
        if finding.waiver is not Waiver.UNASKED:
            yield f"         goes on: {finding.waiver.value}"


def origin_words(origin: Origin, book: Catalogue) -> str:
    """Where a value is from, in words, with how surely it was read."""
    if origin.how is How.MEMORY:
        return "memory; not confirmed against any text"
    if origin.how is How.PRACTICE:
        return str(origin.how.value)
    source = book.source(origin.source)
    title = source.title if source is not None else origin.source
    return f"{title}, {origin.at} ({origin.how.value})"


def _questions(plan: Plan) -> Iterator[str]:
    for question in plan.questions:
        yield ""
        yield from _wrapped(f"{'ASK' if question.blocking else 'ask'}  {question.asks}", "")
        for option in question.options:
            yield f"       {option}"
    for choice in plan.choices:
        yield ""
        yield from _wrapped(
            f"CHOOSE  {choice.container}, {choice.instrument.name}: {show_about(choice.asked)} lies between lines", ""
        )
        for line, given, change in choice.lines:
            yield f"       gives {show_about(given)}, {change}:  --line {show(line).replace(' ', '')}@{choice.key}"


def _steps(steps: Iterable[Step]) -> Iterator[str]:
    for step in steps:
        yield f"{step.number:2} {'!' if step.critical else ' '} {step.says}"
