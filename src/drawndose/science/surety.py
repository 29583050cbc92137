"""How sure is the dose of a plan: its interval, the chance of being far off, what it owes to what, the one thing to improve.

`how_sure` reads the exact plan and answers in floats. It changes no dose and no choice: the plan stands as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

import numpy as np

from drawndose.bench.draws import Draw
from drawndose.bench.plans import Plan, Status
from drawndose.bench.takes import Take, usable
from drawndose.quantities import Fault, Quantity, Refused, show_both
from drawndose.reference import Instrument, load
from drawndose.science.budget import Budget, Contribution, Model, Term, Values, budget
from drawndose.science.drawing import OPERATOR, Conditions, Loss, Measured, Reading
from drawndose.science.montecarlo import SEED, TRIALS, Estimate, Trial, answers_together, chance_beyond, summarize
from drawndose.science.words import amount_words, beyond_words, budget_words, percent_words, trial_words

BEYOND: Final = (Fraction(5, 100), Fraction(10, 100))
"""The shares of the ordered dose for which the chance of being further off is told. 5 % is the tolerance for most compounded
formulas, 10 % the wider one in use (university pharmaceutics laboratory; a compounding pharmacist's note)."""

WORTH_SAYING: Final = 0.9
"""An improvement is named when the interval becomes at most this share of what it was: a setting."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Improvement:
    """The one thing that would narrow the interval most: half-widths as shares of the ordered dose."""

    does: str
    before: float
    after: float

    @property
    def says(self) -> str:
        """In one sentence."""
        return f"{self.does}: within {percent_words(self.before)} becomes within {percent_words(self.after)}."


@dataclass(frozen=True, slots=True, kw_only=True)
class Sureness:
    """How sure the dose out of one kind of container is. trial and budget are in shares of the ordered dose (1 is as ordered).

    ordered and planned are exact. trial, budget: None where nothing is measured. beyond: the chance of being further off than
    a share of the ordered dose. not_in_it: what could also be off and is not counted here.
    """

    take: Take
    ordered: tuple[Quantity, ...]
    planned: tuple[Quantity, ...]
    budget: Budget | None = None
    trial: Trial | None = None
    beyond: tuple[tuple[Fraction, Estimate], ...] = ()
    improvement: Improvement | None = None
    not_in_it: tuple[str, ...] = ()

    @property
    def intervals(self) -> tuple[tuple[float, float], ...]:
        """From and to for each planned amount, in that amount's own unit; none where nothing is measured."""
        if self.trial is None:
            return ()
        low, high = max(self.trial.low.value, 0.0), self.trial.high.value
        return tuple((low * float(one.value), high * float(one.value)) for one in self.ordered)

    @property
    def contributions(self) -> tuple[tuple[Contribution, float], ...]:
        """What the dose owes to each cause, the largest first, with its share of the variance."""
        return () if self.budget is None else tuple((one, self.budget.share(one)) for one in self.budget.contributions)

    @property
    def says(self) -> tuple[str, ...]:
        """The answer in sentences."""
        if self.trial is None or self.budget is None:
            return ("Nothing is measured: the dose is what the emptied containers hold by their labels.",)
        lines = [
            f"{show_both(amount)} is ordered; with {self.trial.level_percent:g} % it is between "
            f"{amount_words(low, amount.unit)} and {amount_words(high, amount.unit)}."
            for amount, (low, high) in zip(self.ordered, self.intervals, strict=True)
        ]
        lines.append(f"Chance of being off the order {beyond_words(self.beyond)}.")
        if (first := self.budget.dominant) is not None:
            lines.append(
                f"Most of it comes from {first.name} ({percent_words(self.budget.share(first))} of the variance)."
            )
        if self.improvement is not None:
            lines.append(self.improvement.says)
        lines += [budget_words(self.budget), trial_words(self.trial, (one for _, one in self.beyond))]
        if self.budget.misleads:
            lines.append(f"The trials count here, not the expanded uncertainty: {self.budget.misleads}.")
        return (*lines, f"Not counted: {'; '.join(self.not_in_it)}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Surety:
    """How sure a whole plan is: each take, and the chance that at least one dose is further off than a share of its order.

    any_beyond is empty where nothing is measured.
    """

    takes: tuple[Sureness, ...]
    any_beyond: tuple[tuple[Fraction, Estimate], ...]
    seed: int

    @property
    def says(self) -> str:
        """The chance for the plan as a whole; empty where fewer than two doses are measured, for then it is said already."""
        if sum(one.trial is not None for one in self.takes) < 2:
            return ""
        return f"Chance that at least one dose is off its order {beyond_words(self.any_beyond)}."


def how_sure(
    plan: Plan,
    *,
    conditions: Conditions | None = None,
    losses: Mapping[int, Loss] | None = None,
    instruments: Iterable[Instrument] | None = None,
    level_percent: float = 95.0,
    trials: int = TRIALS,
    seed: int = SEED,
) -> Surety:
    """How sure the doses of a READY plan are. Refused for any other plan: nothing in it can be drawn up.

    conditions: settings of the bench. losses: a known loss by the place of the take in the plan. instruments: what else
    stands in the cupboard, for the one thing to improve; the packaged ones by default. The same seed gives the same answer.

    >>> from drawndose import every_pack, load, plan, read_order
    >>> book = load()
    >>> bench = every_pack([book.presentation("albuterol-0.5pct-bottle-20ml"), *book.diluents])
    >>> order = read_order("albuterol 2.5 mg by nebulizer, made up to 3 mL", catalogue=book)
    >>> made = plan(order, containers=bench, instruments=[book.instrument("syringe-3-oral")])
    >>> how_sure(made).takes[0].says[0]
    '2.5 mg is ordered; with 95 % it is between about 2.14 mg and about 2.86 mg.'
    """
    if plan.status is not Status.READY:
        rule = "only a plan that is ready can be judged: nothing in another one is drawn up"
        raise Refused([Fault(field="plan", rule=rule, came=plan.status.value, accepted=Status.READY.value)])
    settings, known = conditions or Conditions(), losses or {}
    tools = tuple(load().instruments if instruments is None else instruments)
    models = [_model(take, settings, place, known.get(place)) for place, take in enumerate(plan.takes)]
    tried = iter(answers_together((model for model in models if model is not None), trials=trials, seed=seed))
    found: list[Sureness] = []
    furthest = np.zeros(trials)
    for place, (take, model) in enumerate(zip(plan.takes, models, strict=True)):
        if model is None:
            found.append(_untried(take))
            continue
        shares = next(tried)
        np.maximum(furthest, np.abs(shares - 1.0), out=furthest)
        judged = replace(
            _untried(take),
            budget=budget(model, level_percent),
            trial=summarize(shares, level_percent=level_percent, seed=seed),
            beyond=beyond(shares, 1.0),
            not_in_it=_not_in_it(take, settings, known.get(place)),
        )
        found.append(replace(judged, improvement=_improvement(judged, settings, known.get(place), tools)))
    anyone = beyond(furthest, 0.0) if any(one.trial is not None for one in found) else ()
    return Surety(takes=tuple(found), any_beyond=anyone, seed=seed)


def beyond(found: Values, about: float) -> tuple[tuple[Fraction, Estimate], ...]:
    """The chance of being further from `about` than each share in BEYOND (a share of 1, the ordered dose)."""
    return tuple((by, chance_beyond(found, about=about, by=float(by))) for by in BEYOND)


def _untried(take: Take) -> Sureness:
    ordered = tuple(amount / _over_order(take) for amount in take.amounts)
    return Sureness(take=take, ordered=ordered, planned=take.amounts, not_in_it=(CONTENTS,) if take.whole else ())


def _over_order(take: Take) -> Fraction:
    """The planned dose as a multiple of the ordered one: not 1 only where a person accepted a line beside the volume."""
    shift = take.draw.volume - take.draw.asked if take.draw is not None else Fraction(0)
    return take.volume / (take.volume - shift)


def _model(take: Take, conditions: Conditions, place: int, loss: Loss | None) -> Model | None:
    """The dose of a take as a share of the ordered one; None where nothing is measured."""
    if take.first_dilution is not None:
        return _diluted(take, conditions, place, loss)
    if take.draw is None:
        return None
    one, weaker = _measured(take.draw, conditions, f"take {place + 1}", loss), _liquid(take, conditions, place)
    emptied, whole, scale = float(take.volume) - one.volume, float(take.volume), float(_over_order(take))

    def answer(values: Mapping[str, Values]) -> Values:
        return scale * (emptied + (one.volume + one.error(values)) / weaker.answer(values)) / whole

    return Model(terms=_once(*one.terms(), *weaker.terms), answer=answer)


def _once(*terms: Term) -> tuple[Term, ...]:
    """Every term once: what two volumes share has one name."""
    return tuple({term.name: term for term in terms}.values())


def _liquid(take: Take, conditions: Conditions, place: int) -> Model:
    """How many times as much liquid a powder gets as it should: what is drawn of it is so much weaker. 1 where none counts."""
    if take.liquid is None:
        return Model(terms=(), answer=lambda values: np.ones(()))
    one = replace(_measured(take.liquid, conditions, f"take {place + 1}, the powder's liquid", None), toward=-1)
    contents = float(take.in_hand.contents())
    return Model(terms=one.terms(), answer=lambda values: 1.0 + one.error(values) / contents)


def _diluted(take: Take, conditions: Conditions, place: int, loss: Loss | None) -> Model:
    """stock times part over total, and over a powder's liquid; an error shared by two of them enters once, for both."""
    made = take.first_dilution
    assert made is not None
    stock = _measured(made.stock, conditions, f"take {place + 1}, stock", None)
    total = replace(_measured(made.total, conditions, f"take {place + 1}, total", None), toward=-1)
    part = _measured(made.part, conditions, f"take {place + 1}, part", loss)
    weaker = _liquid(take, conditions, place)

    def answer(values: Mapping[str, Values]) -> Values:
        more, less, taken = (1.0 + one.error(values) / one.volume for one in (stock, total, part))
        return more * taken / less / weaker.answer(values)

    return Model(terms=_once(*stock.terms(), *total.terms(), *part.terms(), *weaker.terms), answer=answer)


def _measured(drawn: Draw, conditions: Conditions, tag: str, loss: Loss | None) -> Measured:
    return Measured(tag=tag, instrument=drawn.instrument, fills=drawn.fills, conditions=conditions, loss=loss)


CONTENTS: Final = "what a whole container holds beside its label"


def _not_in_it(take: Take, conditions: Conditions, loss: Loss | None) -> tuple[str, ...]:
    found = ["the strength of the drug beside its label"]
    if take.whole:
        found.append(CONTENTS)
    if take.liquid is None and take.in_hand.presentation.reconstitution is not None:
        found.append("the liquid of the powder: no measure on this bench shows it")
    if conditions.operator is None:
        found.append("the person's own spread: weigh ten draws and set it")
    if loss is None:
        found.append("a change of needle after the volume was set, and drops on the tip")
    elif not loss.half_width_mL:
        found.append("how far the known loss is from its figure, and drops on the tip")
    return tuple(found)


def _off(judged: Budget) -> float:
    """How far off the dose may be, as a share of the ordered one: its half-width, and what an accepted line adds."""
    return judged.half_width + abs(judged.value - 1.0)


def _improvement(
    judged: Sureness, conditions: Conditions, loss: Loss | None, tools: tuple[Instrument, ...]
) -> Improvement | None:
    """The change that narrows the interval most; None where none is worth saying."""
    now = judged.budget
    assert now is not None
    before = _off(now)
    tried = []
    for does, take, under in _changes(judged.take, now, conditions, tools):
        model = _model(take, under, 0, loss)
        assert model is not None  # what was measured still is
        tried.append(Improvement(does=does, before=before, after=_off(budget(model, now.level_percent))))
    best = min(tried, key=lambda one: one.after, default=None)
    return best if best is not None and best.after <= WORTH_SAYING * before else None


def _changes(
    take: Take, now: Budget, conditions: Conditions, tools: tuple[Instrument, ...]
) -> Iterator[tuple[str, Take, Conditions]]:
    """What could be done otherwise: another instrument that has the line, a finer reading, a steadier hand."""
    drawn = take.draw
    for tool in usable(take.in_hand, tools) if drawn is not None else ():
        assert drawn is not None
        if tool.shows(drawn.asked) and tool.id != drawn.instrument.id:
            other = Draw(instrument=tool, asked=drawn.asked, fills=(drawn.asked,))
            volume = take.volume - drawn.volume + other.volume
            yield f"Use the {tool.name}", replace(take, draw=other, volume=volume), conditions
    if conditions.reading is Reading.NEAREST_LINE:
        yield "Read to half a line", take, replace(conditions, reading=Reading.HALF_LINE)
    operator = conditions.operator
    if operator is not None and now.dominant is not None and now.dominant.name == OPERATOR:
        steadier = replace(conditions, operator=replace(operator, cv=operator.cv / 2.0))
        yield "Practise until the draws spread half as much", take, steadier
