"""What an order leaves open. A blocking question must be answered before any plan; the others stand beside it."""

from __future__ import annotations

from dataclasses import replace

from drawndose.bench.order.model import FillRule, Order, Question
from drawndose.quantities import Quantity, show


def questions_of(order: Order, more: tuple[Question, ...] = ()) -> Order:
    """The same order with every question that its fields leave open."""
    asked = [
        *order.questions,
        *more,
        *_route(order),
        *_fill(order),
        *_diluent(order),
        *_weight(order),
        *_days(order),
        *_continuous(order),
        *_how_often(order),
    ]
    return replace(order, questions=tuple(asked))


def _route(order: Order) -> list[Question]:
    if order.route:
        return []
    return [Question(field="route", asks="By which route? Plans are made for a nebulizer.", options=("by nebulizer",))]


def _fill(order: Order) -> list[Question]:
    fill = order.fill
    if fill is None or fill.rule is not FillRule.UNCLEAR or fill.volume is None:
        return []
    volume = show(fill.volume)
    asks = f'Does "{fill.says.strip(" ,")}" mean {volume} in all, or {volume} added? They are not the same.'
    return [Question(field="fill", asks=asks, options=(f"made up to {volume}", f"add {volume}"))]


def _diluent(order: Order) -> list[Question]:
    """A diluent needs its volume; the label's rule might add none, and the order's word would be skipped."""
    if not order.diluent or order.continuous or (order.fill is not None and order.fill.rule is not FillRule.UNDILUTED):
        return []
    undiluted = "undiluted, and yet " if order.fill is not None else ""
    asks = f"The order says {undiluted}{order.diluent}: how much of it?"
    return [Question(field="fill", asks=asks, options=("made up to 3 mL", "add 3 mL", "undiluted"))]


def _days(order: Order) -> list[Question]:
    """A day's dose divided by one number and given by another is two different doses."""
    a_day = order.frequency.in_a_day if order.frequency is not None else None
    every = order.frequency.interval if order.frequency is not None else None
    if every is not None:
        a_day = int(Quantity.of_text(24, "h").over(every))
    return [
        Question(
            field="dose",
            asks=f"{line.drug.name}: divided by {line.dose.divided_by}, and given {a_day} times a day. Which one is right?",
        )
        for line in order.lines
        if line.dose.divided_by is not None and a_day is not None and line.dose.divided_by != a_day
    ]


def _weight(order: Order) -> list[Question]:
    by_weight = any(("kg", -1) in line.dose.amount.unit.parts for line in order.lines if line.dose.amount is not None)
    if by_weight and order.patient.weight is None:
        return [Question(field="weight", asks="What does the patient weigh, in kg? The dose is per kg.")]
    return []


def _continuous(order: Order) -> list[Question]:
    if not order.continuous:
        return _running(order)
    asked = []
    if order.duration is None:
        asked.append(Question(field="duration", asks="For how many hours? The dose is per hour."))
    if order.output is None:
        asks = "What is the nebulizer's stated output, in mL per h? The mixture cannot be made without it."
        asked.append(Question(field="output", asks=asks))
    return asked


def _running(order: Order) -> list[Question]:
    """Words of a running treatment beside a single dose: 10 mg for 4 h may be meant as 10 mg in each hour."""
    hours = order.duration is not None and order.duration >= Quantity.of_text(1, "h")
    if not hours and (order.frequency is None or not order.frequency.says.lower().startswith("continuous")):
        return []
    asks = "A dose that runs: how much in each hour? Write it per hour, as in 10 mg/h for 4 h."
    return [Question(field="dose", asks=asks)]


def _how_often(order: Order) -> list[Question]:
    often = order.frequency
    if order.continuous:
        if often is None or (often.interval is None and often.in_a_day is None):
            return []
        return [Question(field="frequency", asks=f'A dose per hour runs: what does "{often.says}" mean beside it?')]
    if order.frequency is None:
        return [Question(field="frequency", asks="How often? The order does not say.", blocking=False)]
    if order.frequency.unclear:
        asks = f'"{order.frequency.says}" is a range: which interval?'
        return [Question(field="frequency", asks=asks, blocking=False)]
    return []
