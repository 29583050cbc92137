"""A plan as plain data (dicts, lists, texts, true, false, null): what `--json` prints and what later doors will send.

The schema's name and number stand in the data; docs/reference/plan-schema.md describes every key. A quantity is
{"value": exact decimal or fraction, "unit": data spelling, "text": for people}. A share is an exact fraction as text.
"""

from __future__ import annotations

from fractions import Fraction

from drawndose.bench.draws import Draw
from drawndose.bench.entries import NeedleCase, entries, needle_case
from drawndose.bench.fills import FillPlan
from drawndose.bench.findings import Finding
from drawndose.bench.kept import Kept
from drawndose.bench.order import DrugLine, Order, Question
from drawndose.bench.plans import LineChoice, Plan
from drawndose.bench.takes import Take
from drawndose.bench.working import worked
from drawndose.quantities import Quantity, Strength, quantity_data, show_number, show_strength
from drawndose.reference import Cup, Instrument, Origin

SCHEMA = "drawndose.plan/1"
Data = dict[str, object]


def _data(quantity: Quantity | None) -> dict[str, str] | None:
    """A quantity as data; null where there is none."""
    return None if quantity is None else quantity_data(quantity)


def _ml(volume: Fraction) -> dict[str, str]:
    return quantity_data(Quantity.of_text(volume, "mL"))


def plan_data(plan: Plan) -> Data:
    """The whole plan as plain data."""
    return {
        "schema": SCHEMA,
        "status": plan.status.value,
        "order": order_data(plan.order),
        "doses": [
            {
                "drug": resolved.line.drug.id,
                "amount": _data(resolved.amount),
                "volume": _data(resolved.volume),
                "limit": resolved.limit,
            }
            for resolved in plan.doses
        ],
        **_prepared(plan),
        **_told(plan),
        "settings": {
            "ranking": list(plan.policy.ranking),
            "caution_above": str(plan.policy.caution_above),
            "refuse_above": str(plan.policy.refuse_above),
            "start_within": _data(plan.policy.start_within),
        },
    }


def _prepared(plan: Plan) -> Data:
    """What is drawn, added and left; empty when the plan is not ready."""
    return {
        "draws": [_take(take, plan.kept) for take in plan.takes],
        "fill": _fill(plan.fill) if plan.fill is not None else None,
        "cup": _cup(plan.cup) if plan.cup is not None else None,
        "concentrations": [{"of": name, **quantity_data(value)} for name, value in plan.concentrations],
        "osmolarity": plan.osmolarity,
        "additives": [
            {
                "substance": one.carried.substance,
                "role": one.carried.role,
                "amount": _data(one.amount),
                "per_hour": _data(one.per_hour),
                "origin": _origin(one.carried.origin),
            }
            for one in plan.additives
        ],
        "leftovers": [
            {
                "what": one.what,
                "volume": _data(one.volume),
                "fate": one.fate,
                "stream": one.stream,
                "origin": _origin(one.origin),
            }
            for one in plan.leftovers
        ],
        "limit": _limit(plan),
    }


def _told(plan: Plan) -> Data:
    """What is said to the person: steps, label, findings, questions, choices, ways not taken and out, the working."""
    parts = ("number", "says", "critical", "failure", "source", "how")
    return {
        "steps": [{part: getattr(one, part) for part in parts} for one in plan.steps],
        "around": [{part: getattr(one, part) for part in parts} for one in plan.around],
        "label": [{"name": one.name, "text": one.text, "large": one.large} for one in plan.label],
        "second_reader": list(plan.second_reader),
        "findings": [finding_data(one) for one in plan.findings],
        "questions": [_question(one) for one in plan.questions],
        "choices": [_choice(one) for one in plan.choices],
        "not_taken": [{"what": one.what, "why": one.why} for one in plan.not_taken],
        "ways_out": list(plan.ways_out),
        "working": [{"title": one.title, "lines": list(one.lines)} for one in worked(plan)],
    }


def order_data(order: Order) -> Data:
    """An order as understood."""
    return {
        "text": order.text,
        "drugs": [_line(line) for line in order.lines],
        "fill": None
        if order.fill is None
        else {"rule": order.fill.rule.value, "volume": _data(order.fill.volume), "says": order.fill.says},
        "diluent": order.diluent,
        "route": order.route,
        "device": order.device,
        "cup": _data(order.cup),
        "frequency": order.frequency.says if order.frequency is not None else "",
        "as_needed": order.as_needed,
        "duration": _data(order.duration),
        "output": _data(order.output),
        "weight": _data(order.patient.weight),
        "age": _data(order.patient.age),
        "allergies": list(order.patient.allergies),
        "last_dose": order.last_dose.isoformat(timespec="minutes") if order.last_dose is not None else None,
        "reading": [
            {"text": order.text[span.start : span.end], "field": span.field, "reading": span.reading}
            for span in order.spans
        ],
    }


def _line(line: DrugLine) -> Data:
    dose = line.dose
    return {
        "drug": line.drug.id,
        "counted_as": line.moiety,
        "as_written": line.as_written,
        "dose": _data(dose.amount),
        "up_to": _data(dose.upper),
        "also": _data(dose.also),
        "strength": _strength(dose.strength),
        "minimum": _data(dose.minimum),
        "maximum": _data(dose.maximum),
        "divided_by": dose.divided_by,
    }


def _strength(strength: Strength | None) -> Data | None:
    if strength is None:
        return None
    return {"form": strength.form.value, "text": show_strength(strength), "ratio": _data(strength.ratio)}


def _take(take: Take, kept: Kept) -> Data:
    presentation = take.in_hand.presentation
    data: Data = {
        "presentation": presentation.id,
        "name": presentation.name,
        "container": presentation.container.value,
        "contents": _ml(take.in_hand.contents()),
        "lines": list(take.lines),
        "amounts": [_data(amount) for amount in take.amounts],
        "volume": _ml(take.volume),
        "whole": take.whole,
        "containers": take.containers,
        "measured": _draw(take.draw) if take.draw is not None else None,
        "first_dilution": None,
        "liquid": _draw(take.liquid) if take.liquid is not None else None,
        "risk": str(take.risk),
        "error_amounts": [_data(amount) for amount in take.error_amounts],
        "entries": [
            {"container": one.container, "fill": one.fill, "volume": _ml(one.volume), "air": _ml(one.air)}
            for one in entries(take)
        ],
        "needle": _needle(needle_case(take, kept.needles)),
    }
    if take.first_dilution is not None:
        parts = ("stock", "total", "part")
        data["first_dilution"] = {part: _draw(getattr(take.first_dilution, part)) for part in parts}
    return data


def _needle(case: NeedleCase | None) -> Data | None:
    """What the needle does to the draw: the case, the figure that is counted, and whether it is that needle's own."""
    if case is None:
        return None
    return {
        "case": case.change.value,
        "needle": case.needle.id if case.needle is not None else None,
        "keeps": _ml(case.keeps),
        "own_figure": case.own,
        "nozzle": _ml(case.nozzle),
        "delivered": _ml(case.result.volume),
        "lost": _ml(case.lost),
        "says": case.says,
    }


def _draw(draw: Draw) -> Data:
    return {
        "instrument": draw.instrument.id,
        "name": draw.instrument.name,
        "asked": _ml(draw.asked),
        "fills": [_ml(fill) for fill in draw.fills],
        "reading": draw.reading,
        "permissible_error": _ml(draw.error),
        "permissible_share": str(draw.error / draw.volume),
        "deviation": str(draw.deviation),
    }


def _fill(fill: FillPlan) -> Data:
    return {
        "rule": fill.rule.value,
        "by": fill.by,
        "says": fill.says,
        "drug": _ml(fill.drug),
        "need": _ml(fill.need),
        "diluent": fill.diluent,
        "whole": fill.whole,
        "measured": _draw(fill.drawn) if fill.drawn is not None else None,
        "added": _ml(fill.added),
        "total": _ml(fill.total),
    }


def _limit(plan: Plan) -> Data | None:
    limit = plan.limit
    if limit is None:
        return None
    return {
        "within": _data(limit.within),
        "says": limit.says,
        "at_once": limit.at_once,
        "until": limit.until.isoformat(timespec="minutes") if limit.until is not None else None,
        "origin": _origin(limit.origin),
    }


def _question(question: Question) -> Data:
    return {
        "field": question.field,
        "asks": question.asks,
        "options": list(question.options),
        "blocking": question.blocking,
    }


def _choice(choice: LineChoice) -> Data:
    return {
        "container": choice.container,
        "accept_on": choice.key,
        "instrument": choice.instrument.id,
        "asked": _data(choice.asked),
        "lines": [
            {"line": _data(line), "gives": _data(given), "change": change} for line, given, change in choice.lines
        ],
    }


def instrument_data(instrument: Instrument) -> Data:
    """A measure with its scale."""
    return {
        "id": instrument.id,
        "name": instrument.name,
        "kind": instrument.kind.value,
        "tip": instrument.tip,
        "capacity": _ml(instrument.capacity),
        "step": _ml(instrument.step),
        "numbered": _ml(instrument.numbered),
        "marks": [_ml(mark) for mark in instrument.marks],
        "scale_length_mm": show_number(instrument.scale_length) if instrument.scale_length is not None else None,
        "nozzle": _ml(instrument.nozzle) if instrument.nozzle is not None else None,
        "only_named": instrument.only_named,
        "origin": _origin(instrument.origin),
    }


def finding_data(one: Finding) -> Data:
    """One finding as plain data; `go_on` says who may go on in spite of it."""
    return {
        "rule": one.rule,
        "level": one.level.value,
        "says": one.says,
        "do": one.do,
        "origin": _origin(one.origin),
        "go_on": one.waiver.value,
    }


def _cup(cup: Cup) -> Data:
    return {"id": cup.id, "name": cup.name, "holds": _data(cup.holds), "needs": _data(cup.needs)}


def _origin(origin: Origin) -> Data:
    return {"source": origin.source, "at": origin.at, "how": origin.how.value}
