"""What a plan's fill will do in the device of its order: the fill that works and why, the time to expect, how long hours last.

It reads a plan and answers in ranges. It changes no dose, no fill and no finding of the plan; the doors show it beside the plan.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Final

import numpy as np

from drawndose.bench.findings import Finding, Level, Waiver
from drawndose.bench.plans import Plan, Status
from drawndose.quantities import Fault, Refused, show_number
from drawndose.reference import Nebulizer, Span, completed, load
from drawndose.science.aerosol import continuous
from drawndose.science.aerosol.bands import Band, Found, found, minutes_words, share_words
from drawndose.science.aerosol.boxes import read_setup
from drawndose.science.aerosol.cautions import low_fill
from drawndose.science.aerosol.setup import SetUp
from drawndose.science.aerosol.trials import SEED, answer, draw
from drawndose.science.aerosol.variants import TRIALS, Variant, by_fill

USUAL: Final = "jet"
"""The kind that an order means which names none: common practice, and said so."""


@dataclass(frozen=True, kw_only=True)
class Hours:
    """A plan of continuous nebulizing, exact: hours in one filling, dead volume taken off; and when to fill anew, if it is known
    when it begins. dead: the range of what does not nebulize, mL."""

    lasts_h: tuple[Fraction, Fraction]
    output_mL_h: Fraction
    dead: Band
    refills: tuple[datetime, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Planned:
    """What a plan's fill will do.

    assumed: the order names no nebulizer, and the usual kind was taken. fill_mL: the plan's. least: the fill that works, None
    where no text says one. fills: the same charge in other fills. minutes, emitted, left_mL: None where all of it may stay, and for
    continuous nebulizing, which `hours` tells. findings: never a stop.
    """

    nebulizer: Nebulizer
    assumed: bool
    fill_mL: Fraction
    least: Span | None
    fills: tuple[Variant, ...] = ()
    minutes: Found | None = None
    emitted: Found | None = None
    left_mL: Found | None = None
    hours: Hours | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def time(self) -> str:
        """The line for a label sheet and a board: how long to expect; empty where it is not known."""
        if self.hours is not None:
            low, high = self.hours.lasts_h
            return f"about {_hours(low)} to {_hours(high)} h" if low != high else f"about {_hours(low)} h"
        return minutes_words(self.minutes.low, self.minutes.high) if self.minutes is not None else ""

    @property
    def recommends(self) -> str:
        """The fill that works in this device; empty where no text says one."""
        if self.least is None:
            return ""
        return f"{Band.of_span(self.least).told('mL')} for a {self.nebulizer.name}"

    @property
    def because(self) -> tuple[str, ...]:
        """Why that fill: what comes out of more and of less of it, with the same drug in each."""
        lines = []
        for before, one in zip((None, *self.fills), self.fills, strict=False):
            gain = f": {one.gain} than of {before.says}" if before is not None else ""
            lines.append(f"Of {one.says} {one.row[1]} of the drug comes out, in {one.row[2]}{gain}.")
        return tuple(lines)

    @property
    def says(self) -> tuple[str, ...]:
        """In sentences."""
        lines = [f"The order names no nebulizer: a {self.nebulizer.name} is taken."] if self.assumed else []
        if self.time:
            kind = "lasts" if self.hours is not None else "runs"
            lines.append(f"The fill of {show_number(self.fill_mL)} mL {kind} {self.time}, as far as the kind is known.")
        if self.emitted is not None and self.left_mL is not None:
            out, left = self.emitted, Band(round(self.left_mL.low, 1), round(self.left_mL.high, 1))
            lines.append(f"{share_words(out.low, out.high)} of the drug leaves the cup; {left.told('mL')} stays in it.")
        if self.least is not None:
            lines.append(f"It works from {self.recommends}.")
        return (*lines, *self.because)


def for_plan(
    plan: Plan,
    *,
    nebulizer: Nebulizer | None = None,
    own: Iterable[Nebulizer] = (),
    begins: datetime | None = None,
    early_min: int = 15,
    seed: int = SEED,
) -> Planned:
    """What the fill of a READY plan will do. Refused for any other plan: nothing in it is filled.

    nebulizer: the one at hand, before the one that the order names. own: a department's own, of which the first of the named kind
    is taken. begins: when continuous nebulizing begins, for the times at which to fill anew, so many minutes early.

    >>> from drawndose import every_pack, load, plan, read_order
    >>> book = load()
    >>> bench = every_pack([book.presentation("albuterol-0.5pct-bottle-20ml"), *book.diluents])
    >>> order = read_order("albuterol 2.5 mg by jet nebulizer, made up to 3 mL", catalogue=book)
    >>> made = for_plan(plan(order, containers=bench, instruments=book.instruments))
    >>> made.time, made.recommends, made.findings
    ('1 to 9 min', '3 to 4 mL for a small-volume jet nebulizer', ())
    """
    if plan.status is not Status.READY or plan.fill is None:
        rule = "only a plan that is ready is filled"
        raise Refused([Fault(field="plan", rule=rule, came=plan.status.value, accepted=Status.READY.value)])
    chosen, assumed = _chosen(plan, nebulizer, tuple(own))
    made = Planned(nebulizer=chosen, assumed=assumed, fill_mL=plan.fill.total, least=chosen.works_from)
    made = replace(made, findings=_findings(plan, made))
    if plan.order.continuous and plan.order.output is not None:
        return replace(made, hours=_of_hours(plan, chosen, begins, early_min))
    return _run(made, seed)


def named_in(device: str, nebulizers: Iterable[Nebulizer]) -> Nebulizer | None:
    """The nebulizer that the words of an order mean; None where they name none.

    >>> from drawndose.reference import load
    >>> named_in("mesh nebulizer with mask", load().nebulizers).id
    'mesh'
    """
    said = f" {device.lower()} "
    known = [(word, one) for one in nebulizers for word in one.named]
    return next((one for word, one in sorted(known, key=lambda pair: -len(pair[0])) if f" {word} " in said), None)


def _chosen(plan: Plan, nebulizer: Nebulizer | None, own: tuple[Nebulizer, ...]) -> tuple[Nebulizer, bool]:
    kinds = load().nebulizers
    if nebulizer is not None:
        return completed(nebulizer, kinds), False
    named = named_in(plan.order.device, kinds)
    kind = named or next(one for one in kinds if one.id == ("large-volume" if plan.order.continuous else USUAL))
    theirs = next((one for one in own if one.kind is kind.kind), kind)
    return completed(theirs, kinds), named is None


def _run(made: Planned, seed: int) -> Planned:
    try:
        setup = _setup(made.nebulizer, float(made.fill_mL))
    except Refused:
        return made  # all of the fill may stay, or a figure was never measured with this gas
    tried = answer(setup, draw(setup, TRIALS, np.random.default_rng(seed)), regions=False)
    fills = by_fill(setup, _beside(made), seed=seed) if made.least is not None else ()
    return replace(
        made,
        minutes=found(tried["minutes"]),
        emitted=found(tried["emitted"]),
        left_mL=found(tried["left_mL"]),
        fills=fills,
    )


def _beside(made: Planned) -> tuple[float, ...]:
    """The plan's own fill, one mL less than what works, and what works."""
    assert made.least is not None
    low, high = float(made.least.low), float(made.least.high)
    return tuple(sorted({float(made.fill_mL), max(low - 1.0, 1.0), low, high}))


def _setup(nebulizer: Nebulizer, fill_mL: float) -> SetUp:
    """The set-up for what does not depend on the patient."""
    return read_setup([nebulizer.id, f"fill={fill_mL:.4f} mL"], [nebulizer])


def _of_hours(plan: Plan, nebulizer: Nebulizer, begins: datetime | None, early_min: int) -> Hours:
    assert plan.fill is not None  # for_plan has looked
    assert plan.order.output is not None
    stays = nebulizer.residual
    assert stays is not None  # every kind states it
    output, total = plan.order.output.to("mL/h").value, plan.fill.total
    low, high = (continuous.hours_left(total, dead, output) for dead in (stays.high, stays.low))
    again: tuple[datetime, ...] = ()
    if begins is not None and plan.order.duration is not None and low:
        ends = begins + timedelta(seconds=int(plan.order.duration.base))
        again = tuple(continuous.refills(begins, low, ends, early_min))
    return Hours(lasts_h=(low, high), output_mL_h=output, dead=Band.of_span(stays), refills=again)


def _findings(plan: Plan, made: Planned) -> tuple[Finding, ...]:
    """A fill under what works. Of whole unit doses with nothing added it is only a note: that volume is their label's."""
    assert plan.fill is not None  # for_plan has looked
    if made.least is None or made.fill_mL >= made.least.low:
        return ()
    finding = low_fill(made.nebulizer, made.least, float(made.fill_mL))
    supplied = not plan.fill.need and all(take.draw is None and take.first_dilution is None for take in plan.takes)
    if supplied:
        do = "That volume is its label's; ask before it is made up to more."
        return (replace(finding, level=Level.NOTE, do=do, waiver=Waiver.UNASKED),)
    return (finding,)


def _hours(hours: Fraction) -> str:
    """Hours to a tenth, cut, which is the early side."""
    return show_number(Fraction(int(hours * 10), 10))
