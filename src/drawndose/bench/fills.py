"""What is added to the drug: dilute TO a total, ADD a volume, nothing, or what the label asks; and how it is measured.

An error in the diluent changes the fill, the time and the concentration, never the dose. So a diluent volume between lines
takes the nearest line, and the changed fill is stated beside it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from drawndose.bench.draws import Draw, draw, ml, too_low_in_cylinder
from drawndose.bench.in_hand import InHand
from drawndose.bench.order import FillRule, Order, Question
from drawndose.bench.policy import Policy
from drawndose.bench.takes import Take
from drawndose.quantities import show
from drawndose.reference import Cup, Dilution, DilutionRule, Instrument, Kind


@dataclass(frozen=True, slots=True, kw_only=True)
class FillPlan:
    """What goes into the cup beside the drug. Volumes in mL.

    rule: the words of the rule; by: "order", "label" or "output". drug: the drug's own liquid. need: diluent wanted.
    whole: whole unit doses of diluent, contents nominal. drawn: the measured rest. total: what the cup then holds.
    """

    rule: FillRule
    by: str
    says: str
    drug: Fraction
    need: Fraction = Fraction(0)
    diluent: str = ""
    in_hand: InHand | None = None
    whole: int = 0
    drawn: Draw | None = None
    questions: tuple[Question, ...] = ()
    trouble: str = ""

    @property
    def added(self) -> Fraction:
        """What is really added, by nominal contents and by the line that is used."""
        nominal = self.in_hand.contents() * self.whole if self.in_hand is not None else Fraction(0)
        return nominal + (self.drawn.volume if self.drawn is not None else Fraction(0))

    @property
    def total(self) -> Fraction:
        """What the cup holds in the end."""
        return self.drug + self.added

    @property
    def wanted(self) -> Fraction:
        """What the rule asks the cup to hold."""
        return self.drug + self.need


def fill_plan(
    takes: tuple[Take, ...],
    order: Order,
    diluents: tuple[InHand, ...],
    instruments: tuple[Instrument, ...],
    policy: Policy,
    cup: Cup | None = None,
) -> FillPlan:
    """The diluent for these takes. Questions and trouble stand in the result; nothing is guessed."""
    drug = sum((take.volume for take in takes), Fraction(0))
    rules = [rule for take in takes if (rule := take.in_hand.presentation.dilution) is not None]
    mixed = sum((take.diluent_mixed for take in takes), Fraction(0))
    if order.continuous and order.duration is not None and order.output is not None:
        start = _by_output(drug, order)
    elif order.fill is not None:
        start = _by_order(drug, order)
    else:
        start = _by_label(drug, rules)
    dry = _no_liquid(takes, diluents)
    if dry and not start.trouble:
        start = replace(start, trouble=dry)
    if start.questions or start.trouble or not (start.need or mixed):
        return start
    named = _diluent(order, rules)
    if isinstance(named, Question):
        return replace(start, questions=(named,))
    fits = tuple(one for one in diluents if one.presentation.diluent == named and _sound(one))
    if not fits:
        return replace(start, diluent=named, trouble=f"{named} is needed and is not on the bench")
    if not _holds(fits, start.need + mixed):
        told = f"{ml(start.need + mixed)} of {named} is needed and the bench has too little"
        return replace(start, diluent=named, trouble=told)
    started = replace(start, diluent=named)
    holds = cup.holds.to("mL").value if cup is not None else None
    return _measured(started, fits, instruments, policy, holds) if start.need else started


def _sound(one: InHand) -> bool:
    """An opened single-dose container is not used again."""
    return one.left is None or one.presentation.multi_dose


def _holds(fits: tuple[InHand, ...], volume: Fraction) -> bool:
    """True when the bench holds so much of one liquid."""
    return any(one.count is None and one.left is None for one in fits) or volume <= sum(
        one.contents() * (1 if one.left is not None else one.count or 1) for one in fits
    )


def _no_liquid(takes: tuple[Take, ...], diluents: tuple[InHand, ...]) -> str:
    """Why a powder cannot be made up on this bench, or nothing. A liquid that comes with the vial is at hand."""
    for take in takes:
        made_up = take.in_hand.presentation.reconstitution
        if made_up is None or any(one.endswith("supplied") for one in made_up.diluents):
            continue
        fits = tuple(one for one in diluents if one.presentation.diluent in made_up.diluents and _sound(one))
        if not fits or not _holds(fits, made_up.add.to("mL").value * take.containers):
            liquid = " or ".join(made_up.diluents)
            return f"{show(made_up.add)} of {liquid} to make up {take.in_hand.name} is not on the bench"
    return ""


def _to_total(drug: Fraction, total: Fraction, by: str, says: str) -> FillPlan:
    if total < drug:
        trouble = f"{ml(drug)} of drug is more than the {ml(total)} that the cup is to hold"
        return FillPlan(rule=FillRule.TO_TOTAL, by=by, says=says, drug=drug, trouble=trouble)
    return FillPlan(rule=FillRule.TO_TOTAL, by=by, says=says, drug=drug, need=total - drug)


def _by_output(drug: Fraction, order: Order) -> FillPlan:
    assert order.duration is not None
    assert order.output is not None
    total = (order.output * order.duration).to("mL").value
    says = f"{show(order.output)} for {show(order.duration)} is {ml(total)}"
    fill = order.fill
    ordered = _by_order(drug, order).wanted if fill is not None else total
    if fill is not None and (ordered != total or _by_order(drug, order).trouble):
        asks = f'The order\'s fill, "{fill.says.strip(" ,")}", is not what the output uses: {says}. Which?'
        question = Question(field="fill", asks=asks)
        return FillPlan(rule=FillRule.TO_TOTAL, by="output", says=says, drug=drug, questions=(question,))
    return _to_total(drug, total, "output", says)


def _by_order(drug: Fraction, order: Order) -> FillPlan:
    fill = order.fill
    assert fill is not None
    if fill.rule is FillRule.UNCLEAR:
        question = Question(field="fill", asks=f'Does "{fill.says.strip(" ,")}" mean in all, or added?')
        return FillPlan(rule=FillRule.UNCLEAR, by="order", says=fill.says, drug=drug, questions=(question,))
    if fill.volume is None:
        return FillPlan(rule=FillRule.UNDILUTED, by="order", says=fill.says, drug=drug)
    volume = fill.volume.to("mL").value
    if fill.rule is FillRule.ADD:
        return FillPlan(rule=FillRule.ADD, by="order", says=fill.says, drug=drug, need=volume)
    return _to_total(drug, volume, "order", fill.says)


def _by_label(drug: Fraction, rules: list[Dilution]) -> FillPlan:
    """What the labels ask when the order is silent. A printed range is asked; the other drug's liquid counts."""
    totals = [rule for rule in rules if rule.rule is DilutionRule.TO_TOTAL and rule.volume is not None]
    adds = [rule for rule in rules if rule.rule is DilutionRule.ADD and rule.volume is not None]
    if adds and not totals:
        volume = adds[0].volume
        assert volume is not None
        need = volume.to("mL").value
        return FillPlan(rule=FillRule.ADD, by="label", says=adds[0].says, drug=drug, need=need)
    if not totals:
        says = rules[0].says if rules else "nothing is added"
        return FillPlan(rule=FillRule.UNDILUTED, by="label", says=says, drug=drug)
    for rule in totals:
        if rule.up_to is not None and rule.volume is not None:
            low, high = show(rule.volume), show(rule.up_to)
            asks = f"The order names no fill; the label gives a total of {low} to {high}. Which total?"
            options = (f"made up to {low}", f"made up to {high}")
            question = Question(field="fill", asks=asks, options=options)
            return FillPlan(rule=FillRule.TO_TOTAL, by="label", says=rule.says, drug=drug, questions=(question,))
    wanted = max(rule.volume.to("mL").value for rule in totals if rule.volume is not None)
    if drug >= wanted and len(rules) == 1:
        asks = f"The drug alone is {ml(drug)} and the label makes it up to {ml(wanted)}. Which total is ordered?"
        question = Question(field="fill", asks=asks)
        return FillPlan(rule=FillRule.TO_TOTAL, by="label", says=totals[0].says, drug=drug, questions=(question,))
    return _to_total(drug, max(wanted, drug), "label", totals[0].says)


def _diluent(order: Order, rules: list[Dilution]) -> str | Question:
    """Which diluent: the order's, else the one that the labels name. More than one, or none, is asked."""
    named = [one for rule in rules for one in rule.diluents]
    allowed = tuple(dict.fromkeys(named))
    if order.diluent == "saline":
        salines = tuple(one for one in allowed if one.startswith("sodium chloride") and "supplied" not in one)
        allowed = salines or ("sodium chloride 0.9 %", "sodium chloride 0.45 %")
    elif order.diluent:
        return order.diluent
    if len(allowed) == 1:
        return allowed[0]
    options = tuple(f"with {one}" for one in allowed or ("sodium chloride 0.9 %", "sterile water"))
    asks = (
        "Which diluent? Neither the order nor the label says one."
        if not named
        else "Which diluent? The label allows more than one."
    )
    return Question(field="diluent", asks=asks, options=options)


def _measured(
    plan: FillPlan,
    diluents: tuple[InHand, ...],
    instruments: tuple[Instrument, ...],
    policy: Policy,
    holds: Fraction | None,
) -> FillPlan:
    """Whole unit doses when they come out even, else whole ones and a measured rest."""
    scaled = tuple(one for one in instruments if one.kind is not Kind.DROPPER)
    for one in sorted(diluents, key=lambda one: -one.contents()):
        count = plan.need / one.contents()
        if count.denominator == 1 and count <= policy.most_containers and _enough(one, int(count)):
            return replace(plan, in_hand=one, whole=int(count))
    able = [one for one in diluents if _enough(one, (plan.need / one.contents()).__ceil__())]
    if not able:
        return replace(plan, trouble=f"no one size of {plan.diluent} on the bench is enough for {ml(plan.need)}")
    one = min(able, key=lambda one: (one.contents() < plan.need, abs(one.contents() - plan.need)))
    whole = int(plan.need // one.contents())
    rest = plan.need - one.contents() * whole
    if not rest:
        return replace(plan, in_hand=one, whole=whole)
    over = holds - plan.wanted if holds is not None and holds >= plan.wanted else None
    drawn = _on_some_line(rest, scaled, policy, over)
    if drawn is None:
        return replace(plan, trouble=f"no syringe on the bench measures {ml(rest)} of {plan.diluent}")
    return replace(plan, in_hand=one, whole=whole, drawn=drawn)


def _enough(one: InHand, count: int) -> bool:
    return count <= 1 if one.left is not None else one.count is None or one.count >= count


def _on_some_line(
    volume: Fraction, scaled: tuple[Instrument, ...], policy: Policy, over: Fraction | None
) -> Draw | None:
    """A draw of the diluent: the smallest syringe that has the line in one fill, else the nearest line of the one that fits.

    A cylinder comes after every syringe: it is open, and not under a fifth of its capacity where another one does.
    over: how much more the cup still holds; a line above that is not the nearest one.
    """
    in_order = sorted(
        scaled,
        key=lambda one: (one.kind is Kind.CYLINDER, too_low_in_cylinder(one, volume), one.capacity, one.tip != "oral"),
    )
    for one in in_order:
        if volume <= one.capacity and one.shows(volume):
            return Draw(instrument=one, asked=volume, fills=(volume,))
    for one in in_order:
        around = one.lines_around(volume)
        if around is not None and around[1]:
            nearer = volume - around[0] < around[1] - volume or (over is not None and around[1] - volume > over)
            nearest = around[0] if around[0] and nearer else around[1]
            return Draw(instrument=one, asked=volume, fills=(nearest,))
    largest_first = in_order[::-1]
    cylinders_last = sorted(largest_first, key=lambda one: one.kind is Kind.CYLINDER)
    several = (draw(volume, one, policy) for one in cylinders_last)
    return next((found for found in several if isinstance(found, Draw)), None)
