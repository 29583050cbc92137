"""The working behind a plan's numbers, line by line, by the same worked sums that learners use.

Derived from the finished plan, so that the plan itself stays quick and the working can never differ from it: every sum is
worked again from the plan's own exact values, and a test compares the answers.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from drawndose.bench.plans import Plan
from drawndose.bench.sums import Answer, WrongWay, work
from drawndose.bench.takes import Take
from drawndose.quantities import Form, Quantity, data_text, show, show_about
from drawndose.reference import Active


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """One sum of a plan: what it finds, its lines, its answer, and the named ways to get it wrong."""

    title: str
    lines: tuple[str, ...]
    answer: Answer | None = None
    wrong_ways: tuple[WrongWay, ...] = ()


def worked(plan: Plan) -> tuple[Working, ...]:
    """Every sum behind a plan, in the order in which a person does them; what is known of it when it is not ready."""
    return tuple(_doses(plan)) + tuple(one for take in plan.takes for one in _take(plan, take)) + tuple(_cup(plan))


def _sum(title: str, kind: str, given: Mapping[str, str]) -> Working:
    done = work(kind, given)
    return Working(title=title, lines=done.lines, answer=done.answer, wrong_ways=done.wrong_ways)


def _doses(plan: Plan) -> Iterator[Working]:
    """What each line asks for: per kg with its limits, per hour for hours."""
    weight = plan.order.patient.weight
    for resolved in plan.doses:
        dose, name = resolved.line.dose, resolved.line.drug.name
        if dose.amount is None:
            continue
        if ("kg", -1) in dose.amount.unit.parts and weight is not None:
            given = {"dose_rate": data_text(dose.amount), "weight": data_text(weight)}
            limits = {"minimum": dose.minimum, "maximum": dose.maximum}
            given |= {limit: data_text(value) for limit, value in limits.items() if value is not None}
            kind = "continuous_mg_per_h" if _is_rate(dose.amount) else "weight_based_dose"
            yield _sum(f"{name}: dose for this weight", kind, given)
        if _is_rate(dose.amount) and plan.order.duration is not None and resolved.amount is not None:
            rate = resolved.amount / plan.order.duration
            line = f"{show(rate)} × {show(plan.order.duration)} = {show(resolved.amount)}"
            yield Working(title=f"{name}: amount for the whole time", lines=(line,))


def _is_rate(amount: Quantity) -> bool:
    """So much in an hour or a minute."""
    return any(symbol in {"h", "min", "s"} and power < 0 for symbol, power in amount.unit.parts)


def _take(plan: Plan, take: Take) -> Iterator[Working]:
    active = take.in_hand.presentation.actives[0]
    wanted = take.amounts[0]
    yield from _counted(plan, take)
    each = take.in_hand.amount_in(active)
    if take.whole:
        whole = each * take.whole
        counted = f"{take.whole} × {show(each)} = {show_about(whole)}"
        yield Working(title=f"{active.moiety}: whole containers", lines=(counted,))
    if take.draw is None and take.first_dilution is None:
        return
    asked = take.draw.asked if take.draw is not None else (wanted / take.in_hand.per_ml(active)).to("mL").value
    rest = (take.in_hand.per_ml(active) * Quantity.of_text(asked, "mL")).to(str(wanted.unit))
    given = {"dose": data_text(_bare(rest)), "strength": _strength_text(take, active)}
    yield _sum(f"{active.moiety}: volume to draw", "dose_to_volume", given)
    if take.first_dilution is not None:
        yield _first_dilution(take, active)


def _bare(quantity: Quantity) -> Quantity:
    """A mass without its moiety, as a sum's text writes it; units keep theirs."""
    return quantity if quantity.dimension != (("mass", 1),) else Quantity(quantity.value, quantity.unit)


def _strength_text(take: Take, active: Active) -> str:
    if active.strength.form is Form.PER_CONTAINER:
        contents = Quantity.of_text(take.in_hand.contents(), "mL")
        return f"{data_text(active.strength.amount)}/{data_text(contents)}"
    percent = active.printed.partition("(")[0].strip()
    if "%" in percent and not active.disagreement and "(" in active.printed:
        return percent
    return f"{data_text(active.strength.amount)}/{data_text(active.strength.per)}"


def _counted(plan: Plan, take: Take) -> Iterator[Working]:
    """Salt into base, or units into mass, where order and label count different things."""
    for line, amount in zip(take.lines, take.amounts, strict=True):
        resolved = plan.doses[line]
        if resolved.amount is None or resolved.amount.of == amount.of or resolved.volume is not None:
            continue
        stated = resolved.line.drug.equivalences_between(resolved.amount.of[0][0], amount.of[0][0])
        used = next(one for one in stated if len(stated) == 1 or one.id in plan.policy.equivalences)
        ratio = f"{_of(used.this)} = {_of(used.equals)}"
        yield Working(
            title="what the label counts",
            lines=(ratio, f"{_of(resolved.amount)} = {_of(used.convert(resolved.amount))}"),
        )


def _of(amount: Quantity) -> str:
    """An amount with what it counts; units say it themselves."""
    counted = "" if amount.dimension == (("units", 1),) else f" of {amount.of[0][0]}"
    return f"{show_about(amount)}{counted}"


def _first_dilution(take: Take, active: Active) -> Working:
    dilution = take.first_dilution
    assert dilution is not None
    per_ml = take.in_hand.per_ml(active)
    stock, total, part = (Quantity.of_text(one.volume, "mL") for one in (dilution.stock, dilution.total, dilution.part))
    amount = (per_ml * stock).to(str(take.amounts[0].unit))
    mixed = amount / total
    lines = (
        f"{show(stock)} × {show_about(per_ml)} = {show_about(amount)}",
        f"{show_about(amount)} ÷ {show(total)} = {show_about(mixed)}",
        f"{show_about(take.amounts[0])} ÷ {show_about(mixed)} = {show(part)}",
    )
    return Working(title=f"{active.moiety}: first dilution", lines=lines)


def _cup(plan: Plan) -> Iterator[Working]:
    fill = plan.fill
    if fill is None:
        return
    drug, total = (Quantity.of_text(volume, "mL") for volume in (fill.drug, fill.wanted))
    order = plan.order
    if fill.by == "output" and order.output is not None and order.duration is not None:
        line = f"{show(order.output)} × {show(order.duration)} = {show(total)}"
        yield Working(title="fill for the whole time", lines=(line,))
    if fill.need:
        if fill.rule.value == "add":
            lines = (f"{show(drug)} + {show(Quantity.of_text(fill.need, 'mL'))} = {show(total)}",)
            yield Working(title="what the cup holds", lines=lines)
        else:
            given = {"start_volume": data_text(drug), "final_volume": data_text(total)}
            yield _sum("diluent to add", "diluent_volume", given)
    for name, amount in ((amount.of[0][0], amount) for take in plan.takes for amount in take.amounts):
        if amount.dimension == (("mass", 1),):
            given = {"mass": data_text(_bare(amount)), "final_volume": data_text(Quantity.of_text(fill.total, "mL"))}
            yield _sum(f"{name}: strength in the cup", "dilution_final_strength", given)
