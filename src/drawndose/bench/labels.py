"""What the label of the cup or syringe must say, in the order in which it is read. The dose line is the largest.

Sources: Joint Commission, National Performance Goals, NPG.14.03.01 (name, strength, amount, diluent and volume, expiry);
route warning after published wrong-route events, wording ours.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from drawndose.bench.draws import ml
from drawndose.bench.fills import FillPlan
from drawndose.bench.limits import Limit
from drawndose.bench.moments import told
from drawndose.bench.order import Order
from drawndose.bench.takes import Take
from drawndose.quantities import Quantity, show_about

TO_WRITE = "................"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelLine:
    """One line of the label: its name, its text, and whether it is the large one. A row of dots is written by hand."""

    name: str
    text: str
    large: bool = False


def label(
    takes: tuple[Take, ...], fill: FillPlan, order: Order, limit: Limit, started: datetime | None
) -> tuple[LabelLine, ...]:
    """The label's lines, top to bottom."""
    total = ml(fill.total)
    listed = {moiety.id: line.drug.spelled(moiety.id) for line in order.lines for moiety in line.drug.moieties}
    lines = [
        LabelLine(name="dose", text=f"{listed.get(name, name)} {show_about(amount)} in {total}", large=True)
        for take in takes
        for name, amount in zip(active_names(take), take.amounts, strict=True)
    ]
    if fill.added:
        lines.append(LabelLine(name="diluted with", text=f"{fill.diluent}, {ml(fill.added)}"))
    if order.continuous and order.output is not None:
        lines.append(LabelLine(name="runs", text=f"{show_about(order.output)} continuously"))
    until = told(limit.until) if limit.until is not None else TO_WRITE
    made = told(started) if started is not None else TO_WRITE
    lines += [
        LabelLine(name="route", text="To be breathed in by nebulizer. NOT FOR INJECTION."),
        LabelLine(name="person", text=f"{TO_WRITE} born {TO_WRITE} no. {TO_WRITE}"),
        LabelLine(name="started", text=made),
        LabelLine(name="start giving by", text=f"at once, and by {until}" if limit.at_once else until),
        LabelLine(name="made by", text=f"{TO_WRITE} second reader {TO_WRITE}"),
    ]
    return tuple(lines)


def active_names(take: Take) -> tuple[str, ...]:
    """What each amount of a take counts, by its moiety."""
    return tuple(amount.of[0][0] for amount in take.amounts)


def concentrations(takes: tuple[Take, ...], fill: FillPlan) -> tuple[tuple[str, Quantity], ...]:
    """What the cup then holds of each active part, per mL."""
    total = Quantity.of_text(fill.total, "mL")
    return tuple(
        (name, _readable(amount / total))
        for take in takes
        for name, amount in zip(active_names(take), take.amounts, strict=True)
    )


def _readable(concentration: Quantity) -> Quantity:
    """In mg per mL, below 0.1 in mcg per mL; units and the rest as they are."""
    if concentration.dimension != (("mass", 1), ("volume", -1)):
        return concentration
    in_mg = concentration.to("mg/mL")
    return in_mg if in_mg.value * 10 >= 1 else concentration.to("mcg/mL")
