"""The engine's one entrance: an order and what stands on the bench in, a complete plan out. Pure: same input, same plan."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import Enum
from fractions import Fraction

from drawndose.bench.candidate import Candidate
from drawndose.bench.container_life import hand_here
from drawndose.bench.dosing import Resolved, resolve
from drawndose.bench.draws import Draw, Offer, ml
from drawndose.bench.fills import FillPlan
from drawndose.bench.findings import Finding, Level
from drawndose.bench.in_hand import InHand
from drawndose.bench.kept import Kept, Tool, kept
from drawndose.bench.labels import LabelLine, concentrations, label
from drawndose.bench.leftovers import Leftover, leftovers
from drawndose.bench.limits import Limit, limit
from drawndose.bench.order import Order, Question
from drawndose.bench.osmolarity import estimate
from drawndose.bench.policy import Policy
from drawndose.bench.safeguards import bench_findings, each_named, each_ordered, in_order, order_findings
from drawndose.bench.safeguards.additives import Additive, carried_into_cup
from drawndose.bench.safeguards.typed import Typed, text_findings
from drawndose.bench.scales import scale_questions
from drawndose.bench.search import (
    Bench,
    Found,
    add_first_dilutions,
    choose,
    combinations,
    may_be_diluted,
    search,
)
from drawndose.bench.second_reader import reasons as second_reasons
from drawndose.bench.steps import Filled, Step, around, steps
from drawndose.bench.takes import Take, line_key, percent
from drawndose.bench.ways_not_taken import NotTaken, not_taken
from drawndose.quantities import Fault, Quantity, Refused, gather, show
from drawndose.reference import Catalogue, Cup, Instrument, Origin, load


class Status(Enum):
    """What a plan is: complete, waiting for an answer, waiting for a choice of line, or held back with the reasons."""

    READY = "ready"
    ASK = "ask"
    CHOOSE = "choose"
    STOPPED = "stopped"


@dataclass(frozen=True, slots=True, kw_only=True)
class LineChoice:
    """A volume between two lines: what each line would give. The person chooses, or takes another instrument."""

    container: str
    key: str
    instrument: Instrument
    asked: Quantity
    lines: tuple[tuple[Quantity, Quantity, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The checked answer to an order.

    A plan that is not READY has no takes: nothing in it can be drawn up. Amounts are exact; `risk` of a take is the
    permissible error as a share of the dose. `started` is when preparing began, if it was said. second_reader: why a second
    person reads, where the policy selects this preparation.
    """

    status: Status
    order: Order
    doses: tuple[Resolved, ...]
    takes: tuple[Take, ...] = ()
    fill: FillPlan | None = None
    concentrations: tuple[tuple[str, Quantity], ...] = ()
    osmolarity: str = ""
    additives: tuple[Additive, ...] = ()
    leftovers: tuple[Leftover, ...] = ()
    limit: Limit | None = None
    steps: tuple[Step, ...] = ()
    around: tuple[Step, ...] = ()
    label: tuple[LabelLine, ...] = ()
    second_reader: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    questions: tuple[Question, ...] = ()
    choices: tuple[LineChoice, ...] = ()
    not_taken: tuple[NotTaken, ...] = ()
    ways_out: tuple[str, ...] = ()
    policy: Policy
    cup: Cup | None = None
    kept: Kept = field(default_factory=Kept)


def plan(
    order: Order,
    *,
    containers: Iterable[InHand],
    instruments: Iterable[Tool],
    policy: Policy | None = None,
    started: datetime | None = None,
    now: datetime | None = None,
    catalogue: Catalogue | None = None,
) -> Plan:
    """The plan for an order with these containers (drugs and diluents), instruments and cup.

    A bottle's own dropper comes with the bottle. Without a cup the fill is not checked against one, and the plan asks. Without
    needles the widest usual one is counted; unit doses and excess are a department's own, before the catalogue's.
    started: when preparing began, with its zone (ValueError without); asked for where a container's dates were said. now:
    the moment at which the containers are looked at, where it is a later one.
    Refused when a container's condition contradicts itself or that moment. catalogue: where techniques and supplied measures are looked up; the packaged one by default.
    """
    settings, book = policy or Policy(), catalogue or load()
    bench = _bench(containers, instruments, order, settings, book, now or started)
    doses = tuple(resolve(line, order) for line in order.lines)
    asked = (*order.questions, *(question for resolved in doses for question in resolved.questions), *_about_now(bench))
    if not order.lines and not asked:
        asked = (Question(field="drug", asks="Which drug? The order names none."),)
    if any(question.blocking for question in asked):
        return Plan(status=Status.ASK, order=order, doses=doses, questions=asked, policy=settings, cup=bench.cup)
    on_order = in_order(
        [
            *order_findings(each_ordered(order, doses, book, settings, started)),
            *bench_findings(each_named(order.lines, bench.drugs)),
            *text_findings(Typed("order", order.text)),
        ]
    )
    if any(one.level is Level.STOP for one in on_order):
        return _stopped(order, doses, asked, on_order, bench)
    found = search(doses, bench)
    together = combinations(doses, found, settings)
    if not together and not found.offers:
        add_first_dilutions(doses, bench, order, found)
        together = combinations(doses, found, settings)
    winner, held = choose(together, doses, order, bench, found)
    if winner is None:
        made = _no_plan(order, doses, asked, together, held, found, bench)
    else:
        made = _whole(order, doses, asked, winner, together, held, found, bench, book, started)
    return replace(made, findings=in_order((*made.findings, *on_order))) if on_order else made


def _stopped(
    order: Order, doses: tuple[Resolved, ...], asked: tuple[Question, ...], found: tuple[Finding, ...], bench: Bench
) -> Plan:
    """What is ordered is held back, whatever stands on the bench: nothing is searched."""
    stops = (one.do for one in found if one.level is Level.STOP)
    return Plan(
        status=Status.STOPPED,
        order=order,
        doses=doses,
        findings=found,
        questions=asked,
        ways_out=(*dict.fromkeys(stops), "Ask the pharmacy."),
        policy=bench.policy,
        cup=bench.cup,
    )


def _bench(
    have: Iterable[InHand],
    tools: Iterable[Tool],
    order: Order,
    policy: Policy,
    book: Catalogue,
    now: datetime | None,
) -> Bench:
    """The bench in one order, whatever order things were named in: so the same bench always gives the same plan."""
    drugs = tuple(sorted((hand_here(one, policy) for one in have), key=_place_on_bench))
    _hold(drugs, now)
    stand = tuple(tools)
    measures = [one for one in stand if isinstance(one, Instrument)]
    for in_hand in drugs:
        own = in_hand.presentation.measure
        if own and all(one.id != own for one in measures):
            measures.append(book.instrument(own))
    return Bench(
        drugs=drugs,
        diluents=tuple(one for one in drugs if one.presentation.diluent),
        instruments=tuple(sorted(measures, key=lambda one: (one.kind.value, one.capacity, one.id))),
        cup=_cup_of(order, [one for one in stand if isinstance(one, Cup)]),
        policy=policy,
        now=now,
        kept=kept(stand),
    )


def _hold(have: tuple[InHand, ...], now: datetime | None) -> None:
    """Refuse conditions that cannot be, with the faults of every container."""
    if now is None:
        return
    if now.utcoffset() is None:
        raise ValueError("started needs its zone: without it a clock change would move the limit time")
    faults: list[Fault] = []
    for one in have:
        try:
            if one.condition is not None:
                one.condition.hold(now)
        except Refused as refused:
            faults += [replace(fault, field=f"{one.name}, {fault.field}") for fault in refused.faults]
    gather(faults)


def _about_now(bench: Bench) -> tuple[Question, ...]:
    """A container's dates mean nothing without the moment."""
    if bench.now is not None or all(one.condition is None for one in bench.drugs):
        return ()
    return (Question(field="started", asks="When does preparing begin? The dates of a container were given."),)


def _place_on_bench(one: InHand) -> tuple[str, Fraction, int, bool, str]:
    return (one.presentation.id, one.contents(), one.count or 0, one.left is not None, repr(one.condition))


def _cup_of(order: Order, cups: list[Cup]) -> Cup | None:
    """The cup that the order names, where it stands there; else the largest one."""
    named = [one for one in cups if order.cup is not None and one.holds == order.cup]
    return max(named or cups, key=lambda cup: (cup.holds.base, cup.id), default=None)


def _no_plan(
    order: Order,
    doses: tuple[Resolved, ...],
    asked: tuple[Question, ...],
    together: list[tuple[Take, ...]],
    held: list[Candidate],
    found: Found,
    bench: Bench,
) -> Plan:
    """Nothing can be drawn: a question, a choice of lines, or the reasons with the ways out."""
    questions = (*asked, *found.questions)
    choices = tuple(_choice(in_hand, offer, doses, found) for in_hand, offer in found.offers) if not together else ()
    status = Status.STOPPED
    if found.questions and not together:
        status = Status.ASK
    elif choices:
        status = Status.CHOOSE
    return Plan(
        status=status,
        order=order,
        doses=doses,
        findings=held[0].findings if held else (),
        questions=questions,
        choices=choices,
        not_taken=not_taken(None, together, held, found, bench),
        ways_out=() if status is Status.ASK else _ways_out(doses, bench, found, held),
        policy=bench.policy,
        cup=bench.cup,
    )


def _choice(in_hand: InHand, offer: Offer, doses: tuple[Resolved, ...], found: Found) -> LineChoice:
    active = in_hand.presentation.actives[0]
    whole = next(
        counted.amount for (_, moiety), counted in found.counted.items() if moiety == active.moiety and counted.amount
    )
    per_ml = in_hand.per_ml(active)
    asked = Quantity.of_text(offer.asked, "mL")
    lines = []
    for line in (offer.below, offer.above):
        if line:
            shift = per_ml * Quantity.of_text(abs(line - offer.asked), "mL")
            given = whole + shift if line >= offer.asked else whole - shift
            share = (given.base - whole.base) / whole.base
            more = "more" if share > 0 else "less"
            lines.append((Quantity.of_text(line, "mL"), given.to(str(whole.unit)), f"{percent(share)} {more}"))
    return LineChoice(
        container=in_hand.name,
        key=line_key(in_hand, offer.instrument),
        instrument=offer.instrument,
        asked=asked,
        lines=tuple(lines),
    )


def _ways_out(doses: tuple[Resolved, ...], bench: Bench, found: Found, held: list[Candidate]) -> tuple[str, ...]:
    if held:
        return (*dict.fromkeys(stop.do for stop in held[0].stops), "Ask the prescriber or the pharmacy.")
    names = " and ".join(resolved.line.drug.name for resolved in doses)
    there = {drug for one in bench.drugs for drug in one.presentation.drugs}
    missing = [resolved.line.drug.name for resolved in doses if resolved.line.drug.id not in there]
    ways = [f"Put a container of {name} on the bench.{_another(doses, bench)}" for name in missing]
    if found.offers:
        ways.append("Choose one of the two lines, or take an instrument that has the line.")
    ways.append(f"Another presentation of {names}, weaker or in whole unit doses.")
    if any(may_be_diluted(one.in_hand) for one in found.against) and not missing:
        ways.append(
            "A first dilution with its own measured volumes, checked by a second person, where policy allows it at the "
            "bedside."
        )
    return (*ways, "Ask the pharmacy.")


def _another(doses: tuple[Resolved, ...], bench: Bench) -> str:
    """What stands there instead, where no container holds a drug of the order: the first of them, named as another drug."""
    ordered = {resolved.line.drug.id for resolved in doses}
    there = [one for one in bench.drugs if not ordered.intersection(one.presentation.drugs)]
    return f" {there[0].name} is another drug." if there and len(there) == len(bench.drugs) else ""


def _whole(
    order: Order,
    doses: tuple[Resolved, ...],
    asked: tuple[Question, ...],
    winner: Candidate,
    together: list[tuple[Take, ...]],
    held: list[Candidate],
    found: Found,
    bench: Bench,
    book: Catalogue,
    started: datetime | None,
) -> Plan:
    scales = scale_questions(_drawn(winner), bench.instruments)
    questions = (*asked, *winner.fill.questions, *_about_cup(order, bench), *scales)
    asking = Plan(
        status=Status.ASK,
        order=order,
        doses=doses,
        questions=questions,
        findings=winner.findings,
        not_taken=not_taken(winner.takes, together, held, found, bench),
        policy=bench.policy,
        cup=bench.cup,
        kept=bench.kept,
    )
    if winner.fill.questions:
        return asking
    until = limit(winner.takes, bench.policy, started)
    rest = leftovers(winner.takes, winner.fill, bench.policy)
    lines = label(winner.takes, winner.fill, order, until, started)
    filled = Filled(
        order=order, takes=winner.takes, fill=winner.fill, label=lines, limit=until, leftovers=rest, kept=bench.kept
    )
    return replace(
        asking,
        status=Status.READY,
        takes=winner.takes,
        fill=winner.fill,
        concentrations=concentrations(winner.takes, winner.fill),
        osmolarity=estimate(winner.takes, winner.fill).says(),
        additives=carried_into_cup(winner.takes, order),
        leftovers=rest,
        limit=until,
        steps=steps(filled, book),
        around=around(book),
        label=lines,
        second_reader=second_reasons(order, winner.takes, bench.policy),
    )


def _drawn(way: Candidate) -> tuple[Draw, ...]:
    """Every measured volume of a way, with the diluent's."""
    dilutions = (take.first_dilution for take in way.takes if take.first_dilution is not None)
    several = [take.draw for take in way.takes] + [
        part for one in dilutions for part in (one.stock, one.total, one.part)
    ]
    return tuple(one for one in (*several, way.fill.drawn) if one is not None)


def _about_cup(order: Order, bench: Bench) -> tuple[Question, ...]:
    if bench.cup is None:
        asks = "Which cup? None was named, so the fill is not checked against what it holds and needs."
    elif order.cup is not None and order.cup != bench.cup.holds:
        asks = f"Which cup? The order names one of {show(order.cup)}; the fill is checked against the {bench.cup.name}."
    else:
        return ()
    return (Question(field="cup", asks=asks, blocking=False),)


def origins(made: Plan) -> tuple[Origin, ...]:
    """Every origin that a plan's findings and leftovers name, each once."""
    found = [finding.origin for finding in made.findings] + [rest.origin for rest in made.leftovers]
    if made.limit is not None:
        found.append(made.limit.origin)
    return tuple(dict.fromkeys(found))


__all__ = ["LineChoice", "Plan", "Status", "ml", "origins", "plan"]
