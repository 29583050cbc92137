"""What a plan's fill will do in the device of its order: the fill that works and why, the time to expect, how long hours last.

It reads a plan and answers in ranges. It changes no dose, no fill and no finding of the plan; the doors show it beside the plan.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from fractions import Fraction
from functools import lru_cache
from typing import Final

import numpy as np

from drawndose.bench.findings import Finding, Level, Waiver
from drawndose.bench.order import Order
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
EARLY_MIN: Final = 15
"""So many minutes before a reservoir may be empty it is filled anew: a setting of this house, no published source."""


@dataclass(frozen=True, kw_only=True)
class Hours:
    """A plan of continuous nebulizing, exact: hours in one filling, dead volume taken off; and when to fill anew, if it is known
    when it begins, so many minutes before it may be empty. dead: the range of what does not nebulize, mL."""

    lasts_h: tuple[Fraction, Fraction]
    output_mL_h: Fraction
    dead: Band
    refills: tuple[datetime, ...] = ()
    early_min: int = 0


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
    def called(self) -> str:
        """The nebulizer in a sentence: a kind, or one's own by its name."""
        name = self.nebulizer.name
        return f"a {name}" if any(one.name == name for one in load().nebulizers) else name

    @property
    def recommends(self) -> str:
        """The fill that works in this device; empty where no text says one."""
        if self.least is None:
            return ""
        return f"{Band.of_span(self.least).told('mL')} for {self.called}"

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
        lines = [f"The order names no nebulizer: {self.called} is taken."] if self.assumed else []
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
    early_min: int = EARLY_MIN,
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
    chosen, assumed = _chosen(plan.order, nebulizer, tuple(own))
    made = Planned(nebulizer=chosen, assumed=assumed, fill_mL=plan.fill.total, least=chosen.works_from)
    made = replace(made, findings=_findings(plan, made))
    made = _filled(made, plan.order, begins, early_min, seed)
    return replace(made, fills=_fills(made, seed)) if made.minutes is not None else made


def for_fill(
    order: Order,
    fill_mL: Fraction,
    *,
    own: Iterable[Nebulizer] = (),
    begins: datetime | None = None,
    early_min: int = EARLY_MIN,
    seed: int = SEED,
) -> Planned:
    """What a fill will do in the device of its order, without its plan: time and hours, no other fills and no findings.

    For a board, which asks for many at once: the trials of one nebulizer with one fill are worked out once. As `for_plan`.
    """
    chosen, assumed = _chosen(order, None, tuple(own))
    made = Planned(nebulizer=chosen, assumed=assumed, fill_mL=fill_mL, least=chosen.works_from)
    return _filled(made, order, begins, early_min, seed)


def named_in(device: str, nebulizers: Iterable[Nebulizer]) -> Nebulizer | None:
    """The nebulizer that the words of an order mean; None where they name none.

    >>> from drawndose.reference import load
    >>> named_in("mesh nebulizer with mask", load().nebulizers).id
    'mesh'
    """
    said = f" {device.lower()} "
    known = [(word, one) for one in nebulizers for word in one.named]
    return next((one for word, one in sorted(known, key=lambda pair: -len(pair[0])) if f" {word} " in said), None)


def _chosen(order: Order, nebulizer: Nebulizer | None, own: tuple[Nebulizer, ...]) -> tuple[Nebulizer, bool]:
    kinds = load().nebulizers
    if nebulizer is not None:
        return completed(nebulizer, kinds), False
    named = named_in(order.device, kinds)
    kind = named or next(one for one in kinds if one.id == ("large-volume" if order.continuous else USUAL))
    theirs = next((one for one in own if one.kind is kind.kind), kind)
    return completed(theirs, kinds), named is None


def _filled(made: Planned, order: Order, begins: datetime | None, early_min: int, seed: int) -> Planned:
    if order.continuous and order.output is not None:
        return replace(made, hours=_of_hours(made, order, begins, early_min))
    minutes, emitted, left = _tried(made.nebulizer, made.fill_mL, seed)
    return replace(made, minutes=minutes, emitted=emitted, left_mL=left)


@lru_cache(maxsize=512)
def _tried(nebulizer: Nebulizer, fill_mL: Fraction, seed: int) -> tuple[Found | None, Found | None, Found | None]:
    """Time, what comes out, what stays; nothing where all may stay, or a figure was never measured with this gas."""
    try:
        setup = _setup(nebulizer, float(fill_mL))
    except Refused:
        return None, None, None
    tried = answer(setup, draw(setup, TRIALS, np.random.default_rng(seed)), regions=False)
    return found(tried["minutes"]), found(tried["emitted"]), found(tried["left_mL"])


def _fills(made: Planned, seed: int) -> tuple[Variant, ...]:
    if made.least is None:
        return ()
    return by_fill(_setup(made.nebulizer, float(made.fill_mL)), _beside(made), seed=seed)


def _beside(made: Planned) -> tuple[float, ...]:
    """The plan's own fill, one mL less than what works, and what works."""
    assert made.least is not None
    low, high = float(made.least.low), float(made.least.high)
    return tuple(sorted({float(made.fill_mL), max(low - 1.0, 1.0), low, high}))


def _setup(nebulizer: Nebulizer, fill_mL: float) -> SetUp:
    """The set-up for what does not depend on the patient."""
    return read_setup([nebulizer.id, f"fill={fill_mL:.4f} mL"], [nebulizer])


def _of_hours(made: Planned, order: Order, begins: datetime | None, early_min: int) -> Hours:
    """How long it lasts; filled anew so many minutes early, or after half of what a short filling surely lasts."""
    assert order.output is not None  # _filled has looked
    stays = made.nebulizer.residual
    assert stays is not None  # every kind states it
    output = order.output.to("mL/h").value
    low, high = (continuous.hours_left(made.fill_mL, dead, output) for dead in (stays.high, stays.low))
    early = min(early_min, int(low * 30))
    again: tuple[datetime, ...] = ()
    if begins is not None and order.duration is not None and low:
        ends = begins + timedelta(seconds=int(order.duration.base))
        again = tuple(continuous.refills(begins, low, ends, early))
    return Hours(lasts_h=(low, high), output_mL_h=output, dead=Band.of_span(stays), refills=again, early_min=early)


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
