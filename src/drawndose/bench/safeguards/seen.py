"""What a safeguard may look at: the order, what is taken, the fill, the cup and the settings. Nothing else."""

from __future__ import annotations

from dataclasses import dataclass

from drawndose.bench.dosing import Counted, Resolved
from drawndose.bench.fills import FillPlan
from drawndose.bench.order import Order
from drawndose.bench.policy import Policy
from drawndose.bench.takes import Take
from drawndose.reference import Cup


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """The context of every safeguard."""

    order: Order
    doses: tuple[Resolved, ...]
    counted: tuple[Counted, ...]
    takes: tuple[Take, ...]
    fill: FillPlan
    cup: Cup | None
    policy: Policy
