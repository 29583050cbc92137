"""What a safeguard of a way may look at: the order, what is taken, the fill, the cup and the settings. Nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from drawndose.bench.dosing import Counted, Resolved
from drawndose.bench.fills import FillPlan
from drawndose.bench.kept import Kept
from drawndose.bench.order import Order
from drawndose.bench.policy import Policy
from drawndose.bench.takes import Take
from drawndose.reference import Cup, Instrument


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One way to answer an order: the context of every safeguard that judges what is taken and how it is diluted."""

    order: Order
    doses: tuple[Resolved, ...]
    counted: tuple[Counted, ...]
    takes: tuple[Take, ...]
    fill: FillPlan
    cup: Cup | None
    policy: Policy
    kept: Kept = field(default_factory=Kept)
    instruments: tuple[Instrument, ...] = ()


class OneTake(NamedTuple):
    """One take, with the way that it belongs to."""

    take: Take
    seen: Seen


class OneDose(NamedTuple):
    """One drug line with its dose, and how the chosen label counts it."""

    resolved: Resolved
    counted: Counted
    seen: Seen


def the_way(seen: Seen) -> tuple[Seen, ...]:
    """The way as a whole."""
    return (seen,)


def each_take(seen: Seen) -> Iterator[OneTake]:
    """Every take."""
    return (OneTake(take, seen) for take in seen.takes)


def each_dose(seen: Seen) -> Iterator[OneDose]:
    """Every drug line."""
    return (OneDose(dose, as_counted, seen) for dose, as_counted in zip(seen.doses, seen.counted, strict=True))
