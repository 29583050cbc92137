"""The dose of one drug line as an exact amount or volume: per kg with its limits, per day divided, per hour for hours.

Nothing is rounded. What limits the dose, and what someone must still choose, is said.
"""

from __future__ import annotations

from dataclasses import dataclass

from drawndose.bench.order import DrugLine, Order, Question
from drawndose.bench.policy import Policy
from drawndose.quantities import Quantity, Unlike, show, show_about, show_strength
from drawndose.reference import Drug, Equivalence

VOLUME = (("volume", 1),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Resolved:
    """What one drug line asks for. amount, or volume of a named strength; limit says which limit of the order acted."""

    line: DrugLine
    amount: Quantity | None
    volume: Quantity | None = None
    limit: str = ""
    questions: tuple[Question, ...] = ()


def resolve(line: DrugLine, order: Order) -> Resolved:
    """The dose of a line for this order's patient and duration."""
    amount = line.dose.amount
    if amount is None:
        return Resolved(line=line, amount=None)
    questions: list[Question] = []
    amount = _single(amount, line, order, questions)
    limit = ""
    if ("kg", -1) in amount.unit.parts and order.patient.weight is not None:
        amount = amount * order.patient.weight
        amount, limit = _limited(amount, line)
    if order.duration is not None and any(power < 0 and symbol in {"h", "min"} for symbol, power in amount.unit.parts):
        amount = amount * order.duration
    if amount.dimension == VOLUME:
        return _by_volume(line, amount, limit, questions)
    questions += _agrees(line, amount)
    return Resolved(line=line, amount=amount, limit=limit, questions=tuple(questions))


def _single(amount: Quantity, line: DrugLine, order: Order, questions: list[Question]) -> Quantity:
    """One dose out of an amount per day: divided by what the order says, else by how many times a day it is given."""
    if ("day", -1) not in amount.unit.parts:
        return amount
    times = line.dose.divided_by or (order.frequency.in_a_day if order.frequency else None)
    if times is None:
        asks = f"{show(amount)} of {line.drug.name}: in how many doses?"
        questions.append(Question(field="dose", asks=asks, options=("divided in 2 doses", "divided in 3 doses")))
        times = 1
    return amount * Quantity.of_text(1, "day") / times


def _limited(amount: Quantity, line: DrugLine) -> tuple[Quantity, str]:
    """The amount inside the order's own minimum and maximum, and which one acted."""
    least, most = line.dose.minimum, line.dose.maximum
    if most is not None and amount > most:
        return most, f"{show_about(amount)} by weight is more than the order's maximum {show(most)}: {show(most)}"
    if least is not None and amount < least:
        return least, f"{show_about(amount)} by weight is less than the order's minimum {show(least)}: {show(least)}"
    return amount, ""


def _by_volume(line: DrugLine, volume: Quantity, limit: str, questions: list[Question]) -> Resolved:
    if line.dose.strength is None:
        asks = f"{show(volume)} of which strength of {line.drug.name}? A volume alone is no dose."
        questions.append(Question(field="strength", asks=asks))
        return Resolved(line=line, amount=None, volume=volume, limit=limit, questions=tuple(questions))
    amount = line.dose.strength.amount_in(volume)
    return Resolved(
        line=line,
        amount=amount.to("mg") if str(amount.unit) == "g" else amount,
        volume=volume,
        limit=limit,
        questions=tuple(questions),
    )


def _agrees(line: DrugLine, amount: Quantity) -> list[Question]:
    """An order that gives an amount and a volume must mean one dose: with the strength it names they must agree."""
    also, strength = line.dose.also, line.dose.strength
    if also is None or strength is None:
        return []
    try:
        held = strength.amount_in(also)
        if held == amount:
            return []
        if not held.like(amount):
            raise Unlike("another moiety")
        told = (
            f"{show(also)} of {show_strength(strength)} is {show_about(held.to(str(amount.unit)))}, not {show(amount)}"
        )
    except Unlike:
        told = f"{show(also)} of {show_strength(strength)} does not count what {show(amount)} counts"
    return [Question(field="dose", asks=f"The order's two doses disagree: {told}. Which one is meant?")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """An amount as another moiety counts it, with the equivalence used; or a question; or the reason why not."""

    amount: Quantity | None
    by: Equivalence | None = None
    question: Question | None = None
    why_not: str = ""


def counted_as(amount: Quantity, moiety: str, drug: Drug, policy: Policy) -> Counted:
    """The amount counted as the container's strength counts it (base, which salt), by a stated ratio only."""
    if not amount.of:
        return Counted(amount=None, why_not=f"its label counts {moiety}, and the order counts {show(amount)}")
    named = amount.of[0][0]
    if named == moiety:
        return Counted(amount=amount)
    stated = drug.equivalences_between(named, moiety)
    stated = tuple(one for one in stated if amount.like(one.this) or amount.like(one.equals))
    chosen = [one for one in stated if one.id in policy.equivalences] or list(stated)
    if len(chosen) == 1:
        return Counted(amount=chosen[0].convert(amount), by=chosen[0])
    if not chosen:
        return Counted(amount=None, why_not=f"its label counts {moiety}, and no stated ratio leads there from {named}")
    options = tuple(
        f"{one.id}: {show(one.this)} is {show(one.equals)}, so {show_about(one.convert(amount))} of {moiety}"
        for one in chosen
    )
    asks = f"Published equivalences of {named} and {moiety} disagree. Which one does your facility use?"
    return Counted(amount=None, question=Question(field="equivalence", asks=asks, options=options))
